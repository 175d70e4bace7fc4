//! Rules as data: who may send where, how wide and how strong, and what is never called on.
//!
//! An [`Allocation`] says what one administration or region grants; [`check`] holds a channel against it with both edges of
//! its occupied band; [`reserved_by`] finds frequencies that are kept for distress or standard time. Nothing here is legal
//! advice: whoever shows a finding also says "check your licence and local rules".
//!
//! ```
//! use farhop_allocations::ChannelUse;
//!
//! let channel = ChannelUse { centre_mhz: 7.0, width_hz: 500.0, power_w: 5.0 };
//! assert!(channel.reaches(6.9, 6.9998) && !channel.reaches(7.001, 7.2));
//! ```

pub mod allocation;
pub mod channel;
pub mod finding;
pub mod reserved;

#[cfg(test)]
mod tests;

pub use allocation::{
    Allocation, AllocationError, Band, Identification, PowerBasis, PowerLimit, Segment, Source, Status,
};
pub use channel::{ChannelUse, check};
pub use finding::{Finding, Weight};
pub use reserved::{Reserved, ReservedKind, reserved_by};
