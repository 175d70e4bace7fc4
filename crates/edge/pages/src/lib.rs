//! The outing on screens: from a request to the document that answers it.
//!
//! The same pages stand behind a local server (`farhop-web`) and inside a browser. They open no sockets and no files, start no threads
//! and read no clock: what they need of the place they run in comes through [`Storage`] and [`Runtime`].

mod answer;
mod app;
mod assets;
pub mod delivery;
mod desk;
mod pages;
mod parts;
mod role;
mod runtime;
pub mod shell;
mod storage;

pub use answer::handle;
pub use app::App;
pub use assets::address;
#[cfg(not(target_arch = "wasm32"))]
pub use assets::all as all_assets;
pub use desk::{Desk, Look, Ready, Stage, hash_of};
pub use pages::handover::code_svg;
pub use pages::{FIELD, MOST_BYTES, READ_BYTES, router, with_plan};
pub use role::{Role, needed};
pub use runtime::{Pause, Runtime, Work};
pub use storage::{Appended, Day, Merged, SaveError, Solutions, Storage};
