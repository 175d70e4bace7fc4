//! An antenna whose behaviour is stated.

use super::measure::{Absent, Measure, STATED_HEIGHT};
use super::{Example, Kind};
use crate::limit::EFFICIENCY;

words! {
    /// Shape of an antenna whose behaviour is declared instead of computed.
    pub enum DeclaredShape {
        /// Half-wave dipole at a height.
        Dipole = "dipole",
        /// Short vertical at the ground.
        Vertical = "vertical",
        /// Small upright loop.
        Loop = "loop",
        /// The same in all directions.
        Isotropic = "isotropic",
    }
}

/// Not computed: a shape, a height and an efficiency that the operator states.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DeclaredAntenna {
    /// Shape.
    pub shape: DeclaredShape,
    /// Height, metres.
    pub height_m: f64,
    /// Radiation efficiency (dimensionless), 0.0001 to 1.
    pub efficiency: f64,
}

impl Kind for DeclaredAntenna {
    fn measures(&mut self) -> Vec<Measure<'_>> {
        let field = Absent::Usual(5.0, "a usual height in the field");
        let hint = Absent::Needed("From 0 to 1: 0.8 for a good wire, 0.05 for a small loop on 80 m.");
        vec![
            Measure::word("shape", &mut self.shape, "the usual shape"),
            Measure::height("height_m", &mut self.height_m, field).is(STATED_HEIGHT),
            Measure::number("efficiency", &mut self.efficiency, EFFICIENCY, hint),
        ]
    }

    fn told(&self, m: &dyn Fn(f64) -> String) -> String {
        format!("At {}; its behaviour is declared, not computed.", m(self.height_m))
    }
}

impl Example for DeclaredAntenna {
    fn example() -> Self {
        Self {
            shape: DeclaredShape::Dipole,
            height_m: 5.0,
            efficiency: 0.5,
        }
    }
    const SAID: Option<&'static str> = None;
}
