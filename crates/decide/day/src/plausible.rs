//! Entries that are possible and usually a slip: questions about what is logged, from the day as it stands.

use farhop_earth::{Place, geodesic};
use farhop_outing::{Battery, Outing};
use farhop_plausible::{
    HIGH_MAST_M, HOT_C, K_APART, LARGEST_MESSAGE_BYTES, LOUD_NOISE_DBM, Question, SILENT_NOISE_DBM,
    SMALLEST_MESSAGE_BYTES, about_entry, fof2_odd, k_of_a,
};

use crate::call::{Call, Outcome};
use crate::event::{Event, Spot, Strength};
use crate::hang::Measures;
use crate::reading::{Fof2, SpaceWeather};
use crate::state::DayState;

/// Longest session, minutes (a judgement).
const LONG_MIN: f64 = 90.0;
/// So many times what the set gives is not its power (dimensionless): meters read a third too much.
const POWER_SHARE: f64 = 1.5;
/// A battery is never so many times below or above its nominal voltage (dimensionless): empty cells of nickel 0.8, charging lead 1.25.
const VOLTS: std::ops::RangeInclusive<f64> = 0.7..=1.3;
/// Current of a panel over what its watts are at the battery's voltage (dimensionless): cold panels at high sun give a quarter more.
const PANEL_SHARE: f64 = 1.6;
/// Highest SWR that meters read (a judgement).
const SWR: f64 = 25.0;
/// Air may differ so much from what the outing expects, °C (a judgement).
const TEMPERATURE_C: f64 = 30.0;
/// A place so far from every site is not on the way, km (a judgement).
const AWAY_KM: f64 = 150.0;
/// Signal-to-noise ratios that are reported, dB (a judgement).
const SNR_DB: std::ops::RangeInclusive<f64> = -25.0..=45.0;

/// What is odd about an event on this day. Nothing is changed and nothing refused.
#[must_use]
pub fn questions(event: &Event, day: &DayState) -> Vec<Question> {
    let mut ask = Ask(Vec::new());
    let outing = &day.outing;
    match event {
        Event::Called(call) => called(call, day, &mut ask),
        Event::Heard(heard) => {
            if let Some(Strength::Snr { snr_db }) = heard.strength {
                ask.snr(snr_db);
            }
        }
        Event::Noise(noise) => {
            let level_dbm = noise.level.level_dbm();
            if !(SILENT_NOISE_DBM..=LOUD_NOISE_DBM).contains(&level_dbm) {
                ask.about("noise-odd", format!("noise of {level_dbm:.0} dBm"));
            }
        }
        Event::Swr(reading) => ask.swr(Some(reading.swr)),
        Event::Voltage(reading) => volts(reading.voltage_v, outing, &mut ask),
        Event::PanelCurrent(reading) => panel(reading.current_a, outing, &mut ask),
        Event::Weather(weather) => temperature(weather.temperature_c, outing, &mut ask),
        Event::Moved(spot) => moved(spot, outing, &mut ask),
        Event::Conditions(heard) => indices(heard, day, &mut ask),
        Event::Antenna(hung) => heights(&hung.measures, &mut ask),
        Event::Written(message) => ask.size(Some(message.bytes), "the message"),
        Event::Received(message) => ask.size(message.bytes, "what came in"),
        Event::PowerOut(reading) => {
            power(reading.power_w, outing, &mut ask);
            ask.swr(reading.swr);
        }
        Event::Fof2(heard) => critical_frequency(heard, day, &mut ask),
        _ => {}
    }
    ask.0
}

struct Ask(Vec<Question>);

impl Ask {
    fn about(&mut self, id: &str, seen: String) {
        self.0.extend(about_entry(id, seen));
    }

    fn snr(&mut self, snr_db: f64) {
        if !SNR_DB.contains(&snr_db) {
            self.about("log-snr", format!("{snr_db} dB above the noise"));
        }
    }

    fn swr(&mut self, swr: Option<f64>) {
        if let Some(swr) = swr.filter(|swr| *swr > SWR) {
            self.about("log-swr", format!("the SWR is {swr}"));
        }
    }

    fn size(&mut self, bytes: Option<u64>, what: &str) {
        if let Some(bytes) = bytes.filter(|b| !(SMALLEST_MESSAGE_BYTES..=LARGEST_MESSAGE_BYTES).contains(b)) {
            self.about("message-size", format!("{what} has {bytes} bytes"));
        }
    }
}

fn called(call: &Call, day: &DayState, ask: &mut Ask) {
    let minutes = call.minutes.unwrap_or(0.0);
    let sent: Vec<u64> = match &call.outcome {
        Outcome::Session(session) => session.sent.iter().map(|p| p.bytes).filter(|b| *b > 0).collect(),
        Outcome::Delivered { bytes, .. } => vec![*bytes],
        _ => Vec::new(),
    };
    // A message of the outing that is as short as that is no slip.
    let known = |bytes: &u64| day.messages.iter().any(|m| m.message.size_bytes == *bytes);
    let small = sent.iter().find(|b| **b < SMALLEST_MESSAGE_BYTES && !known(b));
    if let Some(bytes) = small {
        ask.about("log-minutes", format!("{bytes} bytes went in {minutes} minutes"));
    } else if minutes > LONG_MIN {
        ask.about("log-minutes", format!("the call took {minutes} minutes"));
    }
    if let Some(power_w) = call.power_w {
        power(power_w, &day.outing, ask);
    }
    if let Some(snr_db) = call.snr_db {
        ask.snr(snr_db);
    }
}

fn power(power_w: f64, outing: &Outing, ask: &mut Ask) {
    let levels = &outing.kit.transceiver.power_levels_w;
    let most_w = levels.iter().copied().fold(outing.kit.transceiver.power_w, f64::max);
    if power_w > POWER_SHARE * most_w {
        ask.about("log-power", format!("{power_w} W, the set has {most_w} W"));
    }
}

fn carried(outing: &Outing) -> impl Iterator<Item = &Battery> {
    outing.kit.batteries.iter()
}

fn volts(voltage_v: f64, outing: &Outing, ask: &mut Ask) {
    let fits = |nominal_v: f64| VOLTS.contains(&(voltage_v / nominal_v));
    let converters = outing.kit.converters.iter().map(|c| c.out_v);
    let mut known = carried(outing).map(Battery::nominal_v).chain(converters).peekable();
    if known.peek().is_some() && !known.any(fits) {
        ask.about("log-volt", format!("{voltage_v} V"));
    }
}

fn panel(current_a: f64, outing: &Outing, ask: &mut Ask) {
    let rated_w: f64 = outing.kit.panels.iter().map(|p| p.rated_w).sum();
    let least_v = carried(outing).map(Battery::nominal_v).fold(f64::INFINITY, f64::min);
    // Without a battery its current is not known; twelve volts is what small panels are made for.
    let volts_v = if least_v.is_finite() { least_v } else { 12.0 };
    let most_a = PANEL_SHARE * rated_w / volts_v;
    if rated_w > 0.0 && current_a > most_a {
        ask.about("log-panel", format!("{current_a} A from panels of {rated_w} W"));
    }
}

fn temperature(value_c: Option<f64>, outing: &Outing, ask: &mut Ask) {
    let Some(value_c) = value_c else { return };
    let away = |site: &farhop_outing::Site| {
        let (low, high) = (
            site.night_temperature_c.min(site.temperature_c),
            site.night_temperature_c.max(site.temperature_c),
        );
        value_c < low - TEMPERATURE_C || value_c > high + TEMPERATURE_C
    };
    if value_c > HOT_C || (!outing.sites.is_empty() && outing.sites.iter().all(away)) {
        ask.about("temperature-odd", format!("{value_c} °C"));
    }
}

fn moved(spot: &Spot, outing: &Outing, ask: &mut Ask) {
    let Spot::Point { lat_deg, lon_deg } = spot else { return };
    let Ok(place) = Place::new(*lat_deg, *lon_deg) else {
        return;
    };
    let all = outing.sites.iter().map(|s| geodesic(s.place, place).distance_km);
    let nearest_km = all.fold(f64::INFINITY, f64::min);
    if nearest_km > AWAY_KM && nearest_km.is_finite() {
        ask.about(
            "log-place",
            format!("{lat_deg},{lon_deg} is {nearest_km:.0} km from the nearest site"),
        );
    }
}

fn indices(heard: &SpaceWeather, day: &DayState, ask: &mut Ask) {
    let before = day.readings.conditions.as_ref().map(|n| &n.value);
    let k = heard.k_index.or(before.and_then(|b| b.k_index));
    let a = heard.a_index.or(before.and_then(|b| b.a_index));
    if let (Some(k), Some(a)) = (k, a)
        && (k_of_a(a) - k).abs() >= K_APART
    {
        ask.about(
            "k-against-a",
            format!("K is {k} and A is {a}, which is a K of about {:.0}", k_of_a(a)),
        );
    }
}

fn heights(measures: &Measures, ask: &mut Ask) {
    let all = [
        measures.apex_height_m,
        measures.end_height_m,
        measures.height_m,
        measures.feed_height_m,
        measures.far_height_m,
        measures.corner_height_m,
        measures.base_height_m,
    ];
    if let Some(height_m) = all.into_iter().flatten().find(|h| *h > HIGH_MAST_M) {
        ask.about("antenna-high", format!("it hangs at {height_m} m"));
    }
}

fn critical_frequency(heard: &Fof2, day: &DayState, ask: &mut Ask) {
    let stated = heard
        .lat_deg
        .zip(heard.lon_deg)
        .and_then(|(lat, lon)| Place::new(lat, lon).ok());
    let own = day
        .stay
        .as_ref()
        .and_then(|s| s.site)
        .and_then(|i| day.outing.sites.get(i));
    let Some(place) = stated.or(own.map(|s| s.place)) else {
        return;
    };
    if let Some(odd) = fof2_odd(&day.outing, place, day.now, heard.fof2_mhz) {
        ask.about(
            "fof2-odd",
            format!(
                "foF2 of {} MHz, where the maps give {:.1} MHz",
                heard.fof2_mhz, odd.expected_mhz
            ),
        );
    }
}
