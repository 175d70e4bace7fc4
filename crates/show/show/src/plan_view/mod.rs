//! A plan as JSON sees it, with its working.

#[cfg(test)]
mod schema_tests;
mod types;

pub use types::*;

use farhop_earth::clock::rfc3339;
use farhop_earth::{IgrfEpoch, UtcTime};
use farhop_outing::{Message, Outing};
use farhop_plan::analysis::{Analysis, MessagePlan};
use farhop_plan::schedule::{PlaceOrder, Send};
use farhop_plan::strip::Route;

/// Turns parts of a plan into views; holds what they need to look things up.
pub struct Viewer<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// The plan.
    pub plan: &'a Analysis,
}

impl Viewer<'_> {
    /// The route in words. An index that does not exist gives empty words.
    #[must_use]
    pub fn route(&self, route: &Route) -> RouteView {
        RouteView::new(self, route)
    }

    /// A call of the schedule.
    #[must_use]
    pub fn send(&self, send: &Send) -> SendView {
        SendView::new(self, send)
    }

    /// The whole plan.
    #[must_use]
    pub fn plan(&self, told: Told) -> PlanView {
        PlanView::new(self, told)
    }

    fn ready(&self, message: &Message) -> String {
        rfc3339(message.ready.unwrap_or(self.outing.header.start))
    }

    fn of_message(&self, plan: &MessagePlan, index: usize) -> Option<MessageSendView> {
        let send = self.plan.sends.get(index)?;
        let sent = send.messages.iter().find(|m| m.message == plan.message)?;
        let deadline = self.outing.messages.get(plan.message)?.deadline;
        Some(MessageSendView::new(
            index,
            send,
            sent,
            self.route(&send.route),
            deadline,
        ))
    }

    fn order(&self, order: &PlaceOrder) -> Vec<OrderView> {
        let entries = order.entries.iter().enumerate();
        entries
            .map(|(place, entry)| OrderView::new(self, order, place, entry))
            .collect()
    }

    fn bottom_line(&self, assumes: Vec<String>) -> Option<BottomLineView> {
        let bottom = self.plan.bottom?;
        let message = self.outing.messages.get(bottom.message)?;
        Some(BottomLineView::new(self, &bottom, message, assumes))
    }
}

/// Declination at a site, degrees, east positive.
#[must_use]
pub fn declination_deg(field: &IgrfEpoch, site: &farhop_outing::Site) -> f64 {
    field.field(site.place, site.elevation_m / 1_000.0).declination_deg()
}

/// Whether any hour of the outing lies in the dark at a site: for drawing night behind the hours.
#[must_use]
pub fn is_night(place: farhop_earth::Place, time: UtcTime) -> bool {
    // -0.833°: rim of the sun with refraction (definition of sunrise used by almanacs).
    farhop_earth::sun_position(place, time).elevation_deg() < -0.833
}
