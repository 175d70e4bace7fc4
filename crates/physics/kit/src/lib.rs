//! What the outing hangs on: weak points, the spare that helps most, and finding the fault.
//!
//! A kit is a graph. Functions need parts, parts need parts, spares stand in. From it follow the chance that all vital
//! functions work ([`Model`]), the sets of failures that end the outing ([`CutSets`]), the spares worth their mass
//! ([`spares`]), the packing list ([`packing`]) and a guided search for a fault ([`fault`]). The crate knows no file
//! format and no other crate of the project.
//!
//! ```
//! use farhop_kit::{Kit, KitError, KitSpec};
//!
//! let nothing = KitSpec { parts: vec![], functions: vec![] };
//! assert!(matches!(Kit::new(nothing), Err(KitError::NothingVital)));
//! ```

mod bdd;

pub mod cuts;
pub mod error;
pub mod fault;
pub mod graph;
pub mod importance;
pub mod packing;
pub mod part;
pub mod priors;
pub mod spares;
pub mod structure;
pub mod success;

pub use cuts::{CutSets, SinglePoint, single_points};
pub use error::KitError;
pub use farhop_gear::{Function, Id, Need, Part, PartClass, Role, WeakTo};
pub use graph::{Kit, PartIx};
pub use importance::{Importance, importance};
pub use part::KitSpec;
pub use priors::{Chances, Circumstances, Exposure};
pub use structure::{State, Structure, evaluate};
pub use success::{Model, Outside, PerAvailable, Success, changeover_loss_min, success};
