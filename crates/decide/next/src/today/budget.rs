//! What may still be spent on calls.

use farhop_day::{Event, Outcome};
use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_plan::power::{ChargeRead, EnergyForecast, VoltageReading, set_off_between_calls};

use crate::today::Today;
use crate::today::known::Known;

/// Draw while calling as a share of the draw while sending (dimensionless; common practice, from memory).
const CALLING_SHARE: f64 = 0.6;
/// Minutes of a call whose length was not written down (common practice).
const USUAL_CALL_MIN: f64 = 4.0;
/// Temperature of a battery where nothing says it, °C (a judgement).
const USUAL_C: f64 = 10.0;

/// Energy for calls.
#[derive(Clone, Debug)]
pub struct Budget {
    /// The charge without any further call: from the newest voltage reading on, else through the outing; none where it cannot be
    /// computed.
    pub forecast: Option<EnergyForecast>,
    /// The charge through the outing as it was forecast, before any reading.
    pub planned: Option<EnergyForecast>,
    /// What the newest voltage reading says, if there is one.
    pub measured: Option<ChargeMeasured>,
    /// Why not, in words.
    pub why_not: Option<String>,
    /// What calls have taken so far, Wh.
    pub spent_wh: f64,
    /// What calls may still take so that nine scenarios in ten keep the reserve with the set off between them, Wh; infinite where it is
    /// not known.
    pub left_wh: f64,
    /// What the battery holds for calls now with nothing kept back, Wh, nine times in ten; infinite where it is not known. What carries an
    /// emergency may take it.
    pub left_now_wh: f64,
    /// Charge now (dimensionless): nine scenarios in ten have more, and the middle one.
    pub share_now: Option<(f64, f64)>,
}

/// The charge by a voltage reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChargeMeasured {
    /// When it was read.
    pub at: UtcTime,
    /// Number of the entry.
    pub entry: u64,
    /// As read, V.
    pub voltage_v: f64,
    /// The charge then.
    pub charge: ChargeRead,
}

impl Budget {
    /// The budget of a day.
    #[must_use]
    pub fn of(today: &Today) -> Self {
        Self::knowing(today, &mut Known::default())
    }

    /// The same, with what the last step worked out.
    pub(crate) fn knowing(today: &Today, known: &mut Known) -> Self {
        let spent_wh = spent_wh(&today.outing, today, None);
        let planned = match known.planned(&today.outing) {
            Ok(planned) => planned,
            Err(why) => {
                return Self {
                    forecast: None,
                    planned: None,
                    measured: None,
                    why_not: Some(why.to_string()),
                    spent_wh,
                    left_wh: f64::INFINITY,
                    left_now_wh: f64::INFINITY,
                    share_now: None,
                };
            }
        };
        let measured = measured(today, &planned);
        let from_reading = measured.and_then(|m| {
            let from = (m.at, m.charge.share);
            known.ahead(&today.outing, from, (&today.outing, &planned)).ok()
        });
        // A reading already holds what was spent before it.
        let spent_since_wh = match (&measured, &from_reading) {
            (Some(m), Some(_)) => self::spent_wh(&today.outing, today, Some(m.at)),
            _ => spent_wh,
        };
        let forecast = from_reading.unwrap_or_else(|| planned.clone());
        let quiet = quiet(known, today, &planned, measured.as_ref());
        let ahead = quiet.as_ref().unwrap_or(&forecast);
        let share = forecast.share_at(since_s(&forecast, today.now));
        let now_wh = usable_now_wh(&forecast, today.now);
        Self {
            left_now_wh: (now_wh - spent_since_wh).max(0.0),
            left_wh: (least_ahead_wh(ahead, today.now) - forecast.reserve_wh - spent_since_wh).max(0.0),
            share_now: Some((share.p10, share.p50)),
            spent_wh,
            why_not: None,
            measured,
            planned: Some(planned),
            forecast: Some(forecast),
        }
    }
}

/// The charge from now on, or from the newest reading, with the set off between calls; none where it is off anyway.
fn quiet(
    known: &mut Known,
    today: &Today,
    planned: &EnergyForecast,
    measured: Option<&ChargeMeasured>,
) -> Option<EnergyForecast> {
    let outing = set_off_between_calls(&today.outing)?;
    let now = today.now.max(today.outing.header.start);
    let (from, share) = match measured {
        Some(m) => (m.at, m.charge.share),
        None => (now, planned.share_at(since_s(planned, now))),
    };
    known.ahead(&outing, (from, share), (&today.outing, planned)).ok()
}

fn since_s(forecast: &EnergyForecast, at: UtcTime) -> f64 {
    (at.unix_s() - forecast.start.unix_s()) as f64
}

/// The charge that the newest voltage reading leaves possible, weighed with the forecast of that hour.
fn measured(today: &Today, planned: &EnergyForecast) -> Option<ChargeMeasured> {
    let read = today.readings.voltage.as_ref()?;
    let at_s = since_s(planned, read.at);
    // The meter shows the battery that the set hangs on then.
    let in_use = planned.in_use_at(at_s);
    let source = planned.input().sources.get(in_use)?;
    let voltage_v = read.value.voltage_v;
    let temp_c = match &today.readings.temperature_c {
        Some(warm) => warm.value,
        None => planned.moment(at_s).map_or(USUAL_C, |m| m.air_c),
    };
    let reading = VoltageReading {
        voltage_v,
        // Whoever reads the meter of the set has it switched on.
        current_a: today.outing.kit.transceiver.receive_w / voltage_v.max(1.0),
        temp_c,
    };
    let charge = source
        .battery
        .charge_share_from(reading, Some(planned.share_of(in_use, at_s)))
        .ok()?;
    Some(ChargeMeasured {
        at: read.at,
        entry: read.entry,
        voltage_v,
        charge,
    })
}

/// Lowest usable energy from now on that nine scenarios in ten have, Wh.
fn least_ahead_wh(forecast: &EnergyForecast, now: UtcTime) -> f64 {
    let now_s = since_s(forecast, now);
    let ahead = forecast
        .outcome
        .times_s
        .iter()
        .zip(forecast.usable_wh())
        .filter(|(t, _)| **t >= now_s - 300.0);
    let least = ahead.map(|(_, band)| band.p10).fold(f64::INFINITY, f64::min);
    if least.is_finite() { least } else { 0.0 }
}

/// Usable energy now that nine scenarios in ten have, Wh.
fn usable_now_wh(forecast: &EnergyForecast, now: UtcTime) -> f64 {
    let now_s = since_s(forecast, now);
    let times = &forecast.outcome.times_s;
    let place = times.partition_point(|t| *t < now_s).min(times.len().saturating_sub(1));
    forecast.usable_wh().get(place).map_or(0.0, |band| band.p10)
}

/// What calls have taken with the listening before them, those after `since` where it is given, Wh.
fn spent_wh(outing: &Outing, today: &Today, since: Option<UtcTime>) -> f64 {
    let set = &outing.kit.transceiver;
    let draw_w = set.transmit_draw_w.last().copied().unwrap_or(3.0 * set.power_w);
    let screen_w = outing.kit.computer.as_ref().map_or(0.0, |c| c.bright_w);
    let listening_w = set.receive_w + outing.kit.modem.idle_w + screen_w;
    let counts = |at: UtcTime| since.is_none_or(|since| at > since);
    let (mut calling_min, mut listening_min) = (0.0, 0.0);
    let before_min = outing.kit.modem.steps.before_call_s() / 60.0;
    // Calls that follow each other share the listening between them.
    let mut on_until: Option<UtcTime> = None;
    let mut calls: Vec<_> = today
        .entries
        .iter()
        .filter(|e| counts(e.account.at))
        .filter_map(|e| match &e.account.event {
            Event::Called(call) => Some((e.account.at, call)),
            _ => None,
        })
        .collect();
    calls.sort_by_key(|(at, _)| *at);
    for (at, call) in calls {
        let usual = match call.outcome {
            Outcome::NoAnswer => USUAL_CALL_MIN,
            // Nobody calls into somebody else's work.
            Outcome::Busy { .. } => 0.0,
            _ => 1.5 * USUAL_CALL_MIN,
        };
        let minutes = call.minutes.unwrap_or(usual);
        let since_last_min = on_until.map_or(f64::INFINITY, |on| (at.unix_s() - on.unix_s()) as f64 / 60.0);
        listening_min += since_last_min.clamp(0.0, before_min);
        calling_min += minutes;
        on_until = Some(at.add_s((60.0 * minutes) as i64));
    }
    ((calling_min * draw_w * CALLING_SHARE + listening_min * listening_w) / 60.0).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use farhop_store::open::open;

    /// The kind day at 10:30 with the battery at 96 %, and a set that listens so many hours a day.
    fn at_half_past_ten(listen_h_per_day: f64) -> Budget {
        let mut parts = open(Some(&farhop_vectors::kind_day())).unwrap().outing.into_parts();
        parts.kit.transceiver.listen_h_per_day = listen_h_per_day;
        parts.kit.batteries[0].start_charge = 0.96;
        // Without the sun, which would hide what the listening costs.
        parts.kit.panels.clear();
        parts.kit.parts.retain(|p| p.id.as_str() != "panel");
        parts.kit.functions.retain(|f| f.id.as_str() != "charge");
        let outing = Outing::new(parts).unwrap();
        let now = UtcTime::parse("2026-12-11T21:30:00Z").unwrap();
        Budget::of(&Today::at(&outing, &[], now))
    }

    #[test]
    fn a_battery_at_96_percent_at_half_past_ten_leaves_energy_for_calls() {
        let off = at_half_past_ten(0.0);
        let (_, middle) = off.share_now.unwrap();
        assert!((0.93..=0.96).contains(&middle), "{middle}");
        // A call costs about half a watt hour: this is twenty of them and more.
        assert!(off.left_wh > 10.0, "{} Wh", off.left_wh);
        // A set that is left on all day empties the battery, but listening gives way: on the way here nothing has listened yet.
        let on = at_half_past_ten(24.0);
        assert!(
            (on.left_wh - off.left_wh).abs() < 1e-9,
            "{} {}",
            on.left_wh,
            off.left_wh
        );
        let end = |b: &Budget| b.forecast.as_ref().unwrap().end_share().p50;
        assert!(end(&on) + 0.3 < end(&off), "{} {}", end(&on), end(&off));
    }

    #[test]
    fn more_listening_never_leaves_more() {
        let left: Vec<f64> = [0.0, 1.0, 4.0, 16.0, 20.0, 24.0]
            .map(|h| at_half_past_ten(h).left_wh)
            .to_vec();
        assert!(left.windows(2).all(|pair| pair[1] <= pair[0] + 1e-9), "{left:?}");
    }
}
