//! The schedule as people read it: sends in order of time, and for each message what happens if they fail.

use farhop_days::Route;
use farhop_earth::UtcTime;

use crate::chance::Chance;
use crate::schedule::board::{Block, Board, PAUSE_MIN};
use crate::schedule::scene::Scene;

/// A message in a send.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SentMessage {
    /// Index of the message in the outing.
    pub message: usize,
    /// Chance that this send alone brings it through.
    pub chance: Chance,
    /// Chance that this send or one before it does.
    pub so_far: Chance,
}

/// A planned call with all that it carries.
#[derive(Clone, Debug, PartialEq)]
pub struct Send {
    /// From where, to whom, on which channel, with which antenna.
    pub route: Route,
    /// Name of the mode.
    pub mode: String,
    /// First call.
    pub start: UtcTime,
    /// By then it is over, or has failed.
    pub end: UtcTime,
    /// Messages in the order of sending.
    pub messages: Vec<SentMessage>,
    /// Expected minutes on the air, calling included.
    pub air_min: f64,
    /// Share of the time on the air with the key down (dimensionless).
    pub duty: f64,
    /// Energy when it takes place, Wh.
    pub energy_wh: f64,
    /// Chance that it is needed: something that it carries is not through yet.
    pub needed: Chance,
    /// Chance that the battery holds then.
    pub alive: Chance,
}

/// The sends of a board, in order of time.
#[must_use]
pub fn sends_of(scene: &Scene<'_>, board: &Board<'_, '_>) -> Vec<Send> {
    (0..board.blocks.len())
        .filter_map(|place| send(scene, board, place))
        .collect()
}

fn send(scene: &Scene<'_>, board: &Board<'_, '_>, place: usize) -> Option<Send> {
    let block: &Block = board.blocks.get(place)?;
    let response = scene.responses.get(block.offer.response)?;
    let table = scene.table(&block.offer)?;
    let rank = &scene.days.days.power_rank;
    let one = |pending: usize| {
        let through = block.through(pending, rank)?;
        Some(SentMessage {
            message: scene.pending[pending].message,
            chance: Chance::new(scene.days.mean(&through)),
            so_far: Chance::new(board.so_far(place + 1, pending)),
        })
    };
    let bytes = block.carried.last().map_or(1.0, |c| c.bytes);
    let made = scene.column(block.offer.response);
    let duty = table
        .duty(bytes)
        .over(&made.column, table.shift_db(response.bandwidth_hz));
    Some(Send {
        route: response.route,
        mode: table.mode.clone(),
        start: block.start,
        end: block.end.add_s((-60.0 * PAUSE_MIN) as i64),
        messages: block.carried.iter().filter_map(|c| one(c.pending)).collect(),
        air_min: block.air_min,
        duty: scene.days.mean(&duty).clamp(0.05, 1.0),
        energy_wh: block.energy_wh,
        needed: Chance::new(board.happens(place)),
        alive: Chance::new(block.alive),
    })
}
