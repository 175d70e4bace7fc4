//! The charge: whether the battery is enough, what helps, and how much should be left when.

use farhop_earth::UtcTime;
use farhop_plan::power::{EnergyForecast, TransmitStop};

use super::words::in_ten;
use super::{Bar, Body, Desk, Line, Panel, Spot};

/// From this chance (dimensionless) of a flat battery on it is said: the bound of "very unlikely".
const SAID: f64 = 0.10;
/// Hours between bars.
const EVERY_H: i64 = 3;
/// Step in which whole local hours are looked for, s.
const STEP_S: i64 = 900;

fn forecast<'a>(desk: &Desk<'a>) -> Option<&'a EnergyForecast> {
    desk.source.plan.energy.as_ref().ok()
}

/// What the operator must do about the charge, where something must be done and helps.
pub(super) fn instruction(desk: &Desk<'_>) -> Option<Line> {
    let forecast = forecast(desk)?;
    let cure = cure(forecast)?;
    Some(Line {
        large: true,
        ..Line::new("RADIO OFF BETWEEN CALLS.", cure)
    })
}

/// What radio off between calls changes, where it helps.
fn cure(forecast: &EnergyForecast) -> Option<String> {
    let off = forecast.calls_only?;
    let (chance_dry, _) = forecast.dry();
    let (now, then) = (forecast.end_share().p50, off.end_share.p50);
    let helps = off.chance_dry < chance_dry || then > now;
    let flat = if off.chance_dry < SAID {
        "the battery is enough".to_owned()
    } else {
        format!("{} the battery is flat all the same", in_ten(off.chance_dry))
    };
    helps.then(|| {
        format!(
            "Then {flat}: {} % left at the end instead of {} %.",
            percent(then),
            percent(now)
        )
    })
}

/// Sentences about the charge, and bars at a place; none without a forecast.
pub(super) fn panel(desk: &Desk<'_>, spot: &Spot) -> Option<Panel> {
    let forecast = forecast(desk)?;
    Some(Panel {
        heading: Some("CHARGE"),
        wide: false,
        body: Body::Charge(lines(desk, forecast), bars(desk, forecast, spot)),
    })
}

fn lines(desk: &Desk<'_>, forecast: &EnergyForecast) -> Vec<Line> {
    let end = forecast.end_share();
    let (chance_dry, when) = forecast.dry();
    let reserve = percent(forecast.input().reserve_share);
    let moment = |time_s: f64| desk.clock.moment(forecast.at(time_s));
    let mut lines = vec![if chance_dry < SAID {
        Line::new(
            "Battery is enough:",
            format!(
                "{} % left at the end; 9 in 10 have {} % or more.",
                percent(end.p50),
                percent(end.p10)
            ),
        )
    } else {
        Line::new(
            format!("{}: battery flat,", in_ten(chance_dry)),
            format!("about {}.", moment(when.p50)),
        )
    }];
    if let Some(cure) = cure(forecast) {
        lines.push(Line::new("Radio off between calls.", cure));
    }
    match forecast.outcome.transmit.stop {
        TransmitStop::NotNeeded => {}
        TransmitStop::At { .. } | TransmitStop::NeverKept if forecast.holds_with_set_off() => lines.push(Line::new(
            "",
            format!("Listening so long, the reserve of {reserve} % of what the battery gives is not kept."),
        )),
        TransmitStop::At { time_s } => lines.push(Line::new(
            format!("Stop sending {}", moment(time_s)),
            format!("to keep the reserve of {reserve} % of what the battery gives."),
        )),
        TransmitStop::NeverKept => lines.push(Line::new(
            "",
            format!("The reserve of {reserve} % of what the battery gives is not kept, sending or not."),
        )),
    }
    if let Some(below_s) = forecast.below_reserve_s {
        lines.push(Line::new(
            "",
            format!("1 in 10: into the reserve by {}.", moment(below_s)),
        ));
    }
    lines.extend(keying(desk, forecast));
    lines
}

/// The least charge for keying in the coldest air.
fn keying(desk: &Desk<'_>, forecast: &EnergyForecast) -> Option<Line> {
    let coldest = forecast.least_charge.last()?;
    let power_w = desk.source.outing.kit.transceiver.power_w;
    let temp = desk.source.reader.units.temperature(coldest.temp_c);
    let words = match coldest.share {
        Some(share) => format!(
            "With the battery at {temp} the set sends {power_w} W down to {} %.",
            percent(share)
        ),
        None => format!("With the battery at {temp} the set does not send {power_w} W: warm the battery."),
    };
    Some(Line::new("", words))
}

fn percent(share: f64) -> u8 {
    (100.0 * share).round().clamp(0.0, 100.0) as u8
}

/// Charge at every third local hour of the stays at a place.
fn bars(desk: &Desk<'_>, forecast: &EnergyForecast, spot: &Spot) -> Vec<Bar> {
    let mut bars: Vec<Bar> = Vec::new();
    let mut said: Option<String> = None;
    for stay in spot.stays.iter().filter_map(|s| desk.source.plan.stays.get(*s)) {
        let first_s = stay.from.unix_s().div_euclid(STEP_S) * STEP_S;
        let mut at_s = first_s;
        while at_s <= stay.until.unix_s() {
            let at = UtcTime::from_unix_s(at_s).ok().filter(|at| *at >= stay.from);
            at_s += STEP_S;
            let Some(at) = at else { continue };
            let local = desk.clock.span(at, at.add_s(3_600));
            let whole = !local.contains(':');
            if !whole || desk.clock.hour(at) % EVERY_H != 0 {
                continue;
            }
            let share = forecast.share_at((at.unix_s() - forecast.start.unix_s()) as f64);
            let day = desk.clock.day(at);
            let new = said.as_ref() != Some(&day);
            said = Some(day.clone());
            bars.push(Bar {
                at,
                hour: format!("{:02}", desk.clock.hour(at)),
                day: new.then_some(day),
                percent: percent(share.p50),
                least_percent: percent(share.p10),
            });
        }
    }
    bars
}
