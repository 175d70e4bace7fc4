//! A converter between a source and a load: efficiency and what it draws for itself.

use crate::error::{EnergyError, within};

/// A DC-to-DC converter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Converter {
    efficiency: f64,
    idle_w: f64,
    min_input_v: f64,
    output_v: f64,
}

impl Converter {
    /// A converter of `efficiency` (0.3 to 1, dimensionless, without the idle draw), idle draw `idle_w` (W, drawn whenever
    /// it is connected), least input voltage `min_input_v` (V) and output voltage `output_v` (V).
    ///
    /// # Errors
    /// [`EnergyError::OutOfRange`] for values outside these ranges.
    pub fn new(efficiency: f64, idle_w: f64, min_input_v: f64, output_v: f64) -> Result<Self, EnergyError> {
        Ok(Self {
            efficiency: within("efficiency of the converter", efficiency, 0.3, 1.0)?,
            idle_w: within("idle draw of the converter (W)", idle_w, 0.0, 50.0)?,
            min_input_v: within("least input voltage of the converter (V)", min_input_v, 0.0, 100.0)?,
            output_v: within("output voltage of the converter (V)", output_v, 0.5, 400.0)?,
        })
    }

    /// Power at the input for `output_w` at the output, W: P/η + idle.
    #[must_use]
    pub fn input_w(&self, output_w: f64) -> f64 {
        output_w / self.efficiency + self.idle_w
    }

    /// Output voltage, V.
    #[must_use]
    pub fn output_v(&self) -> f64 {
        self.output_v
    }

    /// Least input voltage, V.
    #[must_use]
    pub(crate) fn min_input_v(&self) -> f64 {
        self.min_input_v
    }

    /// Efficiency without the idle draw (dimensionless).
    #[must_use]
    pub fn efficiency(&self) -> f64 {
        self.efficiency
    }

    /// Idle draw, W.
    #[must_use]
    pub fn idle_w(&self) -> f64 {
        self.idle_w
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn draws_more_than_it_gives() {
        let converter = Converter::new(0.8, 0.5, 10.0, 19.0).unwrap();
        assert_eq!(converter.input_w(8.0), 10.5);
        assert_eq!(converter.input_w(0.0), 0.5);
        assert!(Converter::new(1.2, 0.0, 0.0, 5.0).is_err());
    }
}
