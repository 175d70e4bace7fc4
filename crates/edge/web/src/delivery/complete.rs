//! What a typed event leaves out, from the state of the day: the place, the antenna that hangs, the power that is set.

use farhop_earth::UtcTime;
use farhop_journal::typed::{Typed, complete};
use farhop_journal::{Account, Event, Spot, Standing, state};
use farhop_outing::Outing;

/// The event with its circumstances, and what was not said and taken.
pub fn account(event: Event, outing: &Outing, standing: &[Standing], at: UtcTime) -> (Account, Vec<String>) {
    let typed = Typed {
        key: None,
        at: None,
        place: None,
        who: None,
        event,
    };
    complete(typed, &state(standing, outing, at), at)
}

/// What the outing does not know of an event, each as a caution. The entry is kept all the same: the outing may have been edited
/// since the page was loaded.
pub fn strangers(event: &Event, outing: &Outing, messages: &[String]) -> Vec<String> {
    let mut cautions = Vec::new();
    if let Event::Moved(Spot::Site(id)) = event
        && outing.site(id).is_none()
    {
        cautions.push(format!("the outing has no site {id}"));
    }
    let Event::Called(call) = event else {
        return cautions;
    };
    match outing.station(&call.station) {
        None => cautions.push(format!("the outing has no station {}", call.station)),
        Some(station)
            if !station
                .channels
                .iter()
                .any(|c| (c.freq_mhz - call.freq_mhz).abs() < CHANNEL_MHZ) =>
        {
            cautions.push(format!("{} MHz is no channel of {}", call.freq_mhz, station.name));
        }
        Some(_) => {}
    }
    let unknown = messages
        .iter()
        .filter(|id| outing.message(id).is_none())
        .map(|id| format!("the outing has no message {id}"));
    cautions.extend(unknown);
    cautions
}

/// A frequency this close to a channel, in MHz, is the channel.
const CHANNEL_MHZ: f64 = 0.001_5;
