//! The antenna engine behind the planner: from an outing's antenna at a site to a solved pattern.

mod book;
mod convert;
mod solved;

pub use book::{EngineBook, FeedShare, SolutionStore, WholeFeed};
pub use convert::{built_at, template_of};
pub use solved::{LoadAtWatt, SolvedAntenna, key_of, solve_antenna};
