//! Two small minimisers for smooth functions: golden section and Nelder–Mead in two dimensions.
//!
//! Sources: Kiefer 1953 (golden section); Nelder & Mead, Computer Journal 7, 1965, with the usual coefficients 1, 2, ½, ½.

/// 1 / golden ratio.
const SHRINK: f64 = 0.618_033_988_749_894_9;

/// Argument of the least value of `f` between `low` and `high`, to `tolerance`; all in the unit of the argument. `f` must fall, then rise.
#[must_use]
pub fn golden_section(mut low: f64, mut high: f64, tolerance: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut a, mut b) = (high - SHRINK * (high - low), low + SHRINK * (high - low));
    let (mut fa, mut fb) = (f(a), f(b));
    while high - low > tolerance {
        if fa <= fb {
            (high, b, fb) = (b, a, fa);
            a = high - SHRINK * (high - low);
            fa = f(a);
        } else {
            (low, a, fa) = (a, b, fb);
            b = low + SHRINK * (high - low);
            fb = f(b);
        }
    }
    if fa <= fb { a } else { b }
}

/// Point and value near `start` where `f` is least, after `turns` turns; `step` is the size of the first triangle (unit of the point).
#[must_use]
pub fn nelder_mead(start: [f64; 2], step: f64, turns: usize, f: impl Fn([f64; 2]) -> f64) -> ([f64; 2], f64) {
    let blend = |a: [f64; 2], b: [f64; 2], t: f64| [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
    let at = |p: [f64; 2]| (p, f(p));
    let mut corner = [
        at(start),
        at([start[0] + step, start[1]]),
        at([start[0], start[1] + step]),
    ];
    for _ in 0..turns {
        corner.sort_by(|a, b| a.1.total_cmp(&b.1));
        let [best, middle, worst] = corner;
        let centre = blend(best.0, middle.0, 0.5);
        let mirrored = at(blend(worst.0, centre, 2.0));
        let next = if mirrored.1 < best.1 {
            let further = at(blend(worst.0, centre, 3.0));
            if further.1 < mirrored.1 { further } else { mirrored }
        } else if mirrored.1 < middle.1 {
            mirrored
        } else {
            let toward = if mirrored.1 < worst.1 { mirrored.0 } else { worst.0 };
            at(blend(toward, centre, 0.5))
        };
        corner = if next.1 < worst.1 {
            [best, middle, next]
        } else {
            [best, at(blend(best.0, middle.0, 0.5)), at(blend(best.0, worst.0, 0.5))]
        };
    }
    corner.sort_by(|a, b| a.1.total_cmp(&b.1));
    corner[0]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn golden_section_finds_a_parabola() {
        assert!((golden_section(-3.0, 8.0, 1e-9, |x| (x - 1.25).powi(2)) - 1.25).abs() < 1e-6);
    }

    #[test]
    fn nelder_mead_walks_the_curved_valley() {
        // Rosenbrock's function, least at (1, 1).
        let (p, _) = nelder_mead([-1.2, 1.0], 0.5, 300, |[x, y]| {
            (1.0 - x).powi(2) + 100.0 * (y - x * x).powi(2)
        });
        assert!((p[0] - 1.0).abs() < 1e-5 && (p[1] - 1.0).abs() < 1e-5, "{p:?}");
    }
}
