//! Lines through many points.

use std::fmt::Write as _;

use crate::sheet::Spot;

/// Points of a line nearer than this, along and up, are one on paper, user units.
const NEAR: (f64, f64) = (6.0, 0.5);

/// A course of points as path data.
#[must_use]
pub fn course(points: &[impl Into<Spot> + Copy]) -> String {
    let mut out = String::new();
    for (index, point) in points.iter().enumerate() {
        let Spot { x, y } = (*point).into();
        let _ = write!(out, "{}{x:.1} {y:.1}", if index == 0 { 'M' } else { 'L' });
    }
    out
}

/// The points that are seen: those that do not move on paper are left out, the first and the last stay.
#[must_use]
pub fn thinned(points: impl Iterator<Item = (f64, f64)>) -> Vec<(f64, f64)> {
    let mut kept: Vec<(f64, f64)> = Vec::new();
    let mut last = None;
    for point in points {
        let near = |k: &(f64, f64)| point.0 - k.0 < NEAR.0 && (point.1 - k.1).abs() < NEAR.1;
        if !kept.last().is_some_and(near) {
            kept.push(point);
        }
        last = Some(point);
    }
    kept.extend(last.filter(|l| kept.last() != Some(l)));
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spike_stays_and_a_level_line_gets_few_points() {
        let level = (0..100).map(|x| (f64::from(x), 20.0));
        let kept = thinned(level);
        assert_eq!((kept.first(), kept.last()), (Some(&(0.0, 20.0)), Some(&(99.0, 20.0))));
        assert!(kept.len() < 20, "{}", kept.len());
        let spike = (0..100).map(|x| (f64::from(x), if x == 51 { 3.0 } else { 20.0 }));
        assert!(thinned(spike).contains(&(51.0, 3.0)));
        assert!(thinned(std::iter::empty()).is_empty());
    }
}
