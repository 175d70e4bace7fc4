//! Charge through the day: batteries, loads, sun.
//!
//! A battery is a charge with an open-circuit voltage, a resistance and a protection circuit; a load is a draw with a
//! least voltage; the sun is an irradiance on a panel. [`simulate::simulate`] walks an outing through a set of scenarios and says
//! how the charge goes, with its band, what fails when, and what each activity costs.
//!
//! ```
//! use farhop_energy::{Battery, BatterySpec, Chemistry};
//!
//! let battery = Battery::new(BatterySpec::usual(Chemistry::LithiumIon, 3, 3.0))?;
//! // Three cells of 4.2 V when full (data sheets; common practice).
//! assert!((battery.open_circuit_v(1.0) - 12.6).abs() < 0.1);
//! assert!(battery.open_circuit_v(0.1) < battery.open_circuit_v(0.9));
//! # Ok::<(), farhop_energy::EnergyError>(())
//! ```

pub mod battery;
mod chemistry;
pub mod converter;
pub mod curve;
pub mod discharge;
pub mod error;
pub mod fuse;
pub mod loads;
pub mod protection;
pub mod sag;
pub mod simulate;
pub mod solar;
pub mod spread;
pub mod voltage;

pub use battery::{Battery, BatterySpec};
pub use converter::Converter;
pub use error::EnergyError;
pub use farhop_gear::Chemistry;
pub use fuse::Fuse;
pub use loads::{BrownOut, Draw, Inrush, Load, LoadKind, LoadState, TransmitDraw};
pub use protection::{Protection, Release, TripCause};
pub use simulate::{EnergyInput, EnergyOutcome, EnergyOuting, simulate};
pub use voltage::{ChargeRead, VoltageReading};
