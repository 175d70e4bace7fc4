//! The panels that are carried, and the sky over them.

use crate::error::PlanError;
use farhop_energy::simulate::Source;
use farhop_energy::solar::{
    Air, ChargeController, ClearSkyIndex, HorizonMask, Orientation, Panel, linke_turbidity_usual,
};
use farhop_num::DECILE_Z;
use farhop_outing::{Aim, Outing, Panel as Stated, Site, Weather};

/// The panels that are carried; those that charge a battery which stays at home charge the first one that does not.
///
/// # Errors
/// What is wrong with a skyline, in words.
pub fn panels(outing: &Outing, sources: &[Source], site: &Site) -> Result<Vec<Panel>, PlanError> {
    let horizon = skyline(site)?;
    let kit = &outing.kit;
    let carried = kit.panels.iter().filter(|p| kit.carries(p.id.as_str()));
    let first = sources.first().map(|s| s.id.clone()).unwrap_or_default();
    Ok(carried
        .map(|stated| {
            let asked = stated.charges.as_ref().map(ToString::to_string);
            let charges = asked.filter(|id| sources.iter().any(|s| s.id == *id));
            panel(stated, &charges.unwrap_or_else(|| first.clone()), horizon.clone())
        })
        .collect())
}

fn panel(stated: &Stated, source: &str, horizon: HorizonMask) -> Panel {
    let orientation = match stated.aim {
        Aim::Fixed { tilt_deg, azimuth_deg } => Orientation::Fixed { tilt_deg, azimuth_deg },
        Aim::TowardSun { every_h } => Orientation::TurnedToSun { every_h },
    };
    Panel {
        controller: ChargeController::TracksMaximum {
            efficiency: stated.controller_efficiency,
        },
        controller_idle_w: stated.controller_idle_w,
        // The outing file's own words: released "when a charger or a panel is connected".
        starts_without_battery: true,
        horizon,
        ..Panel::usual(stated.id.as_str(), source, stated.rated_w, orientation)
    }
}

/// The skyline of a site; where the ground falls away it is flat.
fn skyline(site: &Site) -> Result<HorizonMask, PlanError> {
    let points: Vec<(f64, f64)> = site
        .horizon
        .points
        .iter()
        .map(|p| (p.bearing_deg, p.elevation_deg.max(0.0)))
        .collect();
    HorizonMask::new(&points).map_err(|e| PlanError::at(format!("skyline of {}", site.name))(e.into()))
}

/// The clear-sky index of the days.
///
/// # Errors
/// The share of sunshine is out of range.
pub fn sky(weather: Weather) -> Result<ClearSkyIndex, PlanError> {
    let held = |share: f64| share.clamp(0.02, 1.2);
    let half = DECILE_Z * weather.sun_share_sd;
    let (low, middle, high) = (weather.sun_share - half, weather.sun_share, weather.sun_share + half);
    ClearSkyIndex::new(held(low), held(middle), held(high)).map_err(|e| PlanError::at("share of sunshine")(e.into()))
}

/// The air above a site in the month of the outing's start.
#[must_use]
pub fn air(outing: &Outing, site: &Site) -> Air {
    let month = u8::try_from(outing.header.start.month()).unwrap_or(1);
    Air {
        altitude_m: site.elevation_m.clamp(-400.0, 8_000.0),
        linke_turbidity: linke_turbidity_usual(month, site.place.lat_deg()),
    }
}
