//! What can be wrong with an antenna, and what to do about it.

use thiserror::Error;

/// An antenna that cannot be computed. Wires are counted from 1 in the text, as people count them.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum AntennaError {
    /// No wires.
    #[error("the antenna has no wires; give at least one")]
    NoWires,
    /// No source.
    #[error("the antenna has no feed; name the wire that is fed")]
    NoSource,
    /// A number is not finite or not in its range.
    #[error("{what} is {value}; {rule}")]
    BadNumber {
        /// Which number.
        what: String,
        /// Its value, in the unit that `what` names.
        value: f64,
        /// What it must be.
        rule: &'static str,
    },
    /// A wire without length.
    #[error("wire {wire} has no length; give it two different ends")]
    ZeroLength {
        /// Counted from 1.
        wire: usize,
    },
    /// A wire is shorter than it is thick.
    #[error(
        "wire {wire} is {length_m:.3} m long but {diameter_m:.3} m thick; a thin-wire model needs a longer or thinner wire"
    )]
    Stubby {
        /// Counted from 1.
        wire: usize,
        /// Length in metres.
        length_m: f64,
        /// Diameter in metres.
        diameter_m: f64,
    },
    /// Segments are shorter than they are thick.
    #[error(
        "wire {wire}: segments of {segment_m:.4} m are too short for a radius of {radius_m:.4} m; use fewer segments or thinner wire"
    )]
    ThickSegments {
        /// Counted from 1.
        wire: usize,
        /// Segment length in metres.
        segment_m: f64,
        /// Radius in metres.
        radius_m: f64,
    },
    /// A wire is on or under the ground.
    #[error(
        "wire {wire} comes down to {height_m:.3} m; over ground every part of a wire must be more than {needed_m:.4} m up"
    )]
    TouchesGround {
        /// Counted from 1.
        wire: usize,
        /// Lowest height in metres.
        height_m: f64,
        /// Height that is needed, metres.
        needed_m: f64,
    },
    /// Two wires cross or touch where they have no common end.
    #[error(
        "wires {first} and {second} touch or cross away from a common end; split them where they meet, or move them apart"
    )]
    Crossing {
        /// Counted from 1.
        first: usize,
        /// Counted from 1.
        second: usize,
    },
    /// A source or load names a wire that does not exist.
    #[error("{what} names wire {wire}, but there are only {wires} wires")]
    NoSuchWire {
        /// `feed` or `load`.
        what: &'static str,
        /// Counted from 1.
        wire: usize,
        /// How many there are.
        wires: usize,
    },
    /// No current can flow through the feed.
    #[error("the feed on wire {wire} is open: its segment ends in the air; feed a segment that continues at both ends")]
    OpenFeed {
        /// Counted from 1.
        wire: usize,
    },
    /// The model would be too big.
    #[error(
        "the antenna needs {segments} segments at {freq_mhz} MHz, more than {limit}; shorten it or give segment numbers"
    )]
    TooManySegments {
        /// How many.
        segments: usize,
        /// The limit.
        limit: usize,
        /// Frequency in MHz.
        freq_mhz: f64,
    },
    /// The wires reach too far for the model.
    #[error("the wires reach over {wavelengths:.0} wavelengths at {freq_mhz} MHz; this model serves up to {limit:.0}")]
    TooLarge {
        /// Reach in wavelengths, dimensionless.
        wavelengths: f64,
        /// The limit in wavelengths, dimensionless.
        limit: f64,
        /// Frequency in MHz.
        freq_mhz: f64,
    },
    /// Segments are too long for the wavelength.
    #[error(
        "wire {wire}: segments of {segment_m:.2} m are longer than {limit_m:.2} m, an eighth of a wavelength; use more segments"
    )]
    LongSegments {
        /// Counted from 1.
        wire: usize,
        /// Segment length in metres.
        segment_m: f64,
        /// Longest allowed, metres.
        limit_m: f64,
    },
    /// The linear system has no finite solution.
    #[error("no finite solution at {freq_mhz} MHz; check for wires that lie on each other")]
    Singular {
        /// Frequency in MHz.
        freq_mhz: f64,
    },
    /// A template's numbers do not make an antenna.
    #[error("{0}")]
    Template(String),
}
