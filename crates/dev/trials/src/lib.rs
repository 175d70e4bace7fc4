//! Those who try the planner: made-up outings, and a player who lives through drawn days hour by hour and tosses coins; and what each assumption moves.

pub mod how_sure;
pub mod made_up;
pub mod on_the_hill;
pub mod player;
