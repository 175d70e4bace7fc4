//! The protection circuit inside a battery: when it opens, and what closes it again.

use crate::error::{EnergyError, within};

/// What a protection circuit needs before it closes again.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Release {
    /// Closes by itself when the load has been off for `rest_s` (s) and the rested voltage is above `above_v` (V).
    AfterRest {
        /// Rest without load, s.
        rest_s: f64,
        /// Rested voltage that must be exceeded, V.
        above_v: f64,
    },
    /// Needs a charger or a working panel at the terminals.
    ChargerOrPanel,
    /// Needs every load to be unplugged and plugged in again.
    Disconnect,
    /// Needs a person: a button, a jumper, a replaced part.
    Manual,
}

impl Release {
    /// What to do, in plain words.
    #[must_use]
    pub fn advice(self) -> String {
        match self {
            Self::AfterRest { rest_s, above_v } => {
                format!("switch the loads off, wait {rest_s:.0} s; it closes by itself above {above_v:.1} V at rest")
            }
            Self::ChargerOrPanel => "connect a charger or a panel in the sun; it stays dead without one".to_owned(),
            Self::Disconnect => "unplug every load, wait, and plug in again".to_owned(),
            Self::Manual => "reset it by hand".to_owned(),
        }
    }
}

/// Why a source stopped giving power.
#[derive(Clone, Copy, Debug, Eq, Hash, Ord, PartialEq, PartialOrd)]
pub enum TripCause {
    /// The protection opened because the voltage under load was too low.
    UnderVoltage,
    /// The protection opened because the current was too high.
    OverCurrent,
    /// The main fuse blew.
    Fuse,
    /// No charge is left that the temperature lets out.
    Empty,
}

impl TripCause {
    /// Plain words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::UnderVoltage => "protection opened: voltage too low",
            Self::OverCurrent => "protection opened: current too high",
            Self::Fuse => "main fuse blown",
            Self::Empty => "no charge left",
        }
    }
}

/// A protection circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Protection {
    /// Voltage under load below which it opens, V.
    pub under_voltage_v: f64,
    /// How long the voltage must be low, s.
    pub under_voltage_delay_s: f64,
    /// What closes it after an under-voltage trip.
    pub under_voltage_release: Release,
    /// Current above which it opens, A.
    pub over_current_a: f64,
    /// How long the current must be high, s.
    pub over_current_delay_s: f64,
    /// What closes it after an over-current trip.
    pub over_current_release: Release,
    /// Cell temperature below which it refuses charge, °C; `None` if it does not look.
    pub no_charge_below_c: Option<f64>,
}

impl Protection {
    /// The circuit, if its numbers make sense.
    ///
    /// # Errors
    /// [`EnergyError::OutOfRange`] for a voltage outside 0.1 to 100 V, a current outside 0.05 to 500 A, a delay outside
    /// 0 to 600 s, a temperature outside −60 to 60 °C, or a rest outside 0 to 86 400 s.
    pub fn checked(self) -> Result<Self, EnergyError> {
        within("under-voltage trip (V)", self.under_voltage_v, 0.1, 100.0)?;
        within("under-voltage delay (s)", self.under_voltage_delay_s, 0.0, 600.0)?;
        within("over-current trip (A)", self.over_current_a, 0.05, 500.0)?;
        within("over-current delay (s)", self.over_current_delay_s, 0.0, 600.0)?;
        if let Some(temp_c) = self.no_charge_below_c {
            within("charging lockout temperature (°C)", temp_c, -60.0, 60.0)?;
        }
        for release in [self.under_voltage_release, self.over_current_release] {
            if let Release::AfterRest { rest_s, above_v } = release {
                within("rest before the protection closes (s)", rest_s, 0.0, 86_400.0)?;
                within("rested voltage before the protection closes (V)", above_v, 0.0, 100.0)?;
            }
        }
        Ok(self)
    }

    /// What releases a trip of this cause; a blown fuse and an empty battery have their own answers.
    #[must_use]
    pub fn release(&self, cause: TripCause) -> Release {
        match cause {
            TripCause::UnderVoltage => self.under_voltage_release,
            TripCause::OverCurrent => self.over_current_release,
            TripCause::Fuse => Release::Manual,
            TripCause::Empty => Release::ChargerOrPanel,
        }
    }

    /// The trip that a steady state of `terminal_v` (V) and `current_a` (A, out of the battery) held for `held_s` (s)
    /// causes, if any.
    #[must_use]
    pub fn trips(&self, terminal_v: f64, current_a: f64, held_s: f64) -> Option<TripCause> {
        if current_a > self.over_current_a && held_s >= self.over_current_delay_s {
            return Some(TripCause::OverCurrent);
        }
        if current_a > 0.0 && terminal_v < self.under_voltage_v && held_s >= self.under_voltage_delay_s {
            return Some(TripCause::UnderVoltage);
        }
        None
    }
}

/// What is known when one asks whether an open protection closes again.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReleaseEvidence {
    /// Time since it opened, the loads being dark since then, s.
    pub rested_s: f64,
    /// Open-circuit voltage now, V.
    pub open_circuit_v: f64,
    /// Whether a charger or a panel pushes current into the terminals.
    pub charging: bool,
    /// Whether somebody has unplugged and plugged in the loads since.
    pub reconnected: bool,
    /// Whether somebody has reset it by hand since.
    pub reset: bool,
}

impl Release {
    /// Whether the protection closes.
    #[must_use]
    pub fn met(self, evidence: &ReleaseEvidence) -> bool {
        match self {
            Self::AfterRest { rest_s, above_v } => {
                evidence.rested_s >= rest_s && (evidence.open_circuit_v > above_v || evidence.charging)
            }
            Self::ChargerOrPanel => evidence.charging,
            Self::Disconnect => evidence.reconnected || evidence.reset,
            Self::Manual => evidence.reset,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn circuit() -> Protection {
        Protection {
            under_voltage_v: 10.0,
            under_voltage_delay_s: 0.1,
            under_voltage_release: Release::ChargerOrPanel,
            over_current_a: 8.0,
            over_current_delay_s: 0.02,
            over_current_release: Release::Disconnect,
            no_charge_below_c: Some(0.0),
        }
    }

    #[test]
    fn opens_only_after_its_delay() {
        let circuit = circuit().checked().unwrap();
        assert_eq!(circuit.trips(9.0, 2.0, 0.05), None);
        assert_eq!(circuit.trips(9.0, 2.0, 0.1), Some(TripCause::UnderVoltage));
        assert_eq!(circuit.trips(12.0, 9.0, 0.01), None);
        assert_eq!(circuit.trips(12.0, 9.0, 0.02), Some(TripCause::OverCurrent));
        assert_eq!(circuit.trips(9.9, -1.0, 60.0), None, "charging never trips it");
    }

    #[test]
    fn closes_only_on_its_own_condition() {
        let nothing = ReleaseEvidence {
            rested_s: 1e5,
            open_circuit_v: 12.0,
            charging: false,
            reconnected: false,
            reset: false,
        };
        let rest = Release::AfterRest {
            rest_s: 30.0,
            above_v: 11.0,
        };
        assert!(rest.met(&nothing));
        assert!(!rest.met(&ReleaseEvidence {
            rested_s: 10.0,
            ..nothing
        }));
        assert!(!rest.met(&ReleaseEvidence {
            open_circuit_v: 10.9,
            ..nothing
        }));
        assert!(!Release::ChargerOrPanel.met(&nothing));
        assert!(Release::ChargerOrPanel.met(&ReleaseEvidence {
            charging: true,
            ..nothing
        }));
        assert!(!Release::Disconnect.met(&ReleaseEvidence {
            charging: true,
            ..nothing
        }));
        assert!(Release::Disconnect.met(&ReleaseEvidence {
            reconnected: true,
            ..nothing
        }));
        assert!(!Release::Manual.met(&ReleaseEvidence {
            reconnected: true,
            charging: true,
            ..nothing
        }));
        assert!(Release::Manual.met(&ReleaseEvidence { reset: true, ..nothing }));
    }

    #[test]
    fn refuses_nonsense() {
        assert!(
            Protection {
                over_current_a: 0.0,
                ..circuit()
            }
            .checked()
            .is_err()
        );
        assert!(
            Protection {
                under_voltage_v: f64::NAN,
                ..circuit()
            }
            .checked()
            .is_err()
        );
    }
}
