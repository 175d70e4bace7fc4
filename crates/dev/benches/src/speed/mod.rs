//! How fast everything is, side by side with what others can do, in one run on one machine.

pub mod commands;
pub mod day;
pub mod kernels;
pub mod page;
pub mod partner;
pub mod process;
pub mod served;
pub mod trip;
