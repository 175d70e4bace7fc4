//! Solved antennas for the planner, kept by content.

use crate::error::PlanError;
use std::sync::Arc;

use farhop_earth::GroundConstants;
use farhop_outing::{Antenna, Site};

use crate::book::{AntennaBook, AntennaHere, FeedFigures, GainSource, Radiator};
use crate::declared_book::DeclaredBook;
use crate::engine::convert::axis_bearing_deg;
use crate::engine::solved::{SolvedAntenna, key_of, solve_antenna};
use crate::safety::NearAtWatt;

/// Keeps solutions by content. The edge decides where.
pub trait SolutionStore: Sync {
    /// The solution under a key, if it is kept. Its azimuth is not part of the content and may be another antenna's.
    fn get(&self, key: &[u8]) -> Option<Arc<SolvedAntenna>>;
    /// Keeps a solution.
    fn put(&self, key: &[u8], solved: &Arc<SolvedAntenna>);
    /// The near fields under a key, if they are kept. A store that keeps none has them computed each time.
    fn near(&self, _key: &[u8]) -> Option<Arc<NearAtWatt>> {
        None
    }
    /// Keeps near fields.
    fn keep_near(&self, _key: &[u8], _near: &Arc<NearAtWatt>) {}
}

/// The share of the transmitter's power setting that enters an antenna.
pub trait FeedShare: Sync {
    /// The share with its working for an antenna at a site on a frequency in MHz; none where no feed is computed and all arrives.
    ///
    /// # Errors
    /// Says why no power gets there.
    fn share(
        &self,
        antenna: &Antenna,
        site: &Site,
        freq_mhz: f64,
        solved: &SolvedAntenna,
    ) -> Result<Option<FeedFigures>, PlanError>;
}

/// Everything arrives: for comparison, and where no feed is described.
#[derive(Clone, Copy, Debug, Default)]
pub struct WholeFeed;

impl FeedShare for WholeFeed {
    fn share(&self, _: &Antenna, _: &Site, _: f64, _: &SolvedAntenna) -> Result<Option<FeedFigures>, PlanError> {
        Ok(None)
    }
}

/// Antennas solved by the engine, with their feed.
pub struct EngineBook<'a> {
    store: &'a dyn SolutionStore,
    feed: &'a dyn FeedShare,
}

impl<'a> EngineBook<'a> {
    /// A book over a store and a feed.
    #[must_use]
    pub fn new(store: &'a dyn SolutionStore, feed: &'a dyn FeedShare) -> Self {
        Self { store, feed }
    }

    /// The solution of an antenna at a site on a frequency in MHz, from the store or afresh.
    ///
    /// # Errors
    /// The antenna cannot be built or solved there.
    pub fn solved(&self, antenna: &Antenna, site: &Site, freq_mhz: f64) -> Result<Arc<SolvedAntenna>, PlanError> {
        solved_in(self.store, antenna, site.ground.constants(), freq_mhz)
    }
}

/// The solution of an antenna over a ground on a frequency in MHz, from a store or afresh.
///
/// # Errors
/// The antenna cannot be built or solved there.
pub fn solved_in(
    store: &dyn SolutionStore,
    antenna: &Antenna,
    ground: GroundConstants,
    freq_mhz: f64,
) -> Result<Arc<SolvedAntenna>, PlanError> {
    let key = key_of(antenna, ground, freq_mhz)?;
    let solved = match store.get(&key) {
        Some(solved) => solved,
        None => {
            let fresh = Arc::new(solve_antenna(antenna, ground, freq_mhz)?);
            store.put(&key, &fresh);
            fresh
        }
    };
    // Two antennas of the same measures may hang in different directions.
    let azimuth_deg = axis_bearing_deg(antenna);
    if solved.azimuth_deg == azimuth_deg {
        return Ok(solved);
    }
    Ok(Arc::new(SolvedAntenna {
        azimuth_deg,
        ..SolvedAntenna::clone(&solved)
    }))
}

/// An antenna whose direction is not known: the mean over the compass, read off in advance.
struct AroundPattern {
    /// Mean gain at each whole degree of elevation, dBi.
    by_degree_dbi: Vec<f64>,
    /// The vertically polarised part of it, dBi.
    vertical_by_degree_dbi: Vec<f64>,
}

impl AroundPattern {
    fn new(solved: &SolvedAntenna) -> Self {
        // Over real ground nothing leaves at 0°; half a degree stands for it.
        let at = |degree: u32| solved.pattern.mean_around_dbi(f64::from(degree).max(0.5));
        let vertical_at = |degree: u32| solved.vertical_dbi(f64::from(degree).max(0.5), 0.0);
        Self {
            by_degree_dbi: (0..=90).map(at).collect(),
            vertical_by_degree_dbi: (0..=90).map(vertical_at).collect(),
        }
    }
}

fn read_off(by_degree_dbi: &[f64], elevation_deg: f64) -> f64 {
    let position = elevation_deg.clamp(0.0, 90.0);
    let low = (position as usize).min(by_degree_dbi.len() - 2);
    let share = position - low as f64;
    by_degree_dbi[low] + share * (by_degree_dbi[low + 1] - by_degree_dbi[low])
}

impl Radiator for AroundPattern {
    fn gain_dbi(&self, elevation_deg: f64, _: f64) -> f64 {
        read_off(&self.by_degree_dbi, elevation_deg)
    }

    fn vertical_gain_dbi(&self, elevation_deg: f64, _: f64) -> Option<f64> {
        Some(read_off(&self.vertical_by_degree_dbi, elevation_deg))
    }
}

impl AntennaBook for EngineBook<'_> {
    fn antenna_at(&self, antenna: &Antenna, site: &Site, freq_mhz: f64) -> Result<AntennaHere, PlanError> {
        if antenna.kind.is_declared() {
            return DeclaredBook.antenna_at(antenna, site, freq_mhz);
        }
        let solved = self.solved(antenna, site, freq_mhz)?;
        let feed = self.feed.share(antenna, site, freq_mhz, &solved)?;
        let efficiency = solved.efficiency;
        let averaged = solved.azimuth_deg.is_none();
        let radiator: Arc<dyn Radiator> = match solved.azimuth_deg {
            Some(_) => solved,
            None => Arc::new(AroundPattern::new(&solved)),
        };
        Ok(AntennaHere {
            efficiency,
            radiator,
            feed_share: feed.map_or(1.0, |f| f.share),
            feed,
            source: GainSource::Computed,
            averaged,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn between_two_degrees_the_gain_lies_on_a_straight_line() {
        let table: Vec<f64> = (0..=90).map(|degree| 0.1 * f64::from(degree * degree)).collect();
        let cases = [
            (0.0, 0.0),
            (30.0, 90.0),
            (30.25, 91.525),
            (30.5, 93.05),
            (89.5, 801.05),
            (90.0, 810.0),
        ];
        for (elevation_deg, gain_dbi) in cases {
            assert!(
                (read_off(&table, elevation_deg) - gain_dbi).abs() < 1e-9,
                "{elevation_deg}"
            );
        }
        // Outside the table its ends stand.
        assert_eq!(
            (read_off(&table, -5.0), read_off(&table, 95.0)),
            (table[0], read_off(&table, 90.0))
        );
    }
}
