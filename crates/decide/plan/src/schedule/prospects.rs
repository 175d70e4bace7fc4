//! What a search sees before anybody asks what energy is worth: the offers, and what each would add alone.

use farhop_days::WeighedDays;

use crate::schedule::board::{Added, Board};
use crate::schedule::offers::{StayOffers, offers};
use crate::schedule::room::first_free;
use crate::schedule::scene::{Columns, Offer, Scene};

/// Days that a schedule is searched on; what it brings is then told on all of them, so that it is not flattered by its own search.
const SEARCH_DAYS: usize = 512;
/// Days of the first look.
const ROUGH_DAYS: usize = 128;
/// Minutes that a call needs at least, with what comes before it.
pub(super) const LEAST_ROOM_MIN: f64 = 4.0;

/// What can be planned, the same however much energy there is.
pub(crate) struct Prospects {
    /// Days that are searched on, where they are fewer than those of the scene, and the routes on them.
    fewer: Option<(WeighedDays, Columns)>,
    /// What each stay has to offer.
    pub(super) stays: Vec<StayOffers>,
    /// The offers of all stays.
    pub(super) all: Vec<Offer>,
    /// What each of them would add alone, roughly; none where it would add nothing. Without what it does day by day.
    pub(super) alone: Vec<Option<Added>>,
}

impl Prospects {
    /// The prospects of a scene.
    pub(crate) fn of(scene: &Scene<'_>) -> Self {
        let thin = |days: &WeighedDays, most: usize| {
            let stride = days.days.count.div_ceil(most).max(1);
            (stride > 1).then(|| days.thinned(stride))
        };
        let count = scene.days.days.count;
        let fewer = (count / SEARCH_DAYS >= 2).then(|| (scene.days.thinned(count / SEARCH_DAYS), Columns::default()));
        let (days, columns) = fewer.as_ref().map_or((scene.days, scene.columns()), |(d, c)| (d, c));
        let rough_days = thin(days, ROUGH_DAYS);
        let rough = match &rough_days {
            Some(rough) => scene.on(rough, &Columns::default()),
            None => scene.on(days, columns),
        };
        let stays = offers(&rough);
        let all: Vec<Offer> = stays.iter().flat_map(|s| s.offers.iter().cloned()).collect();
        let board = Board::new(&rough);
        let alone = |offer: &Offer| {
            let start = first_free(&board, &stays, offer, LEAST_ROOM_MIN)?;
            let mut added = board.look(offer, start).filter(|a| a.gain > 0.0)?;
            added.block.free = Vec::new();
            added.block.carried.iter_mut().for_each(|c| c.given_free = Vec::new());
            Some(added)
        };
        let alone = all.iter().map(alone).collect();
        drop(board);
        Self {
            fewer,
            stays,
            all,
            alone,
        }
    }

    /// The days that are searched on and the routes on them, where they are fewer than those of the scene.
    pub(super) fn searched_on(&self) -> Option<(&WeighedDays, &Columns)> {
        self.fewer.as_ref().map(|(days, columns)| (days, columns))
    }
}
