//! All of it in a browser, without a server and without a network: the same pages, drawn by the same code.
//!
//! A service worker hands every request to [`Engine::handle`], with what the browser keeps of the outing, and writes down what comes
//! back before the reader sees the answer. The plan is made in a thread of its own by [`Engine::work`]. [`shell`] holds the few files
//! around the engine.

#[cfg(target_arch = "wasm32")]
mod boundary;
mod bundle;
mod card;
mod content;
mod engine;
mod here;
mod machine;
pub mod months;
mod out;
mod phone;
#[cfg(not(target_arch = "wasm32"))]
pub mod shell;
mod storage;

pub use content::{Added, Asked, Content, Record, SlotName, Told};
pub use engine::Engine;
