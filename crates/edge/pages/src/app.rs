//! What every page works with.

use std::sync::Arc;

use crate::desk::Desk;

/// The pages of one outing.
pub struct App {
    /// The outing.
    pub desk: Arc<Desk>,
    /// Others may come in by pass phrase.
    pub share: bool,
    /// They stand in a browser, with what is kept in it; there is no computer behind them.
    pub pocket: bool,
}
