//! A panel and its charge controller.
//!
//! Cell temperature: Ross, "Interface design considerations for terrestrial solar cell modules", IEEE PVSC 1976. Power:
//! linear in irradiance and cell temperature, as in Dobos, "PVWatts Version 5 Manual", NREL/TP-6A20-62641 (2014), eq. (8).

use super::shade::HorizonMask;
use crate::error::{EnergyError, within};

/// How a panel lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Orientation {
    /// Fixed.
    Fixed {
        /// Angle between panel and level ground, °.
        tilt_deg: f64,
        /// True bearing that it faces, °.
        azimuth_deg: f64,
    },
    /// Laid across the beam every so often and left until the next time.
    TurnedToSun {
        /// Hours between two visits, h.
        every_h: f64,
    },
}

/// How big a panel is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PanelSize {
    /// Rated power at 1000 W/m² and 25 °C, W.
    WattPeak(f64),
    /// Area of the cells and their efficiency.
    Area {
        /// Area, m².
        area_m2: f64,
        /// Efficiency at 1000 W/m² and 25 °C (0.01 to 0.4, dimensionless).
        efficiency: f64,
    },
}

/// The charge controller.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ChargeController {
    /// Follows the panel's best point.
    TracksMaximum {
        /// Output over input power (0.3 to 1, dimensionless).
        efficiency: f64,
    },
    /// Connects the panel straight through (pulse width): the current is the panel's, the voltage is the battery's.
    StraightThrough {
        /// Panel's voltage at its best point, V; the panel gives its best-point current at every lower voltage.
        panel_best_v: f64,
        /// Voltage lost in the controller, V.
        drop_v: f64,
    },
}

/// A panel with its controller, feeding one source.
#[derive(Clone, Debug, PartialEq)]
pub struct Panel {
    /// Its id.
    pub id: String,
    /// The id of the source that it charges.
    pub source: String,
    /// Size.
    pub size: PanelSize,
    /// Orientation.
    pub orientation: Orientation,
    /// Controller.
    pub controller: ChargeController,
    /// What the controller draws from the source at all times, W.
    pub controller_idle_w: f64,
    /// Whether the controller works on a source that is dead at its terminals; many start from the battery.
    pub starts_without_battery: bool,
    /// Largest charging current of the controller, A.
    pub max_charge_a: f64,
    /// Change of power with cell temperature, 1/K (negative; −0.004 is common practice).
    pub temp_coefficient_per_k: f64,
    /// Cell temperature at 800 W/m², 20 °C air and 1 m/s wind, °C (45 is common practice; a panel on warm ground runs hotter).
    pub noct_c: f64,
    /// Dirt, mismatch, wiring: factor on the power (dimensionless; 0.9 is common practice).
    pub derate: f64,
    /// The skyline around it.
    pub horizon: HorizonMask,
}

impl Panel {
    /// A panel with the habits of common practice.
    #[must_use]
    pub fn usual(id: &str, source: &str, watt_peak_w: f64, orientation: Orientation) -> Self {
        Self {
            id: id.to_owned(),
            source: source.to_owned(),
            size: PanelSize::WattPeak(watt_peak_w),
            orientation,
            controller: ChargeController::TracksMaximum { efficiency: 0.94 },
            controller_idle_w: 0.05,
            starts_without_battery: false,
            max_charge_a: 10.0,
            temp_coefficient_per_k: -0.004,
            noct_c: 45.0,
            derate: 0.9,
            horizon: HorizonMask::open(),
        }
    }

    /// The panel, if its numbers make sense.
    ///
    /// # Errors
    /// [`EnergyError::OutOfRange`] for the first number out of range.
    pub fn checked(self) -> Result<Self, EnergyError> {
        let name = |what: &str, unit: &str| format!("{what} of {} ({unit})", self.id);
        within(name("rated power", "W"), self.watt_peak_w(), 0.0, 5000.0)?;
        if let PanelSize::Area { area_m2, efficiency } = self.size {
            within(name("area", "m²"), area_m2, 0.0, 30.0)?;
            within(name("efficiency", "share"), efficiency, 0.01, 0.4)?;
        }
        match self.orientation {
            Orientation::Fixed { tilt_deg, azimuth_deg } => {
                within(name("tilt", "°"), tilt_deg, 0.0, 90.0)?;
                within(name("azimuth", "°"), azimuth_deg, -360.0, 720.0)?;
            }
            Orientation::TurnedToSun { every_h } => {
                within(name("time between visits", "h"), every_h, 0.05, 240.0)?;
            }
        }
        match self.controller {
            ChargeController::TracksMaximum { efficiency } => {
                within(name("controller efficiency", "share"), efficiency, 0.3, 1.0)?;
            }
            ChargeController::StraightThrough { panel_best_v, drop_v } => {
                within(name("best-point voltage", "V"), panel_best_v, 1.0, 200.0)?;
                within(name("controller drop", "V"), drop_v, 0.0, 5.0)?;
            }
        }
        within(
            name("idle draw of the controller", "W"),
            self.controller_idle_w,
            0.0,
            20.0,
        )?;
        within(name("largest charging current", "A"), self.max_charge_a, 0.0, 200.0)?;
        within(
            name("temperature coefficient", "1/K"),
            self.temp_coefficient_per_k,
            -0.02,
            0.0,
        )?;
        within(name("NOCT", "°C"), self.noct_c, 20.0, 80.0)?;
        within(name("derating", "share"), self.derate, 0.0, 1.0)?;
        Ok(self)
    }

    /// Rated power, W.
    #[must_use]
    pub fn watt_peak_w(&self) -> f64 {
        match self.size {
            PanelSize::WattPeak(watts) => watts,
            PanelSize::Area { area_m2, efficiency } => 1000.0 * area_m2 * efficiency,
        }
    }

    /// Power at its best point for an irradiance (W/m²) and air temperature (°C), W, after dirt and mismatch.
    #[must_use]
    pub fn power_w(&self, plane_w_m2: f64, air_c: f64) -> f64 {
        let cell_c = cell_temperature_c(plane_w_m2, air_c, self.noct_c);
        self.derate * panel_power_w(self.watt_peak_w(), plane_w_m2, cell_c, self.temp_coefficient_per_k)
    }
}

/// Temperature of the cells, °C: T_air + (NOCT − 20 °C)·G / 800 W/m² (Ross 1976).
#[must_use]
pub fn cell_temperature_c(plane_w_m2: f64, air_c: f64, noct_c: f64) -> f64 {
    air_c + (noct_c - 20.0) * plane_w_m2 / 800.0
}

/// Direct-current power, W: P0·G/1000·(1 + γ(T − 25 °C)), never negative (PVWatts 5, eq. (8)).
#[must_use]
pub fn panel_power_w(watt_peak_w: f64, plane_w_m2: f64, cell_c: f64, temp_coefficient_per_k: f64) -> f64 {
    (watt_peak_w * plane_w_m2 / 1000.0 * (1.0 + temp_coefficient_per_k * (cell_c - 25.0))).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rated_power_at_rated_conditions() {
        assert_eq!(panel_power_w(28.0, 1000.0, 25.0, -0.004), 28.0);
        assert_eq!(cell_temperature_c(800.0, 20.0, 45.0), 45.0);
        let panel = Panel::usual("mat", "main", 20.0, Orientation::TurnedToSun { every_h: 2.0 });
        assert_eq!(panel.power_w(0.0, 10.0), 0.0);
        // Hot: about 0.9 · 20 W · (1 − 0.004 · 31) at full sun and 25 °C air.
        assert!((panel.power_w(1000.0, 25.0) - 0.9 * 20.0 * (1.0 - 0.004 * 31.25)).abs() < 1e-9);
    }

    #[test]
    fn refuses_nonsense() {
        let good = Panel::usual(
            "mat",
            "main",
            20.0,
            Orientation::Fixed {
                tilt_deg: 30.0,
                azimuth_deg: 180.0,
            },
        );
        assert!(good.clone().checked().is_ok());
        assert!(
            Panel {
                derate: 1.2,
                ..good.clone()
            }
            .checked()
            .is_err()
        );
        assert!(
            Panel {
                orientation: Orientation::TurnedToSun { every_h: 0.0 },
                ..good.clone()
            }
            .checked()
            .is_err()
        );
        assert!(
            Panel {
                size: PanelSize::Area {
                    area_m2: f64::NAN,
                    efficiency: 0.2
                },
                ..good
            }
            .checked()
            .is_err()
        );
    }
}
