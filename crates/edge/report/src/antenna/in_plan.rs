//! The working of a window's antenna, as a plan states it.

use farhop_forecast::plan::Plan;
use farhop_forecast::window::Window;
use serde::Serialize;

use crate::numbers::{rounded, share_words};
use crate::words;

/// How the site's antenna works on a route.
#[derive(Clone, Debug, Serialize)]
pub struct AntennaUseView {
    /// Radiated over accepted power (dimensionless).
    pub efficiency: f64,
    /// Share of the transmitter's power setting that enters the antenna (dimensionless).
    pub feed_share: f64,
    /// Gain used: toward the station at the angle of the best hour's strongest mode, dBi.
    pub gain_dbi: Option<f64>,
    /// That angle above the horizon, degrees.
    pub elevation_deg: Option<f64>,
    /// `computed` for the wire as it hangs, or `declared`.
    pub source: &'static str,
    /// The gain is the mean around the compass, because the outing states no direction of the wire.
    pub mean_around: bool,
}

/// How the site's antenna works in a window; none where the plan has no such route.
#[must_use]
pub fn antenna_use(plan: &Plan, window: &Window) -> Option<AntennaUseView> {
    let figures = plan.strip_of(window)?.antenna;
    let carrier = plan.best_cell(window).and_then(|cell| cell.carrier.as_ref());
    Some(AntennaUseView {
        efficiency: rounded(figures.efficiency, 4),
        feed_share: rounded(figures.feed_share, 4),
        gain_dbi: carrier.map(|c| rounded(c.site_gain_dbi, 1)),
        elevation_deg: carrier.map(|c| rounded(c.elevation_deg, 1)),
        source: words::gain_source_key(figures.source),
        mean_around: figures.averaged,
    })
}

/// The same in one line: gain used, efficiency, and where both come from.
#[must_use]
pub fn antenna_words(plan: &Plan, window: &Window) -> Option<String> {
    let figures = plan.strip_of(window)?.antenna;
    let carrier = plan.best_cell(window).and_then(|cell| cell.carrier.as_ref());
    let gain = carrier.map_or(String::new(), |c| format!("{:+.1} dBi that way, ", c.site_gain_dbi));
    let around = if figures.averaged {
        "; mean around the compass, as no direction is stated"
    } else {
        ""
    };
    Some(format!(
        "antenna: {gain}{} % of its power radiated, {}{around}",
        share_words(figures.efficiency),
        words::gain_source(figures.source)
    ))
}
