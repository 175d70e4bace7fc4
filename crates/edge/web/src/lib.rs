//! The outing on screens: a local web server for the kitchen table, the hill and the phone.
//!
//! Everything is in the program; nothing is fetched from elsewhere. How it is kept safe: docs/methods/server-safety.md.

mod app;
mod assets;
mod delivery;
mod desk;
mod guard;
mod pages;
mod server;
mod shell;

pub use server::{Options, Server};
