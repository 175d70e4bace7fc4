//! Every site, station, channel and antenna through the hours.

use crate::error::PlanError;
use std::sync::Arc;

use farhop_earth::{Ground, SunOfInstant, UtcTime};
use farhop_ionosphere::{Ionosphere, Sky};
use farhop_outing::{Channel, Outing, Site, Station};
use farhop_propagation::ground_wave::launch_gain_db;
use farhop_propagation::noise::Receiver;
use farhop_propagation::{Circuit, CircuitSky, Horizon};

use crate::book::{AntennaBook, AntennaHere, Radiator};
use crate::declared_book::station_radiator;
use crate::delivery::usual_ladder;
use crate::link::{Hour, LinkEnds};
use crate::noise::{learned_noise_db, measured_at};
use crate::requirement::required_snr_db;
use crate::setting::Setting;
use crate::strip::{Route, STEP_S, Strip};

/// Noise figure of a station's receiver, dB (common practice for a fixed HF receiver; never the limit below 20 MHz).
pub(crate) const STATION_NOISE_FIGURE_DB: f64 = 10.0;
/// Longest path on which the ground wave is computed, km: beyond it is below every other contribution.
pub(crate) const GROUND_WAVE_REACH_KM: f64 = 400.0;

/// Something that could not be used, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// Site, antenna, station and channel in words of the outing.
    pub what: String,
    /// Why.
    pub why: String,
}

/// The hours of a stay: middles of full hours of universal time that lie at least half inside it.
#[must_use]
pub fn hours_of(start: UtcTime, end: UtcTime) -> Vec<UtcTime> {
    let first = start.unix_s().div_euclid(STEP_S) * STEP_S + STEP_S / 2;
    let mut hours = Vec::new();
    let mut middle_s = first;
    while middle_s < end.unix_s() {
        if middle_s >= start.unix_s()
            && let Ok(time) = UtcTime::from_unix_s(middle_s)
        {
            hours.push(time);
        }
        middle_s += STEP_S;
    }
    hours
}

/// What one site and one station give: all routes in the hours of the stay.
#[derive(Clone, Debug, Default)]
pub struct DrawnPair {
    /// Every route in every hour as a function of the drawn days' factors.
    pub responses: Vec<farhop_days::Response>,
    /// The working beside it, where it was asked for.
    pub strips: Vec<Strip>,
    /// What could not be computed.
    pub left_out: Vec<LeftOut>,
}

/// All routes of one site and station in the hours of its stay, as functions of the drawn days' factors: the unit of work that may run
/// beside others. What could not be computed is said.
#[must_use]
pub(crate) fn drawn_pair(
    outing: &Outing,
    setting: &Setting,
    book: &dyn AntennaBook,
    (axes, working): (&farhop_days::Axes, bool),
    pair: (usize, usize),
) -> DrawnPair {
    let Some(site) = outing.sites.get(pair.0) else {
        return DrawnPair::default();
    };
    let (start, end) = stay(outing, site);
    drawn_hours(outing, setting, book, (axes, working, &hours_of(start, end)), pair)
}

/// As [`drawn_pair`], in the hours given by their middles.
#[must_use]
pub(crate) fn drawn_hours(
    outing: &Outing,
    setting: &Setting,
    book: &dyn AntennaBook,
    (axes, working, hours): (&farhop_days::Axes, bool, &[UtcTime]),
    pair: (usize, usize),
) -> DrawnPair {
    let (Some(site), Some(station)) = (outing.sites.get(pair.0), outing.stations.get(pair.1)) else {
        return DrawnPair::default();
    };
    let sky = Ionosphere::embedded().sky(&setting.field, &setting.conditions);
    let circuit = Circuit::new(site.place, station.place).with_ground(site.ground, station.ground);
    let of_pair = Pair {
        outing,
        site,
        station,
        book,
        circuit: &circuit,
        indices: pair,
        geomagnetic_lat_deg: setting.field.geomagnetic_lat_deg(circuit.arc.midpoint()),
    };
    let mut found = DrawnPair::default();
    let routes = routes(&of_pair, &mut found.left_out);
    found.responses.reserve(routes.len() * hours.len());
    if working {
        found.strips = empty_strips(&routes, hours.len());
    }
    walk_hours((&sky, setting), &circuit, hours, &routes, &mut |index, hour| {
        let (route, ends) = &routes[index];
        let heard = ends.heard(hour);
        found.responses.push(ends.drawn(hour, &heard, (axes, *route)));
        if let Some(strip) = found.strips.get_mut(index) {
            strip.cells.push(ends.cell(hour, &heard));
        }
    });
    found
}

/// From when to when somebody can be on the air at a site: as the outing says, else after the walk in.
#[must_use]
pub fn stay(outing: &Outing, site: &Site) -> (UtcTime, UtcTime) {
    let (start, end) = outing.stay_at(site);
    let walk_s = (site.walk_in_h * 3_600.0) as i64;
    (
        if site.from.is_some() {
            start
        } else {
            start.add_s(walk_s)
        },
        end,
    )
}

/// What the routes of a pair are made from.
struct Pair<'a> {
    outing: &'a Outing,
    site: &'a Site,
    station: &'a Station,
    book: &'a dyn AntennaBook,
    circuit: &'a Circuit,
    indices: (usize, usize),
    geomagnetic_lat_deg: f64,
}

/// The links of a pair: every channel with every antenna that serves it.
fn routes<'a>(pair: &Pair<'a>, left_out: &mut Vec<LeftOut>) -> Vec<(Route, LinkEnds<'a>)> {
    let mut routes = Vec::new();
    for (channel, of_channel) in pair.station.channels.iter().enumerate() {
        let station_side = station_radiator(pair.station, of_channel.freq_mhz);
        for antenna in pair
            .outing
            .antennas_at(pair.site)
            .filter(|a| a.serves(of_channel.freq_mhz))
        {
            let Some(index) = pair.outing.kit.antennas.iter().position(|a| a.id == antenna.id) else {
                continue;
            };
            let ends = station_side.clone().and_then(|radiator| {
                let here = pair.book.antenna_at(antenna, pair.site, of_channel.freq_mhz)?;
                link_ends(pair, channel, here, radiator)
            });
            let route = Route {
                site: pair.indices.0,
                station: pair.indices.1,
                channel,
                antenna: index,
            };
            match ends {
                Ok(ends) => routes.push((route, ends)),
                Err(why) => {
                    let what = format!(
                        "{} at {} to {} on {} MHz",
                        antenna.name, pair.site.name, pair.station.callsign, of_channel.freq_mhz
                    );
                    left_out.push(LeftOut {
                        what,
                        why: why.to_string(),
                    });
                }
            }
        }
    }
    routes
}

fn link_ends<'a>(
    pair: &Pair<'a>,
    channel: usize,
    antenna: AntennaHere,
    station_radiator: Arc<dyn Radiator>,
) -> Result<LinkEnds<'a>, PlanError> {
    let (site, station) = (pair.site, pair.station);
    let channel = &station.channels[channel];
    let efficiency = antenna.efficiency.clamp(1e-9, 1.0);
    let noise_figure_db = pair.outing.kit.transceiver.noise_figure_db;
    let horizon = Horizon {
        elevation_deg: site.horizon.elevation_deg(pair.circuit.bearing_deg),
        distance_km: site.horizon.distance_km,
    };
    let ground_wave_loss_db = ground_wave_db(
        pair.circuit,
        channel.freq_mhz,
        antenna.radiator.as_ref(),
        station_radiator.as_ref(),
    );
    Ok(LinkEnds {
        site,
        station,
        channel,
        antenna,
        station_radiator,
        power_w: pair.outing.kit.transceiver.power_w,
        site_receiver: Receiver::new(noise_figure_db, efficiency, 0.0)?,
        station_receiver: Receiver::new(STATION_NOISE_FIGURE_DB, 1.0, 0.0)?,
        measured: measured_at(pair.outing, site, channel.freq_mhz)?,
        horizon,
        ground_wave_loss_db,
        required_snr_db: requirement(pair, channel)?,
        learned_offset_db: learned_offset_db(pair.outing),
        learned_noise_db: learned_noise_db(pair.outing, channel.freq_mhz),
    })
}

/// What the channel's usual link needs on this path, dB in the channel's bandwidth.
fn requirement(pair: &Pair<'_>, channel: &Channel) -> Result<f64, PlanError> {
    let ladder = usual_ladder(pair.outing, channel, pair.circuit.distance_km, pair.geomagnetic_lat_deg);
    ladder
        .and_then(|ladder| required_snr_db(&ladder, channel.bandwidth_hz))
        .map_err(PlanError::from)
}

fn learned_offset_db(outing: &Outing) -> f64 {
    let learned = outing.conditions.learned.as_ref();
    learned.and_then(|l| l.own_station_db).map_or(0.0, |s| s.value_own_unit)
}

/// Elevation at which an antenna's pattern is read for what it gives to the ground wave, degrees: low enough for the limit of low
/// angles to hold (0.1 dB for a wire on the ground), high enough for a solved pattern to have figures.
const GROUND_WAVE_ELEVATION_DEG: f64 = 10.0;

/// The ground wave between the terminals of both antennas, dB, where the path is short enough for one. Each end counts with what
/// its vertically polarised field gives to it; an antenna of which only a gain is told with that gain, at most 0 dBi (a judgement).
fn ground_wave_db(circuit: &Circuit, freq_mhz: f64, site: &dyn Radiator, station: &dyn Radiator) -> Option<f64> {
    if circuit.distance_km > GROUND_WAVE_REACH_KM {
        return None;
    }
    let end_db = |radiator: &dyn Radiator, bearing_deg: f64, ground: Ground| {
        let low = GROUND_WAVE_ELEVATION_DEG;
        match radiator.vertical_gain_dbi(low, bearing_deg) {
            Some(vertical) => launch_gain_db(vertical, low, ground.constants(), freq_mhz),
            None => radiator.gain_dbi(low, bearing_deg).min(0.0),
        }
    };
    let loss_db = circuit.ground_wave_loss_db(freq_mhz).ok()?;
    let at_site = end_db(site, circuit.bearing_deg, circuit.from_ground);
    let at_station = end_db(station, circuit.back_bearing_deg, circuit.to_ground);
    Some(loss_db - at_site - at_station)
}

fn empty_strips(routes: &[(Route, LinkEnds<'_>)], hours: usize) -> Vec<Strip> {
    let one = |(route, ends): &(Route, LinkEnds<'_>)| Strip {
        route: *route,
        antenna: ends.antenna.figures(),
        required_snr_db: ends.required_snr_db,
        cells: Vec::with_capacity(hours),
    };
    routes.iter().map(one).collect()
}

/// Every link in every hour. The path is computed once an hour, its modes once a frequency.
fn walk_hours(
    (sky, setting): (&Sky<'_>, &Setting),
    circuit: &Circuit,
    hours: &[UtcTime],
    routes: &[(Route, LinkEnds<'_>)],
    visit: &mut dyn FnMut(usize, &Hour<'_>),
) {
    let circuit_sky = CircuitSky::new(sky, circuit, setting.middle).with_events(setting.events.clone());
    let above = |end| sky.above(end, setting.middle);
    let (above_site, above_station) = (above(circuit.from), above(circuit.to));
    for &time in hours {
        let sun = SunOfInstant::new(time);
        let path = circuit_sky.at_with_sun(time, &sun);
        let site_fof2_mhz = above_site.at_with_sun(time, &sun).fof2_mhz;
        let station_fof2_mhz = above_station.at_with_sun(time, &sun).fof2_mhz;
        let mut modes_of: Option<(f64, Vec<farhop_propagation::Mode>)> = None;
        for (index, (_, ends)) in routes.iter().enumerate() {
            let freq_mhz = ends.channel.freq_mhz;
            if modes_of.as_ref().is_none_or(|(f, _)| *f != freq_mhz) {
                modes_of = Some((freq_mhz, path.modes(freq_mhz)));
            }
            let modes = modes_of.as_ref().map_or(&[][..], |(_, modes)| modes);
            visit(
                index,
                &Hour {
                    path: &path,
                    modes,
                    site_fof2_mhz,
                    station_fof2_mhz,
                },
            );
        }
    }
}
