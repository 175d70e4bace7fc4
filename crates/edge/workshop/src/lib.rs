//! Where an outing is opened and worked on: its file, the antenna solutions that are kept, and the plan spread over all cores.
//!
//! Every command and every page of the program starts here, so that all of them see the same outing and the same plan.

pub mod carried;
pub mod day;
pub mod heard;
mod near_file;
pub mod open;
pub mod plan;
mod presolve;
pub mod safety;
pub mod search_file;
mod solution_file;
pub mod solutions;
mod table_file;
pub mod today;
pub mod watch;
