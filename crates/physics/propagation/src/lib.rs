//! From one place to another: modes, losses, ground wave, noise and signal.
//!
//! Start with a [`Circuit`], make a [`SkyPath`] of it at a time, ask that for its [`Mode`]s at a frequency
//! ([`SkyPath::modes`]), and turn them into the distribution of a received signal. Equations, validity and agreement:
//! `docs/methods/sky-path.md`, `absorption.md`, `signal.md`, `ground-wave.md`, `noise.md`.
//!
//! ```
//! use farhop_earth::{IgrfEpoch, Place, UtcTime, destination};
//! use farhop_ionosphere::{Activity, Ionosphere, SkyConditions};
//! use farhop_propagation::{Circuit, SkyPath};
//!
//! let noon = UtcTime::from_civil(2026, 6, 21, 11, 0, 0).unwrap();
//! let field = IgrfEpoch::at(noon.decimal_year()).unwrap();
//! let conditions = SkyConditions::quiet(Activity::from_ssn(100.0).unwrap());
//! let sky = Ionosphere::embedded().sky(&field, &conditions);
//! let from = Place::new(47.0, 11.0).unwrap();
//! let near = SkyPath::new(&sky, &Circuit::new(from, destination(from, 90.0, 300.0)), noon);
//! let far = SkyPath::new(&sky, &Circuit::new(from, destination(from, 90.0, 2_000.0)), noon);
//! // A flatter ray is turned back at a higher frequency (secant law).
//! assert!(far.muf_f2_mhz() > 1.5 * near.muf_f2_mhz());
//! ```

pub mod absorption;
pub mod aurora;
pub mod carried;
pub mod circuit;
pub mod collision;
pub mod corrected;
pub mod events;
pub mod f2_layer;
pub mod fade_out;
pub mod ground_wave;
pub mod horizon;
pub mod losses;
pub mod mode;
pub mod modes;
pub mod muf;
mod nodes;
pub mod noise;
pub mod polar_cap;
pub mod profile;
pub mod ray;
pub mod signal;
pub mod sky_path;
pub mod snr;
pub mod sphere;
pub mod sporadic_e;
pub mod spread;

pub use absorption::Component;
pub use carried::{Carries, Shares, Support};
pub use circuit::{Circuit, RangeCaution};
pub use events::Events;
pub use fade_out::Flare;
pub use horizon::{Horizon, horizon_loss_db};
pub use losses::Losses;
pub use mode::{DayState, Layer, Mode};
pub use polar_cap::{PolarCap, ProtonLevel};
pub use signal::{LinkEnd, LinkSetup, ReceivedMode, Signal, SignalComponent, SignalMixture};
pub use sky_path::{CircuitSky, ControlPoint, SkyPath};
pub use snr::{Direction, SnrMixture, joint_probability, noise_in_band};
pub use spread::TwoSided;
