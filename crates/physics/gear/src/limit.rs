//! What a number may be. One constant feeds the check, its message and the guide.

/// The closed range of a quantity, with its unit for the message.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// Smallest allowed value, in the unit named beside it.
    pub low: f64,
    /// Largest allowed value, in the unit named beside it.
    pub high: f64,
    /// Unit as it is written for people; empty for dimensionless numbers.
    pub unit: &'static str,
}

impl Limit {
    /// From the smallest to the largest allowed value, in the unit.
    #[must_use]
    pub const fn new(low: f64, high: f64, unit: &'static str) -> Self {
        Self { low, high, unit }
    }

    /// Whether a value (in the limit's unit) is inside; NaN and infinities never are.
    #[must_use]
    pub fn allows(self, value_own_unit: f64) -> bool {
        value_own_unit >= self.low && value_own_unit <= self.high
    }
}

impl std::fmt::Display for Limit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let space = if self.unit.is_empty() || self.unit == "°" {
            ""
        } else {
            " "
        };
        write!(f, "{} to {}{space}{}", self.low, self.high, self.unit)
    }
}

/// Height of a wire above ground.
pub const WIRE_HEIGHT_M: Limit = Limit::new(0.0, 200.0, "m");
/// Length of a wire.
pub const WIRE_LENGTH_M: Limit = Limit::new(0.05, 1_000.0, "m");
/// Coordinate of a wire end in a free wire list.
pub(crate) const WIRE_COORDINATE_M: Limit = Limit::new(-1_000.0, 1_000.0, "m");
/// Thickness of a conductor.
pub const CONDUCTOR_MM: Limit = Limit::new(0.05, 200.0, "mm");
/// Direction from true north, clockwise.
pub const BEARING_DEG: Limit = Limit::new(0.0, 360.0, "°");
/// An efficiency: nothing is free, nothing is perfect.
pub const EFFICIENCY: Limit = Limit::new(0.0001, 1.0, "");
/// Quality factor of a coil or capacitor (dimensionless).
pub const QUALITY: Limit = Limit::new(1.0, 10_000.0, "");
/// Impedance ratio of a transformer (dimensionless).
pub const RATIO: Limit = Limit::new(1.0, 100.0, "");
/// Inductance of a loading coil.
pub const COIL_UH: Limit = Limit::new(0.01, 1_000.0, "µH");
/// Capacitance of a tuning capacitor.
pub const CAPACITOR_PF: Limit = Limit::new(0.1, 20_000.0, "pF");
/// Lean of a whip from upright.
pub(crate) const LEAN_DEG: Limit = Limit::new(0.0, 85.0, "°");
