//! What is kept between runs because it costs time to make: antenna solutions, near fields, session tables, a kit's search.
//!
//! All of it is found by content. None of it is needed or trusted: what cannot be read is made again.

pub mod carried;
pub mod search_file;
pub mod solutions;
