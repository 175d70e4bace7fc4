//! One hour of one route as a function of the day's factors.

use farhop_earth::UtcTime;
use farhop_propagation::TwoSided;
use farhop_propagation::signal::Signal;

use crate::belief::draws::{Axes, Draw};
use crate::belief::phi::phi;
use crate::belief::priors::{ABSORPTION_LOG_SD, DROPPED, REST_DB, SLIP};
use crate::strip::Route;

/// Normal deviates (dimensionless) of foF2 at which the signal is computed; between them it is interpolated.
const FOF2_NODES: [f64; 9] = [-2.4, -1.6, -1.0, -0.5, 0.0, 0.5, 1.0, 1.6, 2.4];
/// Normal deviates (dimensionless) of foEs.
const ES_NODES: [f64; 4] = [-0.67, 0.45, 1.44, 2.3];
/// Absorption over its forecast (dimensionless).
const ABSORPTION_NODES: [f64; 2] = [0.7, 1.5];
/// One direction beside the signal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// Power of this direction's transmitter over one watt into the antenna, dB.
    pub power_offset_db: f64,
    /// Noise at the receiver, dBW in its bandwidth.
    pub noise_dbw: TwoSided,
}

/// Median and spread of the received power at one node, dBW for one watt.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Node {
    median_dbw: f32,
    sd_low_db: f32,
    sd_high_db: f32,
}

/// The route in one hour, ready to be asked about any day.
#[derive(Clone, Debug, PartialEq)]
pub struct Response {
    /// Which route.
    pub route: Route,
    /// Middle of the hour.
    pub at: UtcTime,
    /// Hour, band and station on the axes of the day.
    pub hour: usize,
    /// Band.
    pub band: usize,
    /// Frequency, MHz.
    pub freq_mhz: f64,
    /// The station listens then.
    pub served: bool,
    /// Chance (dimensionless) that the station is busy when called.
    pub busy: f64,
    /// To the station.
    pub forward: Reach,
    /// To the site.
    pub reverse: Reach,
    /// Signal-to-noise ratio from which a link holds, dB in the channel's bandwidth.
    pub required_snr_db: f64,
    nodes: Vec<Node>,
}

/// What a response is made from besides the signal.
pub struct Around<'a> {
    /// Axes of the day.
    pub axes: &'a Axes,
    /// Which route.
    pub route: Route,
    /// Middle of the hour.
    pub at: UtcTime,
    /// Frequency, MHz.
    pub freq_mhz: f64,
    /// The station listens then.
    pub served: bool,
    /// Chance (dimensionless) that the station is busy.
    pub busy: f64,
    /// Both directions.
    pub reaches: [Reach; 2],
    /// What a link needs, dB.
    pub required_snr_db: f64,
}

/// The response of a signal.
#[must_use]
pub fn response_at(signal: &Signal, around: &Around<'_>) -> Response {
    let mut nodes = Vec::with_capacity(FOF2_NODES.len() * ES_NODES.len() * ABSORPTION_NODES.len());
    for z in FOF2_NODES {
        let fof2_factor = signal.fof2_factor_at(z);
        for e in ES_NODES {
            let foes_mhz = signal.foes_at_mhz(e);
            for absorption in ABSORPTION_NODES {
                let power = signal.component_given(fof2_factor, foes_mhz, absorption).power_dbw;
                nodes.push(Node {
                    median_dbw: power.median_db as f32,
                    sd_low_db: power.sd_low_db as f32,
                    sd_high_db: power.sd_high_db as f32,
                });
            }
        }
    }
    without_absorption(&mut nodes);
    Response {
        route: around.route,
        at: around.at,
        hour: around.axes.hour(around.at),
        band: around.axes.band(around.freq_mhz),
        freq_mhz: around.freq_mhz,
        served: around.served,
        busy: around.busy,
        forward: around.reaches[0],
        reverse: around.reaches[1],
        required_snr_db: around.required_snr_db,
        nodes,
    }
}

/// The slow spread of Rec. ITU-R P.842 holds what absorption does from day to day; the belief follows that by itself, so that it is
/// taken out of the spread.
fn without_absorption(nodes: &mut [Node]) {
    let step = (ABSORPTION_NODES[1] - ABSORPTION_NODES[0]) as f32;
    for pair in nodes.chunks_exact_mut(ABSORPTION_NODES.len()) {
        let own_sd_db = ABSORPTION_LOG_SD as f32 * (pair[0].median_dbw - pair[1].median_dbw).abs() / step;
        for node in pair {
            let less = |sd: f32| {
                (sd * sd - own_sd_db * own_sd_db)
                    .max(LEAST_SLOW_DB * LEAST_SLOW_DB)
                    .sqrt()
            };
            node.sd_low_db = less(node.sd_low_db);
            node.sd_high_db = less(node.sd_high_db);
        }
    }
}

/// Least slow spread that is left, dB.
const LEAST_SLOW_DB: f32 = 2.5;

/// A deviate of a two-sided spread of which [`REST_DB`] is left for the single call, dB.
fn deviation_db(z: f32, sd_low_db: f32, sd_high_db: f32) -> f32 {
    let sd = if z < 0.0 { sd_low_db } else { sd_high_db };
    let rest = REST_DB as f32;
    z * (sd * sd - rest * rest).max(0.25).sqrt()
}

/// Place of a deviate among nodes: index of the lower one, and the share of the upper one.
fn place(nodes: &[f64], z: f32) -> (usize, f32) {
    let z = f64::from(z).clamp(nodes[0], nodes[nodes.len() - 1]);
    let upper = nodes.iter().position(|n| *n >= z).unwrap_or(nodes.len() - 1).max(1);
    let share = (z - nodes[upper - 1]) / (nodes[upper] - nodes[upper - 1]);
    (upper - 1, share as f32)
}

/// A route on one day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Median signal-to-noise ratio at the station, dB.
    pub there_db: f32,
    /// Median signal-to-noise ratio at the site, dB.
    pub here_db: f32,
    /// Chance that the gateway is met and no slip made (dimensionless).
    pub met: f32,
}

impl Response {
    /// Received power on a day, dBW for one watt, with all offsets of that day that count both ways.
    fn signal_dbw(&self, day: &Draw) -> f32 {
        let (f, fs) = place(&FOF2_NODES, day.fof2_z[self.hour]);
        let (e, es) = place(&ES_NODES, day.es_z[self.hour]);
        let factor = (ABSORPTION_LOG_SD as f32 * day.absorption_z[self.hour]).exp();
        // Loss in dB is proportional to absorption: straight on beyond the nodes, too.
        let [low, high] = ABSORPTION_NODES.map(|n| n as f32);
        let a = ((factor - low) / (high - low)).clamp(-1.0, 4.0);
        let at = |i: usize, j: usize, k: usize| self.nodes[(i * ES_NODES.len() + j) * ABSORPTION_NODES.len() + k];
        let mix = |x: Node, y: Node, s: f32| Node {
            median_dbw: x.median_dbw + s * (y.median_dbw - x.median_dbw),
            sd_low_db: x.sd_low_db + s * (y.sd_low_db - x.sd_low_db),
            sd_high_db: x.sd_high_db + s * (y.sd_high_db - x.sd_high_db),
        };
        let along = |i: usize, j: usize| mix(at(i, j, 0), at(i, j, 1), a);
        let node = mix(
            mix(along(f, e), along(f, e + 1), es),
            mix(along(f + 1, e), along(f + 1, e + 1), es),
            fs,
        );
        let z = day.slow_z[self.band * day.fof2_z.len() + self.hour];
        let slow_db = deviation_db(z, node.sd_low_db, node.sd_high_db);
        node.median_dbw + slow_db + day.band_db[self.band] + day.station_db[self.route.station]
    }

    /// Noise at the site on a day, dBW: its median moved by the day's deviate.
    #[must_use]
    pub fn site_noise_dbw(&self, day: &Draw) -> f32 {
        let z = day.noise_z[self.band * day.fof2_z.len() + self.hour];
        let noise = &self.reverse.noise_dbw;
        noise.median_db as f32 + deviation_db(z, noise.sd_low_db as f32, noise.sd_high_db as f32)
    }

    /// Median signal-to-noise ratio on a day at the station, dB; from call to call it varies by [`Self::rest_db`].
    #[must_use]
    pub fn snr_there_db(&self, day: &Draw) -> f32 {
        let noise = &self.forward.noise_dbw;
        let z = day.station_noise_z[self.route.station * day.fof2_z.len() + self.hour];
        let noise_dbw = noise.median_db as f32 + deviation_db(z, noise.sd_low_db as f32, noise.sd_high_db as f32);
        self.signal_dbw(day) + day.own_db + self.forward.power_offset_db as f32 - noise_dbw
    }

    /// Median signal-to-noise ratio on a day at the site, dB; from call to call it varies by [`Self::rest_db`].
    #[must_use]
    pub fn snr_here_db(&self, day: &Draw) -> f32 {
        self.signal_dbw(day) + self.reverse.power_offset_db as f32 - self.site_noise_dbw(day)
    }

    /// Standard deviation of a ratio from call to call on one day, dB: what is left of signal and noise.
    #[must_use]
    pub fn rest_db() -> f32 {
        (REST_DB * std::f64::consts::SQRT_2) as f32
    }

    /// What a day has for the route, to be asked about several messages.
    #[must_use]
    pub fn moment(&self, day: &Draw) -> Moment {
        Moment {
            there_db: self.snr_there_db(day),
            here_db: self.snr_here_db(day),
            met: self.met(day),
        }
    }

    /// As [`Self::delivers`], from the day's numbers.
    #[must_use]
    pub fn delivers_at(&self, moment: &Moment, margin_db: f32) -> f32 {
        if !self.served {
            return 0.0;
        }
        let need = self.required_snr_db as f32 + margin_db;
        let rest = Self::rest_db();
        let both = phi((moment.there_db - need) / rest) * phi((moment.here_db - need) / rest);
        (1.0 - DROPPED) as f32 * moment.met * both
    }

    /// Chance (dimensionless) on a day that both directions are good enough at the moment of a call, `margin_db` (dB) above what a
    /// link needs. Hours of service count; that a gateway is off or busy does not. What is left from call to call is taken as
    /// independent in both directions.
    #[must_use]
    pub fn both_ways(&self, day: &Draw, margin_db: f32) -> f32 {
        if !self.served {
            return 0.0;
        }
        let need = self.required_snr_db as f32 + margin_db;
        let rest = Self::rest_db();
        phi((self.snr_there_db(day) - need) / rest) * phi((self.snr_here_db(day) - need) / rest)
    }

    /// Chance (dimensionless) on a day that a call meets a gateway that is on and free, and no slip of the operator.
    #[must_use]
    pub fn met(&self, day: &Draw) -> f32 {
        if day.off[self.route.station] {
            0.0
        } else {
            ((1.0 - self.busy) * (1.0 - SLIP)) as f32
        }
    }

    /// Chance (dimensionless) on a day that a call now leads to a link that carries a message needing `margin_db` (dB) above what
    /// a link needs: the gateway is on and free, the operator makes no slip, both directions are good enough, the link is not
    /// dropped.
    #[must_use]
    pub fn delivers(&self, day: &Draw, margin_db: f32) -> f32 {
        (1.0 - DROPPED) as f32 * self.met(day) * self.both_ways(day, margin_db)
    }
}
