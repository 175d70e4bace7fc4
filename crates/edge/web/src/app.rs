//! What every page works with.

use std::sync::Arc;

use farhop_pages::App as Pages;

use crate::guard::{Phrases, Rate, Sessions};
use crate::tagged::Packed;

/// Told what the person at the terminal should know.
pub type Say = Arc<dyn Fn(&str) + Send + Sync>;

/// The running app.
pub struct App {
    /// The pages.
    pub pages: Arc<Pages>,
    /// Port at which it answers.
    pub port: u16,
    /// Addresses for other devices, as `http://192.168.4.1:8047`.
    pub addresses: Vec<String>,
    /// Devices that are in.
    pub sessions: Sessions,
    /// The phrases for the next one.
    pub phrases: Phrases,
    /// Limit of requests.
    pub rate: Rate,
    /// Limit of wrong phrases.
    pub tries: Rate,
    /// Pages in their packed form.
    pub packed: Packed,
    /// Everything as one file for a phone; none where its engine is not there.
    pub single: Option<Arc<str>>,
    /// Tells the terminal.
    pub say: Say,
}
