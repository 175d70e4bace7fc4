//! The layers above a place: numerical maps, activity, sporadic E and day-to-day spread.
//!
//! Start with [`Ionosphere::embedded`], make a [`Sky`] from [`SkyConditions`], and ask it for [`Layers`]. Equations, validity
//! and agreement: `docs/methods/ionosphere.md`.
//!
//! ```
//! use farhop_earth::{IgrfEpoch, Place, UtcTime};
//! use farhop_ionosphere::{Activity, Ionosphere, SkyConditions};
//!
//! let noon = UtcTime::from_civil(2026, 6, 21, 11, 0, 0).unwrap();
//! let field = IgrfEpoch::at(noon.decimal_year()).unwrap();
//! let conditions = SkyConditions::quiet(Activity::from_ssn(100.0).unwrap());
//! let sky = Ionosphere::embedded().sky(&field, &conditions);
//! let layers = sky.layers(Place::new(47.0, 11.0).unwrap(), noon);
//! // At noon in summer the E layer reflects up to 3 or 4 MHz, the F2 layer higher (common knowledge).
//! assert!((3.0..4.5).contains(&layers.foe_mhz) && layers.fof2_mhz > layers.foe_mhz);
//! ```

pub mod activity;
pub mod conditions;
pub mod e_layer;
pub mod f2_height;
pub mod ionospheric_index;
pub mod k_series;
pub mod layers;
mod map_data;
pub mod maps;
mod observed;
pub mod sky;
pub mod solar_flux;
pub mod sporadic_e;
pub mod spread;
pub mod storm;

pub use activity::{Activity, ActivityError, ActivitySource};
pub use conditions::{FoesReading, Observation, ObservationError, SkyConditions};
pub use k_series::{KSeries, KSeriesError};
pub use layers::Layers;
#[cfg(not(target_arch = "wasm32"))]
pub use map_data::month_bytes;
pub use map_data::{MapDataError, bring_month, has_month};
pub use maps::{F2Map, MapReading, NumericalMaps, months_between};
pub use sky::{Ionosphere, Sky, SkyAbove};
pub use sporadic_e::SporadicE;
