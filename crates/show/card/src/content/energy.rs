//! The charge: what should be left when, and when to stop.

use farhop_earth::clock::{in_zone, local_hm};
use farhop_plan::Chance;
use farhop_plan::power::{EnergyForecast, TransmitStop};
use farhop_show::energy::EnergyReport;

use crate::source::Source;

/// The charge through the outing.
#[derive(Clone, Debug, PartialEq)]
pub struct EnergyRows {
    /// When to stop sending, short: `Stop sending Sun 13 03:20`.
    pub stop: String,
    /// The verdict of the energy report.
    pub verdict: String,
    /// Charge every few hours.
    pub points: Vec<ChargePoint>,
    /// Share of the battery that stays (dimensionless).
    pub reserve: f64,
    /// When sending must stop, as a share of the outing (dimensionless).
    pub stop_at: Option<f64>,
    /// Charge that keying needs: `5 W can be keyed down to 12 % charge at 3 °C.`
    pub keying: Option<String>,
    /// Instants named below the picture: share of the outing (dimensionless), and words.
    pub hours: Vec<(f64, String)>,
    /// Spans of darkness as shares of the outing (dimensionless).
    pub dark: Vec<(f64, f64)>,
}

/// Charge at one instant, all dimensionless.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChargePoint {
    /// Share of the outing that has passed.
    pub at: f64,
    /// Charge that nine scenarios in ten have.
    pub p10: f64,
    /// Median charge.
    pub p50: f64,
    /// Charge that one scenario in ten has.
    pub p90: f64,
}

/// Points of the curve.
const POINTS: usize = 72;
/// Spacing of named hours, s.
const NAMED_S: i64 = 6 * 3_600;
/// Most hours that are named.
const MOST_NAMED: usize = 12;

/// The charge of a forecast.
#[must_use]
pub fn rows(source: &Source<'_>, forecast: &EnergyForecast) -> EnergyRows {
    let duration_s = forecast.input().duration_s.max(1.0);
    let stop_s = match forecast.outcome.transmit.stop {
        TransmitStop::At { time_s } => Some(time_s),
        TransmitStop::NotNeeded | TransmitStop::NeverKept => None,
    };
    let report = EnergyReport {
        outing: source.outing,
        forecast,
        reader: source.reader.clone(),
        defaults: Vec::new(),
    };
    let point = |k: usize| {
        let at = k as f64 / POINTS as f64;
        let share = forecast.share_at(at * duration_s);
        ChargePoint {
            at,
            p10: share.p10,
            p50: share.p50,
            p90: share.p90,
        }
    };
    EnergyRows {
        stop: stop_words(source, forecast),
        verdict: report.verdict(),
        points: (0..=POINTS).map(point).collect(),
        reserve: forecast.input().reserve_share,
        stop_at: stop_s.map(|s| s / duration_s),
        keying: keying(source, forecast),
        hours: hours(source, forecast, duration_s),
        dark: dark(forecast, duration_s),
    }
}

fn stop_words(source: &Source<'_>, forecast: &EnergyForecast) -> String {
    let moment = |time_s: f64| {
        let at = forecast.at(time_s);
        let day = in_zone(at, &source.reader.zone).strftime("%a %-d").to_string();
        format!("{day} {}", local_hm(at, &source.reader.zone))
    };
    let (chance_dry, when) = forecast.dry();
    match forecast.outcome.transmit.stop {
        TransmitStop::At { time_s } => format!("Stop sending {}", moment(time_s)),
        TransmitStop::NotNeeded => "No hour to stop: all can be sent".to_owned(),
        TransmitStop::NeverKept if chance_dry >= 0.5 => format!("Dry about {}: send first", moment(when.p50)),
        TransmitStop::NeverKept => format!("Reserve fails; dry {}", Chance::new(chance_dry)),
    }
}

/// The least charge for keying in the coldest air.
fn keying(source: &Source<'_>, forecast: &EnergyForecast) -> Option<String> {
    let coldest = forecast.least_charge.last()?;
    let power_w = source.outing.kit.transceiver.power_w;
    let temp = source.reader.units.temperature(coldest.temp_c);
    Some(match coldest.share {
        Some(share) => format!(
            "Battery at {temp}: {power_w} W can be keyed down to {:.0} % charge.",
            100.0 * share
        ),
        None => format!("Battery at {temp}: {power_w} W cannot be keyed at all; warm it."),
    })
}

/// Every sixth local hour with its charge, fewer on long outings.
fn hours(source: &Source<'_>, forecast: &EnergyForecast, duration_s: f64) -> Vec<(f64, String)> {
    let start_s = forecast.start.unix_s();
    let mut step_s = NAMED_S;
    while duration_s / step_s as f64 > MOST_NAMED as f64 {
        step_s *= 2;
    }
    let offset_s = i64::from(in_zone(forecast.start, &source.reader.zone).offset().seconds());
    let first_s = step_s - (start_s + offset_s).rem_euclid(step_s);
    (0..)
        .map(|k| first_s + k * step_s)
        .take_while(|t| (*t as f64) < duration_s)
        .map(|t| {
            let at = in_zone(forecast.at(t as f64), &source.reader.zone);
            (t as f64 / duration_s, at.strftime("%H").to_string())
        })
        .collect()
}

fn dark(forecast: &EnergyForecast, duration_s: f64) -> Vec<(f64, f64)> {
    let mut spans: Vec<(f64, f64)> = Vec::new();
    for pair in forecast.moments.windows(2) {
        let [now, next] = pair else { continue };
        if now.sun_elevation_deg >= -0.833 {
            continue;
        }
        let (from, to) = (now.time_s / duration_s, (next.time_s / duration_s).min(1.0));
        match spans.last_mut() {
            Some(last) if (last.1 - from).abs() < 1e-9 => last.1 = to,
            _ => spans.push((from, to)),
        }
    }
    spans
}
