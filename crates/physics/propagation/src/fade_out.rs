//! Short-wave fade-outs: what the X-rays of a solar flare add to the absorption on the sunlit side.
//!
//! The relation is that of the public D-region absorption product of the American space weather service (from memory): the
//! frequency that loses one decibel straight up and back is `(10 log10 flux + 65) (cos χ)^0.75` MHz with the flux from 0.1 to 0.8 nm
//! in W/m², and the loss falls with the power 1.5 of the frequency.

use farhop_earth::UtcTime;
use farhop_num::db_of_ratio;
use farhop_num::maths;

/// Flux in W/m² of class C1: below it a flare hardly shows on the air, and is taken to be over.
pub(crate) const QUIET_FLUX_W_PER_M2: f64 = 1e-6;
/// Power by which the loss falls with frequency, dimensionless.
pub(crate) const FREQUENCY_POWER: f64 = 1.5;
/// Time from the beginning to the peak, s (from memory: a few minutes).
const RISE_S: f64 = 300.0;
/// Time in s in which the flux of an M1 flare falls by e, and the power (dimensionless) by which that grows with the flux (from
/// memory: M1 is over after some 25 minutes, X1 after one to two hours).
const FALL: (f64, f64) = (600.0, 0.3);

/// A class that cannot be read.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{text:?} is no X-ray class: give a letter A, B, C, M or X and a number, as in M5.2")]
pub struct FlareClassError {
    /// The class as given.
    pub text: String,
}

/// Peak flux in W/m² of an X-ray class as broadcast, for example `M5.2`.
///
/// # Errors
/// Anything but a letter from A, B, C, M, X and a positive number.
///
/// ```
/// let x2 = farhop_propagation::fade_out::flux_of_class("X2")?;
/// assert!((x2 - 2e-4).abs() < 1e-12);
/// # Ok::<(), farhop_propagation::fade_out::FlareClassError>(())
/// ```
pub fn flux_of_class(text: &str) -> Result<f64, FlareClassError> {
    let wrong = || FlareClassError { text: text.to_owned() };
    let trimmed = text.trim();
    let letter = trimmed.chars().next().ok_or_else(wrong)?;
    let unit = match letter.to_ascii_uppercase() {
        'A' => 1e-8,
        'B' => 1e-7,
        'C' => 1e-6,
        'M' => 1e-5,
        'X' => 1e-4,
        _ => return Err(wrong()),
    };
    let number: f64 = trimmed[letter.len_utf8()..].trim().parse().map_err(|_| wrong())?;
    if number.is_finite() && number > 0.0 {
        Ok(unit * number)
    } else {
        Err(wrong())
    }
}

/// A flare.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flare {
    /// Peak flux from 0.1 to 0.8 nm, W/m².
    pub peak_flux_w_per_m2: f64,
    /// When it began.
    pub from: UtcTime,
    /// When it was over, if known; otherwise from its strength.
    pub until: Option<UtcTime>,
}

impl Flare {
    /// Time in s from the peak to the end: until the flux has fallen to class C1.
    #[must_use]
    pub(crate) fn recovery_s(&self) -> f64 {
        let over = (self.peak_flux_w_per_m2 / QUIET_FLUX_W_PER_M2).max(1.0);
        match self.until {
            Some(until) => ((until.unix_s() - self.from.unix_s()) as f64 - RISE_S).max(1.0),
            None => FALL.0 * maths::powf((self.peak_flux_w_per_m2 / 1e-5).max(0.0), FALL.1) * maths::ln(over),
        }
    }

    /// Flux at a time, W/m², zero before and after: it rises to the peak in five minutes and falls exponentially to C1 at the end.
    #[must_use]
    pub(crate) fn flux_at_w_per_m2(&self, time: UtcTime) -> f64 {
        let since_s = (time.unix_s() - self.from.unix_s()) as f64;
        let (peak, recovery_s) = (self.peak_flux_w_per_m2, self.recovery_s());
        if since_s < 0.0 || since_s > RISE_S + recovery_s || !peak.is_finite() || peak <= 0.0 {
            return 0.0;
        }
        if since_s < RISE_S {
            return peak * since_s / RISE_S;
        }
        let over = (peak / QUIET_FLUX_W_PER_M2).max(1.0);
        peak * maths::powf(over, -(since_s - RISE_S) / recovery_s)
    }
}

/// Frequency in MHz that loses one decibel straight up and back; zero at night and without a flare.
#[must_use]
pub(crate) fn highest_affected_mhz(flux_w_per_m2: f64, sun_zenith_deg: f64) -> f64 {
    let cosine = maths::cos(sun_zenith_deg.to_radians());
    if flux_w_per_m2 > 0.0 && cosine > 0.0 {
        (db_of_ratio(flux_w_per_m2) + 65.0).max(0.0) * maths::powf(cosine, 0.75)
    } else {
        0.0
    }
}

#[cfg(test)]
/// Loss in dB of one crossing of the D region by a ray with this secant of its incidence there (dimensionless).
#[must_use]
pub(crate) fn crossing_loss_db(flux_w_per_m2: f64, sun_zenith_deg: f64, freq_mhz: f64, secant: f64) -> f64 {
    let ratio = highest_affected_mhz(flux_w_per_m2, sun_zenith_deg) / freq_mhz.max(1e-3);
    0.5 * maths::powf(ratio, FREQUENCY_POWER) * secant.max(1.0)
}

/// Peak flux in W/m² and number of such flares and stronger ones in a cycle of eleven years: the scale of radio blackouts of the
/// American space weather service (from memory).
const PER_CYCLE: [(f64, f64); 5] = [(1e-5, 2_000.0), (5e-5, 350.0), (1e-4, 175.0), (1e-3, 8.0), (2e-3, 1.0)];
/// Days of a cycle.
const CYCLE_DAYS: f64 = 4_018.0;
/// Mean R12 of the cycles behind those numbers, dimensionless (from memory: cycles 21 to 24).
const MEAN_R12: f64 = 75.0;

/// Flares a day that reach `least_flux_w_per_m2`, at a smoothed sunspot number (dimensionless): in proportion to it, between the
/// given numbers along straight lines in the logarithms; beyond them along the last line.
#[must_use]
pub fn flares_per_day(r12: f64, least_flux_w_per_m2: f64) -> f64 {
    let log = maths::ln(least_flux_w_per_m2.max(1e-9));
    let line = |a: (f64, f64), b: (f64, f64)| {
        let share = (log - maths::ln(a.0)) / (maths::ln(b.0) - maths::ln(a.0));
        maths::exp(maths::ln(a.1) + share * (maths::ln(b.1) - maths::ln(a.1)))
    };
    let upper = PER_CYCLE
        .partition_point(|p| p.0 <= least_flux_w_per_m2)
        .clamp(1, PER_CYCLE.len() - 1);
    line(PER_CYCLE[upper - 1], PER_CYCLE[upper]) / CYCLE_DAYS * r12.max(0.0) / MEAN_R12
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flare(peak_flux_w_per_m2: f64) -> Flare {
        Flare {
            peak_flux_w_per_m2,
            from: UtcTime::from_unix_s(1_783_000_000).unwrap(),
            until: None,
        }
    }

    /// The table that goes with the relation as published (from memory): M1 15, M5 20, X1 25, X5 30 MHz with the sun overhead.
    #[test]
    fn the_published_frequencies() {
        for (class, mhz) in [("M1.0", 15.0), ("M5", 20.0), ("X1", 25.0), ("x5", 30.0)] {
            let flux = flux_of_class(class).unwrap();
            // The published table is rounded.
            assert!((highest_affected_mhz(flux, 0.0) - mhz).abs() < 2.1, "{class}");
        }
        assert_eq!(highest_affected_mhz(1e-4, 95.0), 0.0);
        // One decibel on that frequency, straight up and back.
        assert!((2.0 * crossing_loss_db(1e-4, 0.0, 25.0, 1.0) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn stronger_flares_lose_more_and_last_longer() {
        let (m1, x1) = (flare(1e-5), flare(1e-4));
        assert!((20.0..30.0).contains(&(m1.recovery_s() / 60.0)));
        assert!((60.0..120.0).contains(&(x1.recovery_s() / 60.0)));
        let loss =
            |f: &Flare, minutes: i64| crossing_loss_db(f.flux_at_w_per_m2(f.from.add_s(60 * minutes)), 30.0, 7.1, 1.2);
        assert!(loss(&x1, 5) > loss(&m1, 5) && loss(&x1, 5) > loss(&x1, 30) && loss(&x1, 30) > 0.0);
        assert_eq!((loss(&x1, -1), loss(&x1, 240)), (0.0, 0.0));
        let told = Flare {
            until: Some(x1.from.add_s(7_200)),
            ..x1
        };
        assert!(told.flux_at_w_per_m2(x1.from.add_s(7_100)) > 0.0);
        assert_eq!(told.flux_at_w_per_m2(x1.from.add_s(7_300)), 0.0);
    }

    #[test]
    fn rates_meet_the_scale() {
        for (flux, count) in PER_CYCLE {
            assert!((flares_per_day(MEAN_R12, flux) * CYCLE_DAYS / count - 1.0).abs() < 1e-9);
        }
        assert!(flares_per_day(150.0, 2e-5) > flares_per_day(150.0, 3e-5));
        assert_eq!(flares_per_day(0.0, 1e-5), 0.0);
    }

    #[test]
    fn nonsense_is_refused() {
        for text in ["", "M", "Q5", "X-1", "M0", "Xinf", "é1"] {
            assert!(flux_of_class(text).is_err(), "{text}");
        }
    }
}
