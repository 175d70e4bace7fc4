//! Chokes, baluns and impedance transformers: ideal ratio plus winding, core and magnetising inductance.
//!
//! From radio to antenna: series winding (leakage inductance and copper loss that grows with √f), shunt core
//! (magnetising inductance with a loss resistor beside it), then the ideal ratio. The stated loss figures hold for a
//! load of ratio × 50 Ω at 10 MHz without the reactances; with other loads the loss follows from the circuit.
//! All default values are from memory of typical published measurements and builders' rules of thumb.

use crate::REFERENCE_OHM;
use crate::error::{FeedError, not_negative, passive, positive, sound};
use crate::ladder::{Ladder, Part, PartPlace, PartRole};
use farhop_num::maths;
use farhop_num::{db_of_ratio, ratio_of_db};
use num_complex::Complex64;
use std::f64::consts::TAU;

/// Frequency at which the winding loss figure is stated, MHz.
const STATED_AT_MHZ: f64 = 10.0;

/// A generic kind of transformer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TransformerType {
    /// 1:1 current choke.
    Choke,
    /// 4:1 balun or unun (200 Ω to 50 Ω).
    FourToOne,
    /// 9:1 unun (450 Ω to 50 Ω).
    NineToOne,
    /// 49:1 transformer for end-fed half waves (2 450 Ω to 50 Ω).
    FortyNineToOne,
}

/// The numbers of a transformer; check them with [`Transformer::new`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TransformerValues {
    /// Antenna-side impedance over radio-side impedance (dimensionless), above 0.
    pub ratio: f64,
    /// Core loss into the design load, dB, 0 or more.
    pub core_loss_db: f64,
    /// Winding loss into the design load at 10 MHz, dB, 0 or more; grows with √f.
    pub winding_loss_db: f64,
    /// Magnetising inductance seen at the radio side, µH; `None` where the path is a line through the core.
    pub magnetising_uh: Option<f64>,
    /// Leakage inductance seen at the radio side, µH, 0 or more.
    pub leakage_uh: f64,
}

/// A checked transformer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transformer {
    values: TransformerValues,
}

impl TransformerType {
    /// All named kinds, smallest ratio first.
    pub const ALL: [Self; 4] = [Self::Choke, Self::FourToOne, Self::NineToOne, Self::FortyNineToOne];

    /// The short trade name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Choke => "1:1 choke",
            Self::FourToOne => "4:1",
            Self::NineToOne => "9:1",
            Self::FortyNineToOne => "49:1",
        }
    }

    /// Typical values for a portable ferrite transformer, from memory.
    #[must_use]
    pub fn values(self) -> TransformerValues {
        let (ratio, core_loss_db, winding_loss_db, magnetising_uh, leakage_uh) = match self {
            Self::Choke => (1.0, 0.0, 0.1, None, 0.0),
            Self::FourToOne => (4.0, 0.15, 0.1, Some(12.0), 0.05),
            Self::NineToOne => (9.0, 0.4, 0.15, Some(8.0), 0.1),
            Self::FortyNineToOne => (49.0, 0.8, 0.2, Some(4.0), 0.1),
        };
        TransformerValues {
            ratio,
            core_loss_db,
            winding_loss_db,
            magnetising_uh,
            leakage_uh,
        }
    }

    /// The transformer with its typical values.
    #[must_use]
    pub fn typical(self) -> Transformer {
        Transformer { values: self.values() }
    }
}

impl Transformer {
    /// A transformer of own values.
    ///
    /// # Errors
    /// [`FeedError::BadValue`] for values outside the ranges given at [`TransformerValues`].
    pub fn new(values: TransformerValues) -> Result<Self, FeedError> {
        positive("transformer ratio", values.ratio)?;
        not_negative("transformer core loss (dB)", values.core_loss_db)?;
        not_negative("transformer winding loss (dB)", values.winding_loss_db)?;
        not_negative("transformer leakage inductance (uH)", values.leakage_uh)?;
        if let Some(l_uh) = values.magnetising_uh {
            positive("transformer magnetising inductance (uH)", l_uh)?;
        }
        Ok(Self { values })
    }

    /// The values.
    #[must_use]
    pub fn values(&self) -> TransformerValues {
        self.values
    }

    /// The circuit at the radio side of the ideal ratio.
    fn ladder(&self, freq_mhz: f64) -> Ladder {
        let v = self.values;
        let excess = |loss_db: f64| ratio_of_db(loss_db) - 1.0;
        let winding_ohm = REFERENCE_OHM * excess(v.winding_loss_db) * (freq_mhz / STATED_AT_MHZ).sqrt();
        let winding = Complex64::new(winding_ohm, TAU * freq_mhz * v.leakage_uh);
        let magnetising_s = v.magnetising_uh.map_or(0.0, |l_uh| -1.0 / (TAU * freq_mhz * l_uh));
        let core_s = Complex64::new(excess(v.core_loss_db) / REFERENCE_OHM, magnetising_s);
        let mut parts = Vec::with_capacity(2);
        if maths::norm(winding) > 0.0 {
            parts.push(Part {
                role: PartRole::Winding,
                place: PartPlace::Series,
                impedance_ohm: winding,
            });
        }
        if maths::norm(core_s) > 0.0 {
            parts.push(Part {
                role: PartRole::Core,
                place: PartPlace::Shunt,
                impedance_ohm: core_s.inv(),
            });
        }
        Ladder::new(parts)
    }

    /// Impedance at the radio side and loss in dB with `load_ohm` at the antenna side.
    ///
    /// # Errors
    /// [`FeedError::BadImpedance`] or [`FeedError::BadValue`] for a bad load or frequency; [`FeedError::NotFinite`].
    pub fn transform(&self, load_ohm: Complex64, freq_mhz: f64) -> Result<(Complex64, f64), FeedError> {
        positive("frequency (MHz)", freq_mhz)?;
        let load_ohm = passive("the load of the transformer", load_ohm)?;
        let referred = sound("the load over the ratio", load_ohm / self.values.ratio)?;
        let (input_ohm, power_ratio) = self.ladder(freq_mhz).look_in(referred)?;
        Ok((input_ohm, db_of_ratio(power_ratio)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ideal_ratio_divides_the_impedance() {
        let ideal = Transformer::new(TransformerValues {
            ratio: 9.0,
            core_loss_db: 0.0,
            winding_loss_db: 0.0,
            magnetising_uh: None,
            leakage_uh: 0.0,
        })
        .unwrap();
        let (z, loss_db) = ideal.transform(Complex64::new(450.0, 90.0), 7.0).unwrap();
        assert!((z - Complex64::new(50.0, 10.0)).norm() < 1e-12);
        assert_eq!(loss_db, 0.0);
    }

    #[test]
    fn stated_loss_is_the_loss_into_the_design_load() {
        for kind in TransformerType::ALL {
            let values = TransformerValues {
                magnetising_uh: None,
                leakage_uh: 0.0,
                ..kind.values()
            };
            let load = Complex64::new(values.ratio * 50.0, 0.0);
            let (_, loss_db) = Transformer::new(values).unwrap().transform(load, 10.0).unwrap();
            let stated_db = values.core_loss_db + values.winding_loss_db;
            // The core lowers the resistance the winding works into, by its own loss: a second-order effect.
            assert!((loss_db - stated_db).abs() < 0.05, "{kind:?} {loss_db} {stated_db}");
        }
    }

    #[test]
    fn a_poor_load_loses_more_in_the_core() {
        let t = TransformerType::FortyNineToOne.typical();
        let good_db = t.transform(Complex64::new(2450.0, 0.0), 7.0).unwrap().1;
        let high_db = t.transform(Complex64::new(10_000.0, 0.0), 7.0).unwrap().1;
        assert!(high_db > good_db + 1.0, "{good_db} {high_db}");
    }

    #[test]
    fn magnetising_inductance_matters_low_down() {
        let t = TransformerType::NineToOne.typical();
        let load = Complex64::new(450.0, 0.0);
        let low = t.transform(load, 1.8).unwrap().0;
        // 8 µH at 1.8 MHz is 90 Ω beside 50 Ω: the phase must be clearly inductive.
        assert!(low.arg().to_degrees() > 20.0, "{low}");
    }

    #[test]
    fn bad_values_are_refused() {
        let good = TransformerType::FourToOne.values();
        for bad in [
            TransformerValues { ratio: 0.0, ..good },
            TransformerValues {
                ratio: f64::NAN,
                ..good
            },
            TransformerValues {
                core_loss_db: -0.1,
                ..good
            },
            TransformerValues {
                winding_loss_db: f64::INFINITY,
                ..good
            },
            TransformerValues {
                magnetising_uh: Some(0.0),
                ..good
            },
            TransformerValues {
                leakage_uh: -1.0,
                ..good
            },
        ] {
            assert!(Transformer::new(bad).is_err());
        }
        assert!(
            TransformerType::Choke
                .typical()
                .transform(Complex64::new(0.0, 0.0), 7.0)
                .is_err()
        );
        assert!(
            TransformerType::Choke
                .typical()
                .transform(Complex64::new(50.0, 0.0), f64::NAN)
                .is_err()
        );
    }
}
