//! What would change the answer: the best window that differs in one respect.

use farhop_outing::Outing;

use crate::chance::Chance;
use crate::delivery::Attempted;
use crate::window::Window;

/// The respect in which an alternative differs from the best window.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Difference {
    /// From another site.
    Site,
    /// On another band.
    Band,
    /// At another time of day.
    Hour,
    /// To another station.
    Station,
    /// With another antenna.
    Antenna,
}

impl Difference {
    /// All respects, in the order in which an operator can act on them.
    pub const ALL: [Self; 5] = [Self::Hour, Self::Band, Self::Site, Self::Station, Self::Antenna];
}

/// The best window that differs in one respect.
#[derive(Clone, Debug, PartialEq)]
pub struct Alternative {
    /// How it differs.
    pub difference: Difference,
    /// Index of the window in the ranked list.
    pub window: usize,
    /// Its chance.
    pub chance: Chance,
    /// Its chance less that of the best window (dimensionless).
    pub change: f64,
}

/// Frequencies closer than this share count as one band (dimensionless): amateur bands below 30 MHz are narrower and farther
/// apart.
const SAME_BAND_SHARE: f64 = 0.12;

/// The best alternative in each respect; windows must be ranked, best first.
#[must_use]
pub fn alternatives(outing: &Outing, ranked: &[Attempted]) -> Vec<Alternative> {
    let Some(best) = ranked.first() else { return Vec::new() };
    Difference::ALL
        .into_iter()
        .filter_map(|difference| {
            let differing = |w: &Attempted| differs(outing, &best.window, &w.window, difference);
            let index = 1 + ranked.iter().skip(1).position(differing)?;
            let chance = ranked.get(index)?.chance();
            Some(Alternative {
                difference,
                window: index,
                chance,
                change: chance.probability() - best.chance().probability(),
            })
        })
        .collect()
}

fn differs(outing: &Outing, best: &Window, other: &Window, difference: Difference) -> bool {
    match difference {
        Difference::Site => other.route.site != best.route.site,
        Difference::Station => other.route.station != best.route.station,
        Difference::Antenna => other.route.antenna != best.route.antenna,
        Difference::Hour => other.overlap(best) == 0.0,
        Difference::Band => {
            let freq = |w: &Window| freq_mhz(outing, w).unwrap_or(f64::NAN);
            (freq(other) / freq(best) - 1.0).abs() > SAME_BAND_SHARE
        }
    }
}

/// Frequency of a window's channel, MHz.
#[must_use]
pub fn freq_mhz(outing: &Outing, window: &Window) -> Option<f64> {
    let station = outing.stations.get(window.route.station)?;
    station.channels.get(window.route.channel).map(|c| c.freq_mhz)
}
