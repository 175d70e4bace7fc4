//! A curve of straight pieces, with its exact integral.
//!
//! The open-circuit voltage is kept as such a curve, so that the stored energy (its integral over charge) is exact and the
//! energy books can be balanced to rounding.

use crate::error::EnergyError;

/// A function given by points joined with straight lines, held level beyond both ends.
///
/// Units: those of the points. Valid for: two or more points with strictly rising first numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    x: Vec<f64>,
    y: Vec<f64>,
    /// Rise of each piece.
    slope: Vec<f64>,
    /// Integral from the first point to each point.
    area: Vec<f64>,
}

impl Curve {
    /// The curve through `points`, pairs of argument and value (units of the caller).
    ///
    /// # Errors
    /// [`EnergyError::BadCurve`] for fewer than two points, a number that is not finite, or arguments that do not rise.
    pub fn new(what: &str, points: &[(f64, f64)]) -> Result<Self, EnergyError> {
        let finite = points.iter().all(|(x, y)| x.is_finite() && y.is_finite());
        let rising = points.windows(2).all(|pair| pair[0].0 < pair[1].0);
        if points.len() < 2 || !finite || !rising {
            return Err(EnergyError::BadCurve { what: what.to_owned() });
        }
        let slope = points
            .windows(2)
            .map(|pair| (pair[1].1 - pair[0].1) / (pair[1].0 - pair[0].0))
            .collect();
        let mut area = vec![0.0];
        let mut sum = 0.0;
        for pair in points.windows(2) {
            sum += 0.5 * (pair[0].1 + pair[1].1) * (pair[1].0 - pair[0].0);
            area.push(sum);
        }
        let (x, y) = points.iter().copied().unzip();
        Ok(Self { x, y, slope, area })
    }

    /// Index of the piece that holds `x` (the first or last piece beyond the ends).
    #[inline]
    fn piece(&self, x: f64) -> usize {
        let last = self.x.len() - 2;
        let mut k = 0;
        while k < last && x >= self.x[k + 1] {
            k += 1;
        }
        k
    }

    #[inline]
    fn on_piece(&self, k: usize, x: f64) -> f64 {
        self.y[k] + self.slope[k] * (x.clamp(self.x[k], self.x[k + 1]) - self.x[k])
    }

    /// Value at `x` (units of the points).
    #[must_use]
    #[inline]
    pub fn at(&self, x: f64) -> f64 {
        self.on_piece(self.piece(x), x)
    }

    /// Integral from the first point to `x` (product of both units).
    #[must_use]
    pub(crate) fn integral_to(&self, x: f64) -> f64 {
        let k = self.piece(x);
        let (x0, x1) = (self.x[k], self.x[k + 1]);
        if x < x0 {
            return self.y[k] * (x - x0);
        }
        if x > x1 {
            return self.area[k + 1] + self.y[k + 1] * (x - x1);
        }
        self.area[k] + 0.5 * (self.y[k] + self.on_piece(k, x)) * (x - x0)
    }

    /// Mean value between `a` and `b` (units of the points). Exact also where `a` and `b` lie close together.
    #[must_use]
    #[inline]
    pub fn mean(&self, a: f64, b: f64) -> f64 {
        let ka = self.piece(a);
        if a.min(b) >= self.x[ka] && a.max(b) <= self.x[ka + 1] {
            return self.y[ka] + self.slope[ka] * (0.5 * (a + b) - self.x[ka]);
        }
        if a == b {
            return self.at(a);
        }
        (self.integral_to(b) - self.integral_to(a)) / (b - a)
    }

    /// The smallest value at a point (units of the points).
    #[must_use]
    pub fn lowest(&self) -> f64 {
        self.y.iter().copied().fold(f64::INFINITY, f64::min)
    }

    /// The largest value at a point (units of the points).
    #[must_use]
    pub fn highest(&self) -> f64 {
        self.y.iter().copied().fold(f64::NEG_INFINITY, f64::max)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn reads_between_and_beyond_the_points() {
        let curve = Curve::new("test", &[(0.0, 1.0), (1.0, 3.0), (3.0, 3.0)]).unwrap();
        assert_eq!(curve.at(0.5), 2.0);
        assert_eq!(curve.at(-1.0), 1.0);
        assert_eq!(curve.at(9.0), 3.0);
        assert_eq!(curve.integral_to(3.0), 8.0);
        assert_eq!(curve.integral_to(4.0), 11.0);
        assert_eq!(curve.mean(0.0, 3.0), 8.0 / 3.0);
    }

    #[test]
    fn refuses_points_that_do_not_rise() {
        assert!(Curve::new("test", &[(0.0, 1.0)]).is_err());
        assert!(Curve::new("test", &[(0.0, 1.0), (0.0, 2.0)]).is_err());
        assert!(Curve::new("test", &[(0.0, f64::NAN), (1.0, 2.0)]).is_err());
    }

    proptest! {
        #[test]
        fn mean_times_width_is_the_integral(a in -0.5..4.0f64, b in -0.5..4.0f64) {
            let curve = Curve::new("test", &[(0.0, 1.0), (0.4, 2.5), (1.0, 3.0), (3.0, 7.0)]).unwrap();
            let direct = curve.integral_to(b) - curve.integral_to(a);
            prop_assert!((curve.mean(a, b) * (b - a) - direct).abs() < 1e-12);
        }
    }
}
