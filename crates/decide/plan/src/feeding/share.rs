//! The feed as the planner asks for it.

use crate::error::PlanError;
use farhop_outing::{Antenna, Kit, Site};

use crate::book::FeedFigures;
use crate::engine::{FeedShare, SolvedAntenna};
use crate::feeding::feed_of::feed_of;

/// The feed of a kit. Where the tuner finds no match, what power is left counts.
#[derive(Clone, Copy, Debug)]
pub struct KitFeed<'a> {
    /// The kit.
    pub kit: &'a Kit,
}

impl FeedShare for KitFeed<'_> {
    fn share(
        &self,
        antenna: &Antenna,
        _: &Site,
        freq_mhz: f64,
        solved: &SolvedAntenna,
    ) -> Result<Option<FeedFigures>, PlanError> {
        Ok(Some(feed_of(self.kit, antenna, freq_mhz, solved)?.figures()))
    }
}
