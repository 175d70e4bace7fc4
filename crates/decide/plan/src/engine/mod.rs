//! The antenna engine behind the planner: from an outing's antenna at a site to a solved pattern.

mod book;
mod convert;
mod solved;

pub use book::{EngineBook, FeedShare, SolutionStore, WholeFeed, solved_in};
pub use convert::{axis_bearing_deg, built_at, feed_ratio};
pub use solved::{LoadAtWatt, SolvedAntenna, key_of, solve_antenna, width_khz};

#[cfg(test)]
mod tests;
