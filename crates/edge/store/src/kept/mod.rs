//! What is kept between runs because it costs time to make: antenna solutions, near fields, session tables, a kit's search.
//!
//! All of it is found by content. None of it is needed or trusted: what cannot be read is made again.

pub mod carried;
mod near_file;
mod sealed;
pub mod search_file;
mod solution_file;
pub mod solutions;
mod table_file;
