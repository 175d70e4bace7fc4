//! The F2 layer as ray theory sees it: MUF for every distance, skip distance, and the low ray at a frequency.

use crate::profile::{Profile, ProfileInput, STEPS};
use crate::ray::{Ray, trace};
use farhop_num::maths;
use std::f64::consts::FRAC_PI_2;

/// Height in km of the flat mirror through which ranges are compared in the search for a ray; any F-region value will
/// do.
const NOMINAL_HEIGHT_KM: f64 = 250.0;

/// Longest distance in km that the MUF curve is followed to, beyond any real hop.
const END_OF_CURVE_KM: f64 = 5_500.0;

/// Elevations in degrees at which the F2 peak just passes a ray: they choose the frequencies of the MUF curve.
const CURVE_CUTOFFS_DEG: [f64; 12] = [86.0, 80.0, 72.0, 63.0, 54.0, 45.0, 36.0, 28.0, 20.0, 13.0, 7.0, 2.0];
/// Number of points of the MUF curve, with the one at zero distance.
const CURVE_POINTS: usize = CURVE_CUTOFFS_DEG.len() + 1;

/// Elevation of the skip ray over the cut-off at which the search begins, dimensionless.
const FIRST_SKIP_SHARE: f64 = 0.96;

/// One point of the MUF curve: the frequency whose skip distance this is.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct CurvePoint {
    /// Distance, km.
    range_km: f64,
    /// `sqrt((f / foF2)² - 1)`, dimensionless: almost linear in distance.
    obliquity: f64,
    /// Elevation of the skip ray, radians.
    elevation_rad: f64,
}

/// The F2 layer at one place and time.
#[derive(Clone, Debug)]
pub struct F2Layer {
    profile: Profile,
    curve: [CurvePoint; CURVE_POINTS],
}

/// The low ray of one hop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LowRay {
    /// The ray; at and above the MUF the ray of the MUF itself.
    pub ray: Ray,
    /// Whether the frequency is above the ordinary MUF of the hop.
    pub above_muf: bool,
}

impl F2Layer {
    /// Traces the MUF curve of the layer.
    #[must_use]
    pub fn new(input: &ProfileInput) -> Self {
        let profile = Profile::new(input);
        let mut curve = [CurvePoint::default(); CURVE_POINTS];
        curve[0].elevation_rad = FRAC_PI_2;
        let mut share = FIRST_SKIP_SHARE;
        for (i, cutoff_deg) in CURVE_CUTOFFS_DEG.iter().enumerate() {
            curve[i + 1] = skip_point(&profile, cutoff_deg.to_radians(), &curve[i], &mut share);
        }
        Self { profile, curve }
    }

    /// Ordinary-wave basic MUF of one hop of `hop_km` in MHz.
    ///
    /// Beyond the longest hop that the layer carries, the MUF of that hop.
    #[must_use]
    pub fn muf_ordinary_mhz(&self, hop_km: f64) -> f64 {
        let point = self.at_range(hop_km);
        self.profile.fof2_mhz * (1.0 + point.obliquity * point.obliquity).sqrt()
    }

    /// Longest one-hop distance in km that the MUF curve reaches.
    #[must_use]
    pub fn longest_hop_km(&self) -> f64 {
        self.curve[CURVE_POINTS - 1].range_km
    }

    /// Nearest distance in km that an ordinary ray reaches in one hop: zero below foF2, `None` where every ray passes.
    #[must_use]
    pub fn skip_km(&self, freq_mhz: f64) -> Option<f64> {
        self.at_frequency(freq_mhz).map(|p| p.range_km)
    }

    /// The low ray of one hop, or `None` where no F2 ray covers that distance at this frequency.
    #[must_use]
    pub fn low_ray(&self, freq_mhz: f64, hop_km: f64) -> Option<LowRay> {
        let muf_mhz = self.muf_ordinary_mhz(hop_km);
        if freq_mhz >= muf_mhz {
            if hop_km > self.longest_hop_km() {
                return None;
            }
            // Just below the MUF, where the ray exists.
            let elevation_rad = self.at_range(hop_km).elevation_rad;
            let ray = trace(&self.profile, 0.999 * muf_mhz, elevation_rad)?;
            return Some(LowRay {
                ray: covering(ray, hop_km),
                above_muf: true,
            });
        }
        let high_rad = self.at_frequency(freq_mhz)?.elevation_rad;
        let low_rad = self.profile.e_cutoff_rad(freq_mhz)? + 1e-5;
        let ray = solve(&self.profile, freq_mhz, hop_km, (low_rad, high_rad))?;
        Some(LowRay {
            ray: covering(ray, hop_km),
            above_muf: false,
        })
    }

    fn at_range(&self, hop_km: f64) -> CurvePoint {
        let upper = self.curve.partition_point(|p| p.range_km <= hop_km);
        if upper >= CURVE_POINTS {
            return self.curve[CURVE_POINTS - 1];
        }
        let (a, b) = (self.curve[upper.max(1) - 1], self.curve[upper.max(1)]);
        a.mix(&b, (hop_km.max(0.0) - a.range_km) / (b.range_km - a.range_km).max(1e-9))
    }

    fn at_frequency(&self, freq_mhz: f64) -> Option<CurvePoint> {
        let ratio = freq_mhz / self.profile.fof2_mhz;
        if ratio <= 1.0 {
            return Some(self.curve[0]);
        }
        let obliquity = (ratio * ratio - 1.0).sqrt();
        let upper = self.curve.partition_point(|p| p.obliquity <= obliquity);
        if upper >= CURVE_POINTS {
            return None;
        }
        let (a, b) = (self.curve[upper - 1], self.curve[upper]);
        Some(a.mix(&b, (obliquity - a.obliquity) / (b.obliquity - a.obliquity).max(1e-9)))
    }
}

/// The ray with its group path stretched to the hop: a search ends, and a curve is interpolated, only near enough.
fn covering(mut ray: Ray, hop_km: f64) -> Ray {
    ray.group_path_km *= (hop_km / ray.range_km.max(1.0)).max(1.0);
    ray
}

impl CurvePoint {
    fn mix(&self, other: &Self, share: f64) -> Self {
        let lerp = |a: f64, b: f64| a + share * (b - a);
        Self {
            range_km: lerp(self.range_km, other.range_km),
            obliquity: lerp(self.obliquity, other.obliquity),
            elevation_rad: lerp(self.elevation_rad, other.elevation_rad),
        }
    }
}

/// The shortest ray at the frequency whose F2 cut-off elevation is `cutoff_rad`.
///
/// The range is smooth around its minimum and the skip ray lies at a share of the cut-off that changes slowly along
/// the curve, so
/// three rays around the last share and the vertex of their parabola do; the three are moved while the middle one
/// is not the shortest.
fn skip_point(profile: &Profile, cutoff_rad: f64, before: &CurvePoint, share: &mut f64) -> CurvePoint {
    let cosine2 = maths::cos(cutoff_rad).powi(2);
    let obliquity2 = 1.0 / (1.0 - profile.curvature[STEPS] * cosine2) - 1.0;
    let freq_mhz = profile.fof2_mhz * (1.0 + obliquity2).sqrt();
    let range = |elevation_rad: f64| trace(profile, freq_mhz, elevation_rad).map_or(f64::INFINITY, |r| r.range_km);
    let floor_rad = (profile.e_cutoff_rad(freq_mhz).unwrap_or(0.0) + 1e-5).min(cutoff_rad);
    let step_rad = 0.06 * cutoff_rad + 0.002;
    let mut middle_rad = (*share * cutoff_rad).clamp(floor_rad, cutoff_rad);
    let mut at_middle = range(middle_rad);
    let mut low = (middle_rad - step_rad).max(floor_rad);
    let mut high = (middle_rad + step_rad).min(cutoff_rad);
    let (mut at_low, mut at_high) = (range(low), range(high));
    for _ in 0..8 {
        if at_low < at_middle && low > floor_rad {
            (high, at_high, middle_rad, at_middle) = (middle_rad, at_middle, low, at_low);
            low = (low - step_rad).max(floor_rad);
            at_low = range(low);
        } else if at_high < at_middle {
            (low, at_low, middle_rad, at_middle) = (middle_rad, at_middle, high, at_high);
            high = (high + step_rad).min(0.5 * (high + cutoff_rad));
            at_high = range(high);
        } else {
            break;
        }
    }
    let mut best = (middle_rad, at_middle);
    for narrower in [0.25, 0.06] {
        let vertex_rad = vertex([(low, at_low), (middle_rad, at_middle), (high, at_high)]).clamp(low, high);
        (middle_rad, at_middle) = (vertex_rad, range(vertex_rad));
        if at_middle < best.1 {
            best = (middle_rad, at_middle);
        }
        if narrower < 0.1 {
            break;
        }
        low = (best.0 - narrower * step_rad).max(floor_rad);
        high = (best.0 + narrower * step_rad).min(0.5 * (best.0 + cutoff_rad));
        (middle_rad, at_middle) = best;
        (at_low, at_high) = (range(low), range(high));
    }
    let (elevation_rad, range_km) = best;
    *share = elevation_rad / cutoff_rad;
    CurvePoint {
        // A curve that must grow, whatever the rounding; where the E layer hides all but critical rays it ends.
        range_km: range_km.min(END_OF_CURVE_KM).max(before.range_km + 1e-6),
        obliquity: obliquity2.sqrt(),
        elevation_rad,
    }
}

/// Abscissa of the vertex of the parabola through three points; the middle one where there is none.
fn vertex([(x0, y0), (x1, y1), (x2, y2)]: [(f64, f64); 3]) -> f64 {
    let (a, b) = ((x1 - x0) * (y1 - y2), (x1 - x2) * (y1 - y0));
    let denominator = 2.0 * (a - b);
    let shift = ((x1 - x0) * a - (x1 - x2) * b) / denominator;
    if shift.is_finite() { x1 - shift } else { x1 }
}

/// The elevation between `bracket` at which the ray covers `hop_km`, by regula falsi (Illinois).
fn solve(profile: &Profile, freq_mhz: f64, hop_km: f64, bracket: (f64, f64)) -> Option<Ray> {
    // The unknown is compared through the elevation of a flat mirror, which is almost linear in the true elevation.
    let flat_rad = |range_km: f64| maths::atan2(2.0 * NOMINAL_HEIGHT_KM, range_km);
    let target_rad = flat_rad(hop_km);
    let (mut low_rad, mut high_rad) = bracket;
    // The upper end comes from an interpolated curve and may lie just beyond the F2 cut-off.
    let span_rad = high_rad - low_rad;
    let high_ray = (0..5).find_map(|i| trace(profile, freq_mhz, high_rad - 0.06 * span_rad * f64::from(i)))?;
    high_rad = high_ray.elevation_rad;
    let mut at_high = flat_rad(high_ray.range_km) - target_rad;
    if at_high <= 0.0 || low_rad >= high_rad {
        return Some(high_ray);
    }
    let low_ray = trace(profile, freq_mhz, low_rad)?;
    let mut at_low = flat_rad(low_ray.range_km) - target_rad;
    if at_low >= 0.0 {
        // Grazing, at the ground or just past the E layer, and still too short: beyond it lies only the E layer's
        // own ray.
        return (low_ray.range_km > 0.95 * hop_km - 10.0).then_some(low_ray);
    }
    let mut best = low_ray;
    for _ in 0..14 {
        let middle_rad = (low_rad * at_high - high_rad * at_low) / (at_high - at_low);
        best = trace(profile, freq_mhz, middle_rad)?;
        let at_middle = flat_rad(best.range_km) - target_rad;
        if (best.range_km - hop_km).abs() < 1.0 + 2e-3 * hop_km {
            break;
        }
        if at_middle > 0.0 {
            (high_rad, at_high, at_low) = (middle_rad, at_middle, 0.6 * at_low);
        } else {
            (low_rad, at_low, at_high) = (middle_rad, at_middle, 0.6 * at_high);
        }
    }
    ((best.range_km - hop_km).abs() < 10.0 + 0.05 * hop_km).then_some(best)
}
