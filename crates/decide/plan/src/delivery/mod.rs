//! From windows to delivered messages: which link a channel runs, what a window does for a message, and the order to try.

mod gateway;
mod links;
mod messages;
mod order;
mod shortlist;

pub use farhop_message::pace::Protects;
pub(crate) use gateway::gateway_of;
pub use links::{LinkChoice, Links, MODE_NAMES, adapted_link, choices, usual_ladder};
pub use messages::{
    Attempted, Bottleneck, DeliveryWork, MessagePlan, PieceDeliveries, RouteFacts, WindowDelivery, bottleneck,
    message_plans,
};
pub use order::{PaceEntry, PaceRank, pace_order};
