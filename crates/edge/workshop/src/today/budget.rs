//! What may still be spent on calls.

use farhop_day::{Event, Outcome};
use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_plan::power::{EnergyForecast, energy_with};

use crate::today::Today;

/// Draw while calling as a share of the draw while sending (dimensionless; common practice, from memory).
const CALLING_SHARE: f64 = 0.6;
/// Minutes of a call whose length was not written down (common practice).
const USUAL_CALL_MIN: f64 = 4.0;

/// Energy for calls.
#[derive(Clone, Debug)]
pub struct Budget {
    /// The charge through the outing without any call; none where it cannot be computed.
    pub forecast: Option<EnergyForecast>,
    /// Why not, in words.
    pub why_not: Option<String>,
    /// What calls have taken so far, Wh.
    pub spent_wh: f64,
    /// What calls may still take so that nine scenarios in ten keep the reserve, Wh; infinite where it is not known.
    pub left_wh: f64,
    /// Charge now (dimensionless): nine scenarios in ten have more, and the middle one.
    pub share_now: Option<(f64, f64)>,
}

impl Budget {
    /// The budget of a day.
    #[must_use]
    pub fn of(today: &Today) -> Self {
        let spent_wh = spent_wh(&today.outing, today);
        match energy_with(&today.outing, Vec::new()) {
            Ok(forecast) => {
                let now_s = (today.now.unix_s() - forecast.start.unix_s()) as f64;
                let share = forecast.share_at(now_s);
                Self {
                    left_wh: (least_ahead_wh(&forecast, today.now) - forecast.reserve_wh - spent_wh).max(0.0),
                    share_now: Some((share.p10, share.p50)),
                    spent_wh,
                    why_not: None,
                    forecast: Some(forecast),
                }
            }
            Err(why) => Self {
                forecast: None,
                why_not: Some(why),
                spent_wh,
                left_wh: f64::INFINITY,
                share_now: None,
            },
        }
    }
}

/// Lowest usable energy from now on that nine scenarios in ten have, Wh.
fn least_ahead_wh(forecast: &EnergyForecast, now: UtcTime) -> f64 {
    let now_s = (now.unix_s() - forecast.start.unix_s()) as f64;
    let Some(source) = forecast.outcome.sources.get(forecast.main) else {
        return 0.0;
    };
    let ahead = forecast
        .outcome
        .times_s
        .iter()
        .zip(&source.usable_wh)
        .filter(|(t, _)| **t >= now_s - 300.0);
    let least = ahead.map(|(_, band)| band.p10).fold(f64::INFINITY, f64::min);
    if least.is_finite() { least } else { 0.0 }
}

fn spent_wh(outing: &Outing, today: &Today) -> f64 {
    let set = &outing.kit.transceiver;
    let draw_w = set.transmit_draw_w.last().copied().unwrap_or(3.0 * set.power_w);
    let minutes = today.entries.iter().filter_map(|e| match &e.account.event {
        Event::Called(call) => {
            let usual = if call.outcome == Outcome::NoAnswer {
                USUAL_CALL_MIN
            } else {
                1.5 * USUAL_CALL_MIN
            };
            Some(call.minutes.unwrap_or(usual))
        }
        _ => None,
    });
    (minutes.sum::<f64>() / 60.0 * draw_w * CALLING_SHARE).max(0.0)
}
