//! What a change costs the operator in the field.

use super::{AntennaChange, Change};

/// Effort by kind of change: a fixed part and a part per metre, in one free unit. All values are dimensionless (or per
/// metre) and an own choice: lengthening a wire at the feed is easy, raising the antenna is not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EffortRates {
    /// Wire length: fixed (dimensionless), per metre (dimensionless).
    pub wire_length: (f64, f64),
    /// Height: fixed (dimensionless), per metre (dimensionless).
    pub height: (f64, f64),
    /// Counterpoise: fixed (dimensionless), per metre (dimensionless).
    pub counterpoise: (f64, f64),
    /// Line length: fixed (dimensionless), per metre (dimensionless).
    pub line_length: (f64, f64),
    /// Transformer: fixed (dimensionless).
    pub transformer: f64,
}

impl EffortRates {
    /// Counterpoise on the ground is least work, then line and transformer, then wire, then height. Own choice.
    pub const FIELD: Self = Self {
        wire_length: (1.0, 0.5),
        height: (1.5, 0.7),
        counterpoise: (0.3, 0.2),
        line_length: (0.5, 0.2),
        transformer: 0.8,
    };

    /// Effort of one change (dimensionless).
    #[must_use]
    pub fn effort(&self, change: Change) -> f64 {
        let of = |(fixed, per_m): (f64, f64), delta_m: f64| fixed + per_m * delta_m.abs();
        match change {
            Change::Antenna(AntennaChange::None) => 0.0,
            Change::Antenna(AntennaChange::WireLength { delta_m }) => of(self.wire_length, delta_m),
            Change::Antenna(AntennaChange::Height { delta_m }) => of(self.height, delta_m),
            Change::Antenna(AntennaChange::Counterpoise { delta_m }) => of(self.counterpoise, delta_m),
            Change::LineLength { delta_m, .. } => of(self.line_length, delta_m),
            Change::Transformer { .. } => self.transformer,
        }
    }
}

impl Default for EffortRates {
    fn default() -> Self {
        Self::FIELD
    }
}
