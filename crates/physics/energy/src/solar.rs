//! From the sun's angles to the current of a panel: clear sky, clouds, tilted plane, shade, cell temperature.
//!
//! Angles come in as plain numbers (zenith and true bearing in degrees), from [`farhop_earth::sun::sun_position`] or any
//! other source; [`SunTrack::from_place`] makes the whole day.

mod clear_sky;
mod cloud;
mod decompose;
mod panel;
mod plane;
mod shade;
mod track;

pub use clear_sky::{
    Air, ClearSky, Irradiance, absolute_airmass, clear_sky, extraterrestrial_w_m2, haurwitz_ghi_w_m2, ineichen,
    linke_turbidity_usual, pressure_ratio, relative_airmass,
};
pub use cloud::{ClearSkyIndex, Sky};
pub use decompose::{erbs_diffuse_share, split_global};
pub use panel::{ChargeController, Orientation, Panel, PanelSize, cell_temperature_c, panel_power_w};
pub use plane::{OnPlane, PlaneView, Transposition, cos_incidence};
pub use shade::HorizonMask;
pub use track::{SunAngle, SunTrack};
