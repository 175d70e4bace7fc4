//! The steps of a session, checked.

use farhop_gear::SessionOverhead;

use crate::error::{MessageError, within};

/// Checks every number of the steps.
///
/// # Errors
/// A number is out of range.
pub(crate) fn check(steps: &SessionOverhead) -> Result<(), MessageError> {
    let named = [
        ("settling, s", steps.settle_s),
        ("listening before a call, s", steps.listen_s),
        ("handshake, s", steps.handshake_s),
        ("greeting, s", steps.greeting_s),
        ("offers, s", steps.offers_s),
        ("acknowledgement, s", steps.acknowledge_s),
        ("sign-off, s", steps.sign_off_s),
    ];
    named
        .into_iter()
        .try_for_each(|(what, value)| within(what, value, 0.0..=3_600.0, "0 to 3600 s"))
}
