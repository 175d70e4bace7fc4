//! What changes during a scenario.

use super::books::Books;
use crate::protection::TripCause;

/// The time at which a source gave up, and why.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trip {
    /// When, s after the start.
    pub at_s: f64,
    /// Why.
    pub cause: TripCause,
    /// When it came back, s after the start; `None` if it did not.
    pub released_s: Option<f64>,
}

/// A source during a scenario.
#[derive(Clone, Debug)]
pub(super) struct SourceState {
    pub share: f64,
    pub full_ah: f64,
    pub resistance_factor: f64,
    pub temp_c: f64,
    pub fuse_warmth: f64,
    pub open: Option<(f64, TripCause)>,
    pub reconnected: bool,
    pub reset: bool,
    pub woken: bool,
    pub books: Books,
    pub sun_booked_wh: f64,
    pub trips: Vec<Trip>,
    pub below_floor_s: Option<f64>,
    pub dark_s: Option<f64>,
    pub least_usable_wh: f64,
    pub least_bus_v: f64,
}

impl SourceState {
    pub fn trip(&mut self, at_s: f64, cause: TripCause) {
        self.open = Some((at_s, cause));
        self.reconnected = false;
        self.reset = false;
        self.woken = false;
        // A source that trips and comes back all night fills no memory.
        if self.trips.len() < 64 {
            self.trips.push(Trip {
                at_s,
                cause,
                released_s: None,
            });
        }
        self.dark_s.get_or_insert(at_s);
    }

    pub fn close(&mut self, at_s: f64) {
        self.open = None;
        if let Some(trip) = self.trips.last_mut() {
            trip.released_s.get_or_insert(at_s);
        }
    }
}

/// Until when a load is out.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) enum Out {
    #[default]
    No,
    UntilTime(f64),
    /// Until something else than this is to be done with it.
    UntilOther(Option<usize>),
    /// Its fuse has blown.
    ForGood,
}

/// A load during a scenario.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct LoadRun {
    pub out: Out,
    /// The activity during which it has folded back.
    pub folded: Option<Option<usize>>,
    pub fuse_warmth: f64,
    pub first_out_s: Option<f64>,
}

/// An activity during a scenario.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ActivityRun {
    /// Taken from the source's store and panel for the loads of the activity, losses included, Wh.
    pub energy_wh: f64,
    /// When one of its loads lost its power, s after the start.
    pub failed_s: Option<f64>,
    /// Whether a load went on with less than it should have.
    pub degraded: bool,
}
