//! A transmission line: loss, complex characteristic impedance, and what a load looks like through it.
//!
//! The two-term loss fit is split by its physics: the √f term is conductor loss (series resistance R'), the f term is
//! dielectric loss (shunt conductance G'). With L' and C' from the nominal impedance and velocity these four
//! constants give both the propagation constant and the complex characteristic impedance, so that the line is passive
//! for every load. Source: telegrapher's equations, e.g. Pozar, Microwave Engineering, section 2.1 (from memory).
//! Left out: internal inductance of the conductors, and the plateau of loss where the skin depth exceeds thin plating.

use crate::error::{FeedError, not_negative, passive, positive, sound, within};
use crate::swr::swr;
use farhop_num::maths;
use farhop_num::{DB_PER_FIELD_NEPER, LIGHT_M_PER_S, db_of_ratio};
use num_complex::Complex64;
use std::f64::consts::TAU;

/// Longest line accepted, m.
pub(crate) const LONGEST_LINE_M: f64 = 10_000.0;

/// What makes a line: nominal impedance, velocity and loss.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineConstants {
    z0_ohm: f64,
    velocity_factor: f64,
    k1: f64,
    k2: f64,
}

impl LineConstants {
    /// Own constants.
    ///
    /// - `z0_ohm`: nominal impedance, above 0 Ω.
    /// - `velocity_factor`: dimensionless, above 0 up to 1.
    /// - `k1`: dB per 100 m at 1 MHz that grows with √f, 0 or more.
    /// - `k2`: dB per 100 m at 1 MHz that grows with f, 0 or more.
    ///
    /// # Errors
    /// [`FeedError::BadValue`] outside these ranges or for NaN.
    pub fn new(z0_ohm: f64, velocity_factor: f64, k1: f64, k2: f64) -> Result<Self, FeedError> {
        Ok(Self {
            z0_ohm: positive("line impedance (ohm)", z0_ohm)?,
            velocity_factor: within("velocity factor", velocity_factor, "above 0 and at most 1", |v| {
                v > 0.0 && v <= 1.0
            })?,
            k1: not_negative("line loss k1 (dB per 100 m at 1 MHz)", k1)?,
            k2: not_negative("line loss k2 (dB per 100 m at 1 MHz)", k2)?,
        })
    }

    /// Constants known to be in range, from the table of named lines.
    pub(crate) fn from_trusted(z0_ohm: f64, velocity_factor: f64, k1: f64, k2: f64) -> Self {
        Self {
            z0_ohm,
            velocity_factor,
            k1,
            k2,
        }
    }

    /// Nominal impedance in Ω.
    #[must_use]
    pub fn z0_ohm(&self) -> f64 {
        self.z0_ohm
    }

    /// Velocity factor (dimensionless).
    #[must_use]
    pub fn velocity_factor(&self) -> f64 {
        self.velocity_factor
    }

    /// The fit k1 √f + k2 f in dB per 100 m, for `freq_mhz` of zero or more.
    #[must_use]
    pub fn fitted_loss_db_per_100m(&self, freq_mhz: f64) -> f64 {
        self.k1 * freq_mhz.sqrt() + self.k2 * freq_mhz
    }

    /// The same line with both loss terms multiplied, for example for rain on open line or water in coax.
    ///
    /// # Errors
    /// [`FeedError::BadValue`] for a `factor` (dimensionless) below zero or not finite.
    pub(crate) fn with_loss_factor(self, factor: f64) -> Result<Self, FeedError> {
        not_negative("line loss factor", factor)?;
        Self::new(self.z0_ohm, self.velocity_factor, self.k1 * factor, self.k2 * factor)
    }

    /// Propagation constant in 1/m and complex characteristic impedance in Ω at `freq_mhz`.
    ///
    /// γ = √((R' + jωL')(G' + jωC')), Z = √((R' + jωL') / (G' + jωC')) with R' = 2 Z0 α₁, G' = 2 α₂ / Z0,
    /// L' = Z0 / v, C' = 1 / (Z0 v), α₁ and α₂ in Np/m.
    #[must_use]
    pub fn propagation(&self, freq_mhz: f64) -> (Complex64, Complex64) {
        let omega = TAU * freq_mhz * 1e6;
        let speed = self.velocity_factor * LIGHT_M_PER_S;
        let per_m = 1.0 / (100.0 * DB_PER_FIELD_NEPER);
        let series = Complex64::new(
            2.0 * self.z0_ohm * self.k1 * freq_mhz.sqrt() * per_m,
            omega * self.z0_ohm / speed,
        );
        let shunt = Complex64::new(
            2.0 * self.k2 * freq_mhz * per_m / self.z0_ohm,
            omega / (self.z0_ohm * speed),
        );
        // Roots taken one by one stay in the right half plane: no branch to choose.
        (
            maths::sqrt(series) * maths::sqrt(shunt),
            maths::sqrt(series) / maths::sqrt(shunt),
        )
    }
}

/// A piece of line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    constants: LineConstants,
    length_m: f64,
}

/// A load seen through a line, with the working.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineAnswer {
    /// Impedance at the radio end.
    pub input_ohm: Complex64,
    /// Loss when the load equals the line's own impedance.
    pub matched_loss_db: f64,
    /// Loss with this load: ten times the logarithm of power in over power out, exactly.
    pub loss_db: f64,
    /// Loss beyond the matched loss because of standing waves. A short line can lose less than matched when the load
    /// keeps the current (or the voltage) low all along: then this is below zero.
    pub additional_loss_db: f64,
    /// Reflection at the load against the complex characteristic impedance (dimensionless).
    pub load_reflection: Complex64,
    /// SWR at the load against the nominal impedance (dimensionless).
    pub load_swr: f64,
    /// SWR at the radio end against the nominal impedance (dimensionless).
    pub input_swr: f64,
    /// Electrical length in degrees.
    pub electrical_deg: f64,
}

impl Line {
    /// A line of `length_m`, 0 to `LONGEST_LINE_M`.
    ///
    /// # Errors
    /// [`FeedError::BadValue`] for a length outside this range or NaN.
    pub fn new(constants: LineConstants, length_m: f64) -> Result<Self, FeedError> {
        within("line length (m)", length_m, "from 0 to 10 000", |v| {
            (0.0..=LONGEST_LINE_M).contains(&v)
        })?;
        Ok(Self { constants, length_m })
    }

    /// The line's constants.
    #[must_use]
    pub fn constants(&self) -> LineConstants {
        self.constants
    }

    /// Length in m.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        self.length_m
    }

    /// What `load_ohm` looks like through the line and what is lost.
    ///
    /// # Errors
    /// [`FeedError::BadImpedance`] for a load without positive resistance, [`FeedError::BadValue`] for a bad frequency,
    /// [`FeedError::NotFinite`] where the loss is beyond what numbers hold (some thousand dB).
    ///
    /// ```
    /// use farhop_feed::{Complex64, Line, LineConstants};
    /// use farhop_gear::LineType;
    /// let line = Line::new(LineConstants::named(LineType::Rg58).unwrap(), 10.0)?;
    /// let seen = line.transform(Complex64::new(50.0, 0.0), 7.1)?;
    /// assert!((seen.loss_db - 0.393).abs() < 0.002);
    /// # Ok::<(), farhop_feed::FeedError>(())
    /// ```
    pub fn transform(&self, load_ohm: Complex64, freq_mhz: f64) -> Result<LineAnswer, FeedError> {
        let load_ohm = passive("the load of the line", load_ohm)?;
        positive("frequency (MHz)", freq_mhz)?;
        let (gamma, z0) = self.constants.propagation(freq_mhz);
        let angle = gamma * self.length_m;
        let (cosh, sinh) = (maths::cosh(angle), maths::sinh(angle));
        // One ampere in the load, scaled by its size so that extreme loads stay within numbers.
        let scale = maths::norm(load_ohm) + maths::norm(z0);
        let (volts_out, amps_out) = (load_ohm / scale, 1.0 / scale);
        let volts_in = cosh * volts_out + z0 * sinh * amps_out;
        let amps_in = sinh / z0 * volts_out + cosh * amps_out;
        let input_ohm = sound("the impedance at the line's input", volts_in / amps_in)?;
        let loss_db = db_of_ratio((volts_in * amps_in.conj()).re / (load_ohm.re * amps_out * amps_out));
        let matched_loss_db = DB_PER_FIELD_NEPER * angle.re;
        Ok(LineAnswer {
            input_ohm,
            matched_loss_db,
            loss_db,
            additional_loss_db: loss_db - matched_loss_db,
            load_reflection: (load_ohm - z0) / (load_ohm + z0),
            load_swr: swr(load_ohm, self.constants.z0_ohm),
            input_swr: swr(input_ohm, self.constants.z0_ohm),
            electrical_deg: angle.im.to_degrees(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::swr::reflection;
    use farhop_gear::LineType;
    use proptest::prelude::*;

    fn lossless(z0_ohm: f64, length_m: f64) -> Line {
        Line::new(LineConstants::new(z0_ohm, 0.7, 0.0, 0.0).unwrap(), length_m).unwrap()
    }

    #[test]
    fn quarter_wave_inverts_and_half_wave_repeats() {
        let freq_mhz = 10.0;
        let wave_m = 0.7 * LIGHT_M_PER_S / 10e6;
        let load = Complex64::new(20.0, 35.0);
        let quarter = lossless(75.0, wave_m / 4.0).transform(load, freq_mhz).unwrap();
        assert!((quarter.input_ohm - 75.0 * 75.0 / load).norm() < 1e-9);
        assert!(quarter.loss_db.abs() < 1e-9);
        let half = lossless(75.0, wave_m / 2.0).transform(load, freq_mhz).unwrap();
        assert!((half.input_ohm - load).norm() < 1e-9);
        assert!((half.electrical_deg - 180.0).abs() < 1e-9);
    }

    #[test]
    fn eighth_wave_closed_form() {
        // Zin = Z0 (ZL + j Z0 tan βl) / (Z0 + j ZL tan βl), tan 45° = 1.
        let load = Complex64::new(100.0, 0.0);
        let seen = lossless(50.0, 0.7 * LIGHT_M_PER_S / 10e6 / 8.0)
            .transform(load, 10.0)
            .unwrap();
        let expected = 50.0 * Complex64::new(100.0, 50.0) / Complex64::new(50.0, 100.0);
        assert!((seen.input_ohm - expected).norm() < 1e-9);
    }

    #[test]
    fn matched_loss_follows_the_fit() {
        // Second-order term of the square root: ((α₁ − α₂) / β)² / 2, worst for the lossiest line at 1.8 MHz.
        for kind in LineType::ALL.into_iter().filter(|k| *k != LineType::Own) {
            for freq_mhz in [1.8, 7.1, 28.0] {
                let line = Line::new(LineConstants::named(kind).unwrap(), 100.0).unwrap();
                let got_db = line
                    .transform(Complex64::new(50.0, 0.0), freq_mhz)
                    .unwrap()
                    .matched_loss_db;
                let fit_db = LineConstants::named(kind).unwrap().fitted_loss_db_per_100m(freq_mhz);
                assert!(
                    (got_db / fit_db - 1.0).abs() < 0.005,
                    "{kind:?} {freq_mhz}: {got_db} {fit_db}"
                );
            }
        }
    }

    /// The handbook form of total loss for a line with real Z0: (a² − |Γ|²) / (a (1 − |Γ|²)), a = 10^(matched/10).
    #[test]
    fn mismatched_loss_closed_form_without_distortion() {
        // Equal conductor and dielectric loss makes Z0 real (Heaviside condition), where the form is exact.
        let freq_mhz: f64 = 9.0;
        let constants = LineConstants::new(50.0, 0.66, 3.0, 3.0 / freq_mhz.sqrt()).unwrap();
        let seen = Line::new(constants, 20.0)
            .unwrap()
            .transform(Complex64::new(10.0, 60.0), freq_mhz)
            .unwrap();
        let a = 10f64.powf(seen.matched_loss_db / 10.0);
        let g2 = reflection(Complex64::new(10.0, 60.0), 50.0).norm_sqr();
        let expected_db = db_of_ratio((a * a - g2) / (a * (1.0 - g2)));
        assert!(
            (seen.loss_db - expected_db).abs() < 1e-9,
            "{} {expected_db}",
            seen.loss_db
        );
    }

    #[test]
    fn bad_values_are_refused() {
        assert!(LineConstants::new(0.0, 0.66, 1.0, 0.0).is_err());
        assert!(LineConstants::new(f64::NAN, 0.66, 1.0, 0.0).is_err());
        assert!(LineConstants::new(50.0, 1.01, 1.0, 0.0).is_err());
        assert!(LineConstants::new(50.0, 0.66, -0.1, 0.0).is_err());
        assert!(LineConstants::new(50.0, 0.66, 1.0, f64::INFINITY).is_err());
        let constants = LineConstants::named(LineType::Rg58).unwrap();
        assert!(Line::new(constants, -1.0).is_err());
        assert!(Line::new(constants, f64::NAN).is_err());
        let line = Line::new(constants, 10.0).unwrap();
        assert!(line.transform(Complex64::new(0.0, 0.0), 7.0).is_err());
        assert!(line.transform(Complex64::new(-5.0, 0.0), 7.0).is_err());
        assert!(line.transform(Complex64::new(50.0, f64::NAN), 7.0).is_err());
        assert!(line.transform(Complex64::new(50.0, 0.0), 0.0).is_err());
        let absurd = Line::new(LineConstants::new(50.0, 0.66, 1000.0, 0.0).unwrap(), 10_000.0).unwrap();
        assert!(matches!(
            absurd.transform(Complex64::new(50.0, 0.0), 30.0),
            Err(FeedError::NotFinite { .. })
        ));
    }

    proptest! {
        #[test]
        fn power_is_never_made_and_pieces_add_up(
            r in 0.01f64..5000.0, x in -5000f64..5000.0, freq_mhz in 1.8f64..30.0, length_m in 0.0f64..100.0,
            split in 0.0f64..1.0, kind in 0usize..7,
        ) {
            let constants = LineConstants::named(LineType::ALL[kind]).unwrap();
            let load = Complex64::new(r, x);
            let whole = Line::new(constants, length_m).unwrap().transform(load, freq_mhz).unwrap();
            prop_assert!(whole.loss_db > -1e-9);
            let far = Line::new(constants, length_m * split).unwrap().transform(load, freq_mhz).unwrap();
            let near = Line::new(constants, length_m * (1.0 - split)).unwrap().transform(far.input_ohm, freq_mhz).unwrap();
            prop_assert!((near.input_ohm - whole.input_ohm).norm() < 1e-6 * whole.input_ohm.norm());
            prop_assert!((near.loss_db + far.loss_db - whole.loss_db).abs() < 1e-6);
        }

        #[test]
        fn a_long_line_shows_its_own_impedance(r in 1f64..1000.0, x in -1000f64..1000.0) {
            let constants = LineConstants::named(LineType::Rg174).unwrap();
            let seen = Line::new(constants, 900.0).unwrap().transform(Complex64::new(r, x), 14.0).unwrap();
            let (_, z0) = constants.propagation(14.0);
            prop_assert!((seen.input_ohm - z0).norm() < 1e-3);
        }
    }
}
