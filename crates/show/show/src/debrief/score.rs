//! How good the odds were: calls by forecast chance, and two scores.

use farhop_next::today::Attempt;
use farhop_num::maths;

/// Bounds of the bins: those of the words for chance.
const BOUNDS: [f64; 6] = [0.0, 0.10, 0.33, 0.66, 0.90, 1.000_001];
/// Chances are kept this far from 0 and 1 in the logarithm (dimensionless).
const NEVER_SURE: f64 = 0.01;

/// Calls whose forecast chance lay in one range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bin {
    /// Lower bound of the forecast chance (dimensionless).
    pub from: f64,
    /// Upper bound (dimensionless).
    pub to: f64,
    /// Calls.
    pub calls: usize,
    /// Links among them.
    pub linked: usize,
    /// Mean forecast chance (dimensionless).
    pub forecast: f64,
    /// 95 % interval of the true chance (dimensionless), Wilson.
    pub interval: (f64, f64),
}

/// The scores of some odds. Smaller Brier and greater log scores are better.
#[derive(Clone, Debug, PartialEq)]
pub struct Score {
    /// Calls.
    pub calls: usize,
    /// Links.
    pub linked: usize,
    /// Mean squared difference of chance and outcome (G. W. Brier 1950), 0 to 1 (dimensionless).
    pub brier: f64,
    /// Brier score of one who always says the share of links of the day (dimensionless).
    pub brier_of_mean: f64,
    /// Mean logarithm of the chance given to what happened (I. J. Good 1952), natural (dimensionless).
    pub log: f64,
    /// Calls by chance.
    pub bins: Vec<Bin>,
}

impl Score {
    /// The score of chances given by `of`; none without calls.
    #[must_use]
    pub fn of(attempts: &[Attempt], of: impl Fn(&Attempt) -> f64) -> Option<Self> {
        if attempts.is_empty() {
            return None;
        }
        let count = attempts.len() as f64;
        let linked = attempts.iter().filter(|a| a.linked).count();
        let mean = linked as f64 / count;
        let square = |p: f64, linked: bool| (p - f64::from(u8::from(linked))).powi(2);
        let log = |a: &Attempt| {
            let p = of(a).clamp(NEVER_SURE, 1.0 - NEVER_SURE);
            if a.linked { maths::ln(p) } else { maths::ln(1.0 - p) }
        };
        Some(Self {
            calls: attempts.len(),
            linked,
            brier: attempts.iter().map(|a| square(of(a), a.linked)).sum::<f64>() / count,
            brier_of_mean: mean * (1.0 - mean),
            log: attempts.iter().map(log).sum::<f64>() / count,
            bins: BOUNDS
                .windows(2)
                .filter_map(|b| bin(attempts, &of, (b[0], b[1])))
                .collect(),
        })
    }
}

fn bin(attempts: &[Attempt], of: &impl Fn(&Attempt) -> f64, (from, to): (f64, f64)) -> Option<Bin> {
    let inside: Vec<&Attempt> = attempts.iter().filter(|a| of(a) >= from && of(a) < to).collect();
    if inside.is_empty() {
        return None;
    }
    let linked = inside.iter().filter(|a| a.linked).count();
    Some(Bin {
        from,
        to: to.min(1.0),
        calls: inside.len(),
        linked,
        forecast: inside.iter().map(|a| of(a)).sum::<f64>() / inside.len() as f64,
        interval: wilson(linked, inside.len()),
    })
}

/// The 95 % interval of a share (dimensionless) seen as `hits` of `count` (E. B. Wilson 1927).
#[must_use]
pub fn wilson(hits: usize, count: usize) -> (f64, f64) {
    if count == 0 {
        return (0.0, 1.0);
    }
    let (n, p, z) = (count as f64, hits as f64 / count as f64, 1.959_964);
    let middle = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
    let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
    ((middle - half).max(0.0), (middle + half).min(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_interval_is_wilsons() {
        // R. G. Newcombe, Statistics in Medicine 17 (1998) 857, table I, method 3: 81 of 263, 15 of 148, 0 of 20, 1 of 29.
        for (hits, count, low, high) in [
            (81, 263, 0.2553, 0.3662),
            (15, 148, 0.0624, 0.1605),
            (0, 20, 0.0, 0.1611),
            (1, 29, 0.0061, 0.1718),
        ] {
            let (a, b) = wilson(hits, count);
            assert!(
                (a - low).abs() < 1e-4 && (b - high).abs() < 1e-4,
                "{hits} of {count}: {a} {b}"
            );
        }
    }
}
