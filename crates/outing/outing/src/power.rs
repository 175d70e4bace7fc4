//! Where the energy comes from and what else draws it.

use farhop_gear::{Chemistry, Id};

/// What lets a tripped protection circuit go again.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Release {
    /// By itself after a rest.
    Rest,
    /// When the load is taken off.
    LoadRemoved,
    /// Only when a charger or a panel is connected.
    #[default]
    Charger,
}

impl Release {
    /// All ways with the word of the outing file.
    pub const WORDS: [(&'static str, Self); 3] = [
        ("rest", Self::Rest),
        ("load-removed", Self::LoadRemoved),
        ("charger", Self::Charger),
    ];
}

/// The protection circuit of a battery.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Protection {
    /// Voltage under load at which it cuts off, in volts.
    pub under_v: f64,
    /// Current at which it cuts off, in amperes.
    pub over_a: f64,
    /// What releases it.
    pub release: Release,
}

/// A battery.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Battery {
    /// Short name for references.
    pub id: Id,
    /// Chemistry.
    pub chemistry: Chemistry,
    /// Cells in series.
    pub cells: u32,
    /// Rated charge in ampere-hours.
    pub capacity_ah: f64,
    /// Internal resistance in ohm; none means the usual one for chemistry and size.
    pub resistance_ohm: Option<f64>,
    /// Charge at the start (dimensionless), 0 to 1.
    pub start_charge: f64,
    /// Share of the rated charge that is still there (dimensionless): age.
    pub health: f64,
    /// Protection circuit, if there is one.
    pub protection: Option<Protection>,
    /// Fuse in amperes, if there is one.
    pub fuse_a: Option<f64>,
    /// Kept warm inside clothing or sleeping bag.
    pub kept_warm: bool,
}

impl Battery {
    /// Nominal voltage in volts.
    #[must_use]
    pub fn nominal_v(&self) -> f64 {
        f64::from(self.cells) * self.chemistry.nominal_cell_v()
    }
}

/// How a panel lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Aim {
    /// Fixed.
    Fixed {
        /// Tilt from level in degrees.
        tilt_deg: f64,
        /// Direction it faces, degrees true.
        azimuth_deg: f64,
    },
    /// Turned toward the sun now and then.
    TowardSun {
        /// Hours between turns.
        every_h: f64,
    },
}

impl Default for Aim {
    /// Laid flat.
    fn default() -> Self {
        Self::Fixed {
            tilt_deg: 0.0,
            azimuth_deg: 0.0,
        }
    }
}

/// A solar panel with its charge controller.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Panel {
    /// Short name for references.
    pub id: Id,
    /// Rated power in watts at 1 000 W/m² and 25 °C.
    pub rated_w: f64,
    /// How it lies.
    pub aim: Aim,
    /// Efficiency of the charge controller (dimensionless).
    pub controller_efficiency: f64,
    /// Draw of the charge controller in watts.
    pub controller_idle_w: f64,
    /// Battery that it charges; none means the first.
    pub charges: Option<Id>,
}

/// A converter between a battery and loads with another voltage.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Converter {
    /// Short name for references.
    pub id: Id,
    /// Battery that feeds it; none means the first.
    pub source: Option<Id>,
    /// Output voltage in volts.
    pub out_v: f64,
    /// Efficiency (dimensionless).
    pub efficiency: f64,
    /// Draw without load in watts.
    pub idle_w: f64,
    /// Largest output in watts.
    pub max_w: f64,
    /// Lowest input voltage in volts.
    pub min_v: f64,
}

/// Anything else that draws: headlamp, phone.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Load {
    /// Short name for references.
    pub id: Id,
    /// Battery or converter it hangs on; none means the first battery.
    pub source: Option<Id>,
    /// Draw in watts while on.
    pub on_w: f64,
    /// Hours a day that it is on.
    pub on_h_per_day: f64,
    /// Lowest supply voltage in volts.
    pub min_v: f64,
}
