//! One hour of one link: both directions from the same path.

use farhop_num::db_of_ratio;
use farhop_num::maths;
use std::sync::Arc;

use farhop_earth::UtcTime;
use farhop_outing::{Channel, Site, Station};
use farhop_propagation::noise::{Measured, Noise, NoiseInputs, Receiver, total_noise};
use farhop_propagation::signal::{LinkEnd, LinkSetup, ReceivedMode, Signal, SignalMixture};
use farhop_propagation::snr::{Direction as SnrDirection, SnrMixture, joint_probability, noise_in_band};
use farhop_propagation::{Horizon, Layer, Losses, Mode, RangeCaution, SkyPath};

use crate::book::{AntennaHere, Radiator};
use crate::chance::Chance;
use crate::limit::{Limit, LimitInputs, limit};
use crate::strip::{Carrier, CarrierLayer, Cell, Direction, Route};

/// Everything that stays the same through the hours of one strip.
#[derive(Clone)]
pub struct LinkEnds<'a> {
    /// The operator's place.
    pub site: &'a Site,
    /// The correspondent.
    pub station: &'a Station,
    /// The frequency.
    pub channel: &'a Channel,
    /// The operator's antenna there.
    pub antenna: AntennaHere,
    /// The station's antenna.
    pub station_radiator: Arc<dyn Radiator>,
    /// The operator's power setting, W.
    pub power_w: f64,
    /// The operator's receiver behind its antenna.
    pub site_receiver: Receiver,
    /// The station's receiver.
    pub station_receiver: Receiver,
    /// Noise read at the site, where it covers the frequency.
    pub measured: Option<Measured>,
    /// Horizon of the site toward the station.
    pub horizon: Horizon,
    /// Loss of the ground wave, dB, where the path is short enough to have one.
    pub ground_wave_loss_db: Option<f64>,
    /// Signal-to-noise ratio from which the channel's usual link holds, dB in the channel's bandwidth.
    pub required_snr_db: f64,
    /// Own-station offset learned on earlier outings, dB.
    pub learned_offset_db: f64,
    /// Noise of the band at the operator's sites over its forecast, as earlier outings taught, dB.
    pub learned_noise_db: f64,
}

/// What changes from hour to hour, the same for all antennas of a route.
#[derive(Clone, Copy)]
pub struct Hour<'a> {
    /// The path.
    pub path: &'a SkyPath,
    /// Its modes on the channel's frequency.
    pub modes: &'a [Mode],
    /// Critical frequency of the F2 layer above the site, MHz.
    pub site_fof2_mhz: f64,
    /// Critical frequency of the F2 layer above the station, MHz.
    pub station_fof2_mhz: f64,
}

/// What both ends hear in an hour on the median day: the signal for one watt, and the noise.
pub struct Heard {
    signal: Signal,
    at_station: Noise,
    at_site: Noise,
}

impl LinkEnds<'_> {
    /// What is heard in an hour.
    #[must_use]
    pub fn heard(&self, hour: &Hour<'_>) -> Heard {
        Heard {
            signal: self.signal(hour),
            at_station: self.station_noise(hour),
            at_site: self.site_noise(hour),
        }
    }

    /// One hour of the link.
    #[must_use]
    pub fn cell(&self, hour: &Hour<'_>, heard: &Heard) -> Cell {
        let Heard {
            signal,
            at_station,
            at_site,
        } = heard;
        let mixture = with_model_error(signal.mixture());
        let time = hour.path.time();
        let served = self.station.hours_utc.contains(time) && self.channel.hours_utc.contains(time);
        let forward = self.direction(at_station, self.own_power_db());
        let reverse = self.way_back(at_site);
        let joint = if served {
            joint_probability(&mixture, &forward, &reverse)
        } else {
            0.0
        };
        let forward_out = self.summary(&mixture, &forward, at_station);
        let reverse_out = self.summary(&mixture, &reverse, at_site);
        let rays = self.rays(signal, hour.path.circuit().bearing_deg);
        let limit = self.limit(hour, served, joint, [&forward_out, &reverse_out], rays.first());
        let layers = hour.path.midpoint_layers();
        Cell {
            at: time,
            link_chance: Chance::new(joint),
            message_chance: None,
            forward: forward_out,
            reverse: reverse_out,
            rays,
            support: signal.support(),
            f2_height_km: layers.hmf2_km,
            sun_zenith_deg: layers.sun_zenith_deg,
            limit,
        }
    }

    /// The same hour as a function of the drawn days' factors.
    #[must_use]
    pub fn drawn(
        &self,
        hour: &Hour<'_>,
        heard: &Heard,
        (axes, route): (&farhop_days::Axes, Route),
    ) -> farhop_days::Response {
        let time = hour.path.time();
        let signal = &heard.signal;
        let sky_leads = |best: &farhop_propagation::signal::ReceivedMode| {
            signal.ground_wave_dbw.is_none_or(|ground| ground <= best.power_dbw)
        };
        let hops = signal.modes.first().filter(|m| sky_leads(m)).map_or(0, |m| m.mode.hops);
        let forward = self.direction(&heard.at_station, self.own_power_db());
        let reverse = self.way_back(&heard.at_site);
        let reach = |d: &SnrDirection| farhop_days::Reach {
            power_offset_db: d.power_offset_db,
            noise_dbw: d.noise_dbw,
        };
        farhop_days::Response::new(
            signal,
            &farhop_days::Around {
                axes,
                route,
                at: time,
                freq_mhz: self.channel.freq_mhz,
                bandwidth_hz: self.channel.bandwidth_hz,
                served: self.station.hours_utc.contains(time) && self.channel.hours_utc.contains(time),
                sun_zenith_deg: hour.path.midpoint_layers().sun_zenith_deg,
                hops,
                reaches: [reach(&forward), reach(&reverse)],
                required_snr_db: self.required_snr_db,
            },
        )
    }

    /// The signal for one watt at either end; powers come in as offsets, because the path is reciprocal.
    fn signal(&self, hour: &Hour<'_>) -> Signal {
        let site_gain = |elevation: f64, bearing: f64| self.antenna.radiator.gain_dbi(elevation, bearing);
        let station_gain = |elevation: f64, bearing: f64| self.station_radiator.gain_dbi(elevation, bearing);
        let setup = LinkSetup {
            power_dbw: 0.0,
            from: LinkEnd {
                gain_dbi: &site_gain,
                horizon: self.horizon,
            },
            to: LinkEnd {
                gain_dbi: &station_gain,
                horizon: Horizon::FLAT,
            },
            ground_wave_loss_db: self.ground_wave_loss_db,
        };
        Signal::new(hour.path, hour.modes, &setup)
    }

    /// Power that enters the site's antenna, dB above one watt, with what earlier outings taught about this station.
    fn own_power_db(&self) -> f64 {
        power_db(self.power_w * self.antenna.feed_share) + self.learned_offset_db
    }

    /// From the station to the site; what earlier outings taught about the noise counts where none was measured.
    fn way_back(&self, noise: &Noise) -> SnrDirection {
        let mut way = self.direction(noise, power_db(self.station.power_w));
        if self.measured.is_none() {
            way.noise_dbw.median_db += self.learned_noise_db;
        }
        way
    }

    fn site_noise(&self, hour: &Hour<'_>) -> Noise {
        self.noise(hour.path.time(), true, self.site_receiver, hour.site_fof2_mhz)
    }

    fn station_noise(&self, hour: &Hour<'_>) -> Noise {
        self.noise(hour.path.time(), false, self.station_receiver, hour.station_fof2_mhz)
    }

    fn noise(&self, time: UtcTime, at_site: bool, receiver: Receiver, fof2_mhz: f64) -> Noise {
        let (place, class) = if at_site {
            (self.site.place, self.site.noise)
        } else {
            (self.station.place, self.station.noise)
        };
        total_noise(&NoiseInputs {
            freq_mhz: self.channel.freq_mhz,
            place,
            time,
            class,
            fof2_mhz,
            receiver,
            measured: if at_site { self.measured } else { None },
        })
    }

    fn direction(&self, noise: &Noise, power_offset_db: f64) -> SnrDirection {
        let mut noise_dbw = noise_in_band(&noise.total(), self.channel.bandwidth_hz);
        // The signal is computed with the real antenna's power gain, so the noise loses what that antenna loses.
        noise_dbw.median_db -= noise.receive_loss_db;
        SnrDirection {
            power_offset_db,
            noise_dbw,
            required_snr_db: self.required_snr_db,
        }
    }

    fn summary(&self, mixture: &SignalMixture, direction: &SnrDirection, noise: &Noise) -> Direction {
        let snr = SnrMixture::new(mixture, &direction.noise_dbw);
        let [p10, p50, p90] = snr.p10_p50_p90_db();
        let chance = snr.probability_at_least(direction.required_snr_db - direction.power_offset_db);
        Direction {
            snr_p10_db: p10 + direction.power_offset_db,
            snr_p50_db: p50 + direction.power_offset_db,
            snr_p90_db: p90 + direction.power_offset_db,
            noise_fa_db: noise.total_fa_db,
            noise_dbm: direction.noise_dbw.median_db + 30.0,
            chance: Chance::new(chance),
        }
    }

    fn rays(&self, signal: &Signal, bearing_deg: f64) -> Vec<Carrier> {
        let ground = signal.ground_wave_dbw.map(|power_dbw| Carrier {
            layer: CarrierLayer::Ground,
            hops: 0,
            elevation_deg: 0.0,
            mirror_height_km: 0.0,
            support: 1.0,
            losses: Losses::default(),
            site_gain_dbi: 0.0,
            station_gain_dbi: 0.0,
            loss_db: -power_dbw,
            power_dbw,
        });
        let mut rays: Vec<Carrier> = Vec::new();
        for received in &signal.modes {
            let (layer, hops) = (carrier_layer(received.mode.layer), received.mode.hops);
            // Both magneto-ionic waves take nearly the same way; the stronger one stands for it.
            if !rays.iter().any(|r| (r.layer, r.hops) == (layer, hops)) {
                rays.push(self.ray(received, bearing_deg));
            }
        }
        let before = |g: &Carrier| rays.partition_point(|r| r.power_dbw >= g.power_dbw);
        if let Some(ground) = ground {
            rays.insert(before(&ground), ground);
        }
        rays.shrink_to_fit();
        rays
    }

    fn ray(&self, received: &ReceivedMode, bearing_deg: f64) -> Carrier {
        let mode = &received.mode;
        let site_gain_dbi = self.antenna.radiator.gain_dbi(mode.elevation_deg, bearing_deg);
        Carrier {
            layer: carrier_layer(mode.layer),
            hops: mode.hops,
            elevation_deg: mode.elevation_deg,
            mirror_height_km: mode.mirror_height_km,
            support: mode.support,
            losses: mode.losses,
            site_gain_dbi,
            station_gain_dbi: received.gains_dbi - site_gain_dbi,
            loss_db: mode.losses.total_db(),
            power_dbw: received.power_dbw,
        }
    }

    fn limit(
        &self,
        hour: &Hour<'_>,
        served: bool,
        joint: f64,
        ways: [&Direction; 2],
        carrier: Option<&Carrier>,
    ) -> Limit {
        if hour.path.circuit().caution() == RangeCaution::Outside {
            return Limit::OutsideModel;
        }
        if !served {
            return Limit::NotServed;
        }
        let Some(carrier) = carrier else {
            return Limit::AboveMuf { support: 0.0 };
        };
        limit(&LimitInputs {
            chance: joint,
            forward: ways[0].chance.probability(),
            reverse: ways[1].chance.probability(),
            support: carrier.support,
            absorption_db: carrier.losses.absorption_db + carrier.losses.fade_out_db,
            auroral_db: carrier.losses.auroral_db + carrier.losses.polar_cap_db,
            horizon_db: carrier.losses.horizon_db,
            site_gain_dbi: carrier.site_gain_dbi,
        })
    }
}

pub use farhop_days::priors::MODEL_ERROR_SD_DB;

/// Odds must not be surer than the method: its own error joins the spread over days.
fn with_model_error(mut mixture: SignalMixture) -> SignalMixture {
    for component in &mut mixture.components {
        component.power_dbw.sd_low_db = maths::hypot(component.power_dbw.sd_low_db, MODEL_ERROR_SD_DB);
        component.power_dbw.sd_high_db = maths::hypot(component.power_dbw.sd_high_db, MODEL_ERROR_SD_DB);
    }
    mixture
}

fn carrier_layer(layer: Layer) -> CarrierLayer {
    match layer {
        Layer::E => CarrierLayer::E,
        Layer::SporadicE => CarrierLayer::SporadicE,
        Layer::F2 => CarrierLayer::F2,
    }
}

fn power_db(power_w: f64) -> f64 {
    db_of_ratio(power_w.max(1e-12))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

    use crate::analysis::Analysis;
    use crate::declared_book::DeclaredBook;
    use crate::demo::demo;

    #[test]
    fn what_a_cell_shows_belongs_together() {
        let outing = demo();
        let made = Analysis::in_turn(&outing, &DeclaredBook).unwrap();
        let (mut rays, mut ways) = (0, 0);
        for strip in &made.strips {
            let channel = &outing.stations[strip.route.station].channels[strip.route.channel];
            for cell in &strip.cells {
                // Rec. ITU-R P.372: Pn = Fa + 10 log10 b - 204 dBW, here with k T0 to four figures and in dBm. At the station, whose
                // antenna loses nothing, its receiver adds next to nothing; at the site what the antenna loses is off.
                let bare_dbm = |fa_db: f64| fa_db + 10.0 * channel.bandwidth_hz.log10() - 173.975;
                let at_station_db = cell.forward.noise_dbm - bare_dbm(cell.forward.noise_fa_db);
                let at_site_db = cell.reverse.noise_dbm - bare_dbm(cell.reverse.noise_fa_db);
                assert!((-0.1..0.6).contains(&at_station_db), "{at_station_db}");
                let efficiency_db = 10.0 * strip.antenna.efficiency.log10();
                assert!(
                    (efficiency_db - 0.1..0.6).contains(&at_site_db),
                    "{at_site_db} {efficiency_db}"
                );
                for way in [&cell.forward, &cell.reverse] {
                    assert!(way.snr_p10_db <= way.snr_p50_db && way.snr_p50_db <= way.snr_p90_db);
                    ways += 1;
                }
                for ray in cell.rays.iter().filter(|r| r.hops > 0) {
                    let arrives_dbw = ray.site_gain_dbi + ray.station_gain_dbi - ray.loss_db;
                    assert!((arrives_dbw - ray.power_dbw).abs() < 1e-9, "{ray:?}");
                    rays += 1;
                }
                assert!(cell.rays.windows(2).all(|r| r[0].power_dbw >= r[1].power_dbw));
            }
        }
        assert!(rays > 100 && ways > 100);
    }
}
