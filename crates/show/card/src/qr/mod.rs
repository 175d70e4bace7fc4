//! Texts as pictures that a phone reads.

mod picture;

pub use picture::{CodePicture, QUIET_MODULES, picture};
