//! Holding a channel against an allocation.

use crate::allocation::{Allocation, Band, PowerBasis, Segment};
use crate::finding::Finding;
use farhop_num::constants::DIPOLE_GAIN;

/// Edges closer than this are the same, MHz (a tenth of a hertz: below any oscillator, above rounding).
const SAME_MHZ: f64 = 1e-7;
/// A channel as it is used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChannelUse {
    /// Centre of the occupied band, MHz.
    pub centre_mhz: f64,
    /// Occupied width, Hz.
    pub width_hz: f64,
    /// Power of the own transmitter, W.
    pub power_w: f64,
}

impl ChannelUse {
    /// Lower edge of the occupied band, MHz.
    #[must_use]
    pub fn low_mhz(&self) -> f64 {
        self.centre_mhz - self.width_hz / 2e6
    }

    /// Upper edge of the occupied band, MHz.
    #[must_use]
    pub fn high_mhz(&self) -> f64 {
        self.centre_mhz + self.width_hz / 2e6
    }

    /// Whether the occupied band reaches into a range of frequencies in MHz.
    #[must_use]
    pub fn reaches(&self, low_mhz: f64, high_mhz: f64) -> bool {
        self.low_mhz() < high_mhz - SAME_MHZ && self.high_mhz() > low_mhz + SAME_MHZ
    }

    fn is_number(&self) -> bool {
        [self.centre_mhz, self.width_hz, self.power_w]
            .iter()
            .all(|v| v.is_finite() && *v > 0.0)
    }
}

/// Everything about a channel under an allocation; nothing where all holds. Numbers that are none give no findings: they are
/// somebody else's to refuse.
#[must_use]
pub fn check(allocation: &Allocation, channel: &ChannelUse) -> Vec<Finding> {
    if !channel.is_number() {
        return Vec::new();
    }
    let touched = |b: &&Band| channel.reaches(b.low_mhz, b.high_mhz);
    let bands: Vec<&Band> = allocation.bands.iter().filter(touched).collect();
    if bands.is_empty() {
        let nearest = allocation.nearest_band(channel.centre_mhz);
        return vec![Finding::Outside {
            nearest_mhz: nearest.map(|b| (b.low_mhz, b.high_mhz)),
        }];
    }
    let mut found = over_edges(channel, &bands);
    found.extend(bands.iter().filter(|b| !b.data).map(|b| Finding::NoData {
        band_mhz: (b.low_mhz, b.high_mhz),
        note: b.note.clone(),
    }));
    found.extend(too_wide(channel, &bands));
    found.extend(too_strong(channel, &bands));
    found.extend(wider_than_plan(channel, &allocation.segments));
    found
}

/// Bands that meet count as one; every gap under the channel is an edge crossed.
fn over_edges(channel: &ChannelUse, bands: &[&Band]) -> Vec<Finding> {
    let (low_mhz, high_mhz) = (channel.low_mhz(), channel.high_mhz());
    let over = |edge_mhz: f64, by_mhz: f64| {
        (by_mhz > SAME_MHZ).then_some(Finding::OverEdge {
            edge_mhz,
            by_hz: by_mhz * 1e6,
        })
    };
    let first = bands.first().and_then(|b| over(b.low_mhz, b.low_mhz - low_mhz));
    let last = bands.last().and_then(|b| over(b.high_mhz, high_mhz - b.high_mhz));
    let gaps = bands.windows(2).filter_map(|pair| match pair {
        [a, b] => over(a.high_mhz, b.low_mhz - a.high_mhz),
        _ => None,
    });
    first.into_iter().chain(gaps).chain(last).collect()
}

fn too_wide(channel: &ChannelUse, bands: &[&Band]) -> Option<Finding> {
    let limit_hz = bands.iter().filter_map(|b| b.width_limit_hz).reduce(f64::min)?;
    (channel.width_hz > limit_hz).then_some(Finding::TooWide {
        width_hz: channel.width_hz,
        limit_hz,
    })
}

fn too_strong(channel: &ChannelUse, bands: &[&Band]) -> Vec<Finding> {
    let power_w = channel.power_w;
    let limits = bands.iter().filter_map(|b| b.power);
    let mut found: Vec<Finding> = Vec::new();
    for limit in limits {
        let radiated_w = match limit.basis {
            PowerBasis::Transmitter | PowerBasis::Erp => power_w,
            // Against a dipole in free space: the ground under the real antenna is not counted when such limits are applied (common practice).
            PowerBasis::Eirp => power_w * DIPOLE_GAIN,
        };
        if radiated_w <= limit.power_w {
            continue;
        }
        let finding = match limit.basis {
            PowerBasis::Transmitter => Finding::TooStrong { power_w, limit },
            PowerBasis::Erp | PowerBasis::Eirp => Finding::PerhapsTooStrong { radiated_w, limit },
        };
        if !found.contains(&finding) {
            found.push(finding);
        }
    }
    found
}

fn wider_than_plan(channel: &ChannelUse, segments: &[Segment]) -> Option<Finding> {
    let touched = segments.iter().filter(|s| channel.reaches(s.low_mhz, s.high_mhz));
    let narrowest = touched.min_by(|a, b| a.width_limit_hz.total_cmp(&b.width_limit_hz))?;
    (channel.width_hz > narrowest.width_limit_hz).then(|| Finding::WiderThanPlan {
        width_hz: channel.width_hz,
        limit_hz: narrowest.width_limit_hz,
        note: narrowest.note.clone(),
    })
}
