//! The layers above a place: numerical maps, activity, sporadic E and day-to-day spread.
//!
//! Start with [`Ionosphere::embedded`], make a [`Sky`] from [`SkyConditions`], and ask it for [`Layers`]. Equations, validity
//! and agreement: `docs/methods/ionosphere.md`.

pub mod activity;
pub mod conditions;
pub mod cycle;
pub mod e_layer;
pub mod f2_height;
pub mod layers;
mod map_data;
pub mod maps;
mod observed;
pub mod sky;
pub mod sporadic_e;
pub mod spread;
pub mod storm;

pub use activity::{Activity, ActivityError, ActivitySource};
pub use conditions::{Observation, ObservationError, SkyConditions};
pub use layers::Layers;
pub use map_data::MapDataError;
pub use maps::{F2Map, MapReading, NumericalMaps};
pub use sky::{Ionosphere, Sky, SkyAbove};
pub use sporadic_e::SporadicE;
