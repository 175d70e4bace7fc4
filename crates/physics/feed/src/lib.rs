//! From transmitter to wire: lines, transformers, tuners, fold-back, and what the meter will say.
//!
//! The walk: an antenna impedance (a plain complex number in ohm) goes through lines and transformers to the tuner,
//! the tuner is searched for its best state, the transmitter folds back against what is left, and the power is
//! followed out again to the antenna with every loss named. [`FeedChain::solve`] does that walk. Around it stand
//! [`mod@robustness`] (things are a bit off), [`mod@advise`] (the smallest change that makes it match) and [`reading`] (what a typed-in
//! SWR says about the feed).
//!
//! Voltages and currents are RMS of a steady carrier. Impedances look from the radio towards the antenna.
//!
//! ```
//! use farhop_feed::{Complex64, swr::swr};
//!
//! // An antenna of 100 ohm on a line of 50 ohm.
//! assert!((swr(Complex64::new(100.0, 0.0), 50.0) - 2.0).abs() < 1e-12);
//! ```

pub mod advise;
pub mod caution;
pub mod chain;
pub mod error;
pub mod ladder;
pub mod line;
mod line_types;
pub mod reading;
pub mod robustness;
pub mod surface;
pub mod swr;
pub mod transformer;
pub mod transmitter;
pub mod tuner;
pub mod tuning;

pub use advise::{Advice, AntennaChange, Change, ChangeSteps, EffortRates, advise};
pub use caution::{Caution, Limits, Place};
pub use chain::{AntennaFeed, ChainAnswer, FeedChain, Stage, StageAnswer};
pub use error::FeedError;
pub use farhop_gear::LineType;
pub use line::{Line, LineAnswer, LineConstants};
pub use num_complex::Complex64;
pub use reading::{Condition, MeterPlace, ReadingModels, Verdict, judge_reading};
pub use robustness::{Quantiles, Robustness, Sample, robustness};
pub use surface::{Surface, Variation, VariationSize};
pub use transformer::{Transformer, TransformerType, TransformerValues};
pub use transmitter::{FoldBack, Transmitter};
pub use tuner::{Tuner, TunerAnswer, TunerMatch};
pub use tuning::{TuningStep, tuning_steps};

/// The impedance that transmitters, meters and tuners are built for, in ohm.
pub const REFERENCE_OHM: f64 = 50.0;
