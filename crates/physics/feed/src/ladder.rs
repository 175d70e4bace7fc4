//! A ladder of series and shunt parts between radio and antenna: what it does to a load and what each part bears.

use crate::error::{FeedError, not_negative, passive, sound};
use crate::swr::amps_rms;
use farhop_num::db_of_ratio;
use farhop_num::maths;
use num_complex::Complex64;
use std::f64::consts::TAU;

/// What a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PartRole {
    /// The tuner's coil.
    Inductor,
    /// The tuner's only capacitor, or in a T network the one at the radio.
    Capacitor,
    /// In a T network the capacitor at the antenna.
    AntennaCapacitor,
    /// Leakage inductance and winding resistance of a transformer.
    Winding,
    /// Magnetising inductance and core loss of a transformer.
    Core,
}

/// How a part is connected.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PartPlace {
    /// In the way of the current.
    Series,
    /// Across the two wires.
    Shunt,
}

/// One part with its impedance at the frequency in hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// What it is.
    pub role: PartRole,
    /// How it is connected.
    pub place: PartPlace,
    /// Its impedance.
    pub impedance_ohm: Complex64,
}

/// What a part bears, RMS.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PartStress {
    /// What it is.
    pub role: PartRole,
    /// Voltage across it.
    pub volts_rms: f64,
    /// Current through it.
    pub amps_rms: f64,
    /// Power it turns into heat.
    pub heat_w: f64,
}

/// Parts in order from the radio to the antenna.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ladder {
    parts: Vec<Part>,
}

/// Impedance of a coil of `l_uh` with quality `q` (dimensionless): ωL (1/Q + j).
#[must_use]
pub fn coil_ohm(l_uh: f64, q: f64, freq_mhz: f64) -> Complex64 {
    // MHz times µH is Ω.
    let reactance_ohm = TAU * freq_mhz * l_uh;
    Complex64::new(reactance_ohm / q, reactance_ohm)
}

/// Admittance in siemens of a capacitor of `c_pf` with quality `q` (dimensionless): ωC (1/Q + j).
#[must_use]
pub fn capacitor_siemens(c_pf: f64, q: f64, freq_mhz: f64) -> Complex64 {
    // MHz times pF is µS.
    let susceptance_s = TAU * freq_mhz * c_pf * 1e-6;
    Complex64::new(susceptance_s / q, susceptance_s)
}

impl Ladder {
    /// A ladder of parts, radio first. No part is a straight-through wire.
    #[must_use]
    pub fn new(parts: Vec<Part>) -> Self {
        Self { parts }
    }

    /// The parts, radio first.
    #[must_use]
    pub fn parts(&self) -> &[Part] {
        &self.parts
    }

    /// Impedance at the radio side and power in over power out (dimensionless).
    ///
    /// # Errors
    /// [`FeedError::BadImpedance`] for a load without positive resistance; [`FeedError::NotFinite`].
    pub fn look_in(&self, load_ohm: Complex64) -> Result<(Complex64, f64), FeedError> {
        let mut z_ohm = passive("the load of the network", load_ohm)?;
        let mut power_ratio = 1.0;
        for part in self.parts.iter().rev() {
            let next = match part.place {
                PartPlace::Series => {
                    power_ratio *= 1.0 + part.impedance_ohm.re / z_ohm.re;
                    z_ohm + part.impedance_ohm
                }
                PartPlace::Shunt => {
                    let (own, beyond) = (part.impedance_ohm.inv(), z_ohm.inv());
                    power_ratio *= 1.0 + own.re / beyond.re;
                    (own + beyond).inv()
                }
            };
            z_ohm = sound("the impedance inside the network", next)?;
        }
        Ok((z_ohm, power_ratio))
    }

    /// Loss in dB with this load.
    ///
    /// # Errors
    /// As [`Ladder::look_in`].
    pub fn loss_db(&self, load_ohm: Complex64) -> Result<f64, FeedError> {
        Ok(db_of_ratio(self.look_in(load_ohm)?.1))
    }

    /// Voltage, current and heat of each part when `power_w` goes in at the radio side.
    ///
    /// # Errors
    /// As [`Ladder::look_in`], and [`FeedError::BadValue`] for a negative power.
    pub fn stresses(&self, load_ohm: Complex64, power_w: f64) -> Result<Vec<PartStress>, FeedError> {
        not_negative("power (W)", power_w)?;
        let (_, power_ratio) = self.look_in(load_ohm)?;
        let mut amps = Complex64::from(amps_rms(load_ohm, power_w / power_ratio));
        let mut volts = load_ohm * amps;
        let mut stresses = Vec::with_capacity(self.parts.len());
        for part in self.parts.iter().rev() {
            let (across, through) = match part.place {
                PartPlace::Series => (amps * part.impedance_ohm, amps),
                PartPlace::Shunt => (volts, volts / part.impedance_ohm),
            };
            match part.place {
                PartPlace::Series => volts += across,
                PartPlace::Shunt => amps += through,
            }
            stresses.push(PartStress {
                role: part.role,
                volts_rms: maths::norm(across),
                amps_rms: maths::norm(through),
                heat_w: (across * through.conj()).re,
            });
        }
        stresses.reverse();
        Ok(stresses)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn tee(c1: f64, l: f64, c2: f64, freq_mhz: f64) -> Ladder {
        let part = |role, place, impedance_ohm| Part {
            role,
            place,
            impedance_ohm,
        };
        Ladder::new(vec![
            part(
                PartRole::Capacitor,
                PartPlace::Series,
                capacitor_siemens(c1, 500.0, freq_mhz).inv(),
            ),
            part(PartRole::Inductor, PartPlace::Shunt, coil_ohm(l, 100.0, freq_mhz)),
            part(
                PartRole::AntennaCapacitor,
                PartPlace::Series,
                capacitor_siemens(c2, 500.0, freq_mhz).inv(),
            ),
        ])
    }

    #[test]
    fn reactances_are_the_schoolbook_ones() {
        // 1 µH at 10 MHz is 62.83 Ω; 100 pF at 10 MHz is 159.15 Ω.
        assert!((coil_ohm(1.0, 100.0, 10.0).im - 62.831_853).abs() < 1e-5);
        assert!((capacitor_siemens(100.0, 1e9, 10.0).inv().im + 159.154_94).abs() < 1e-4);
    }

    #[test]
    fn nothing_in_the_way_changes_nothing() {
        let load = Complex64::new(12.0, -40.0);
        assert_eq!(Ladder::default().look_in(load).unwrap(), (load, 1.0));
        assert!(Ladder::default().look_in(Complex64::new(0.0, 0.0)).is_err());
        assert!(Ladder::default().stresses(load, -1.0).is_err());
    }

    proptest! {
        #[test]
        fn heat_and_output_make_up_the_input(
            r in 0.1f64..3000.0, x in -3000f64..3000.0, c1 in 10f64..500.0, l in 0.1f64..30.0, c2 in 10f64..500.0,
            freq_mhz in 1.8f64..30.0,
        ) {
            let ladder = tee(c1, l, c2, freq_mhz);
            let load = Complex64::new(r, x);
            let (_, ratio) = ladder.look_in(load).unwrap();
            let heat_w: f64 = ladder.stresses(load, 5.0).unwrap().iter().map(|s| s.heat_w).sum();
            prop_assert!(ratio >= 1.0);
            prop_assert!((heat_w + 5.0 / ratio - 5.0).abs() < 1e-8);
        }
    }
}
