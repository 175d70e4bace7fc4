//! What is drawn by lot to judge what the rooms compute: stations, faults and searches, kits that work or not, sessions played frame by frame.
//!
//! Slow and rough, and sharing as few steps as can be with what they judge. Same seed, same result. Nothing here is in the program.
//!
//! ```
//! let kit = farhop_lots::random_station(1, 0.5)?;
//! assert!(kit.parts().len() > 8);
//! # Ok::<(), farhop_kit::KitError>(())
//! ```

pub mod played;
mod station;
pub mod trial;
mod whole;

pub use station::random_station;
pub use whole::{Sampled, sample};
