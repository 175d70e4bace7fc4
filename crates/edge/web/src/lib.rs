//! The outing on screens: a local web server for the kitchen table, the hill and the phone.
//!
//! The pages are those of `farhop-pages`; here are sockets, files, and who may come in. Everything is in the program; nothing is
//! fetched from elsewhere. How it is kept safe: docs/methods/server-safety.md.

mod app;
mod connections;
mod devices;
mod enter;
mod folder;
mod guard;
mod machine;
mod phone;
mod qr;
mod server;
mod tagged;

pub use server::{Options, Server};
