//! The schedule: which calls, when, from where, with what, and what they do for each message on every drawn day.

pub mod board;
pub mod bottom;
pub mod offers;
pub mod orders;
pub mod pending;
pub(crate) mod prospects;
mod room;
pub mod scene;
pub mod search;
pub mod sends;
pub mod sound_days;

pub use board::{Block, Board, Carried};
pub use bottom::{Factor, MessageChance};
pub use offers::StayOffers;
pub use orders::{OrderEntry, PlaceOrder};
pub use pending::Pending;
pub(crate) use prospects::Prospects;
pub(crate) use scene::Columns;
pub use scene::{EnergyLimit, Offer, Scene, SceneParts};
pub(crate) use search::search_among;
pub use search::{Found, search};
pub use sends::{Send, SentMessage};

/// Minutes that a session begun at `start` may last: until an end, and no longer than hands and battery stay warm.
pub(crate) fn session_limit_min(until: farhop_earth::UtcTime, start: farhop_earth::UtcTime) -> f64 {
    let left_min = (until.unix_s() - start.unix_s()) as f64 / 60.0;
    left_min.clamp(0.0, farhop_days::session::LONGEST_MIN)
}
