//! What a typed event leaves out, from the state of the day: the place, the antenna that hangs, the power that is set.

use farhop_earth::UtcTime;
use farhop_journal::{Account, Event, Known, Source, Spot, Standing, state};
use farhop_outing::Outing;

/// The event with its circumstances, and what was not said and taken.
pub fn account(event: Event, outing: &Outing, standing: &[Standing], at: UtcTime) -> (Account, Vec<String>) {
    let day = state(standing, outing, at);
    let mut taken = Vec::new();
    let event = match event {
        Event::Called(mut call) => {
            if call.antenna.is_none() {
                let hung = day.antenna_for(call.freq_mhz);
                taken.extend(hung.as_ref().map(|known| antenna_words(outing, known)));
                call.antenna = hung.map(|known| known.value);
            }
            if call.power_w.is_none() {
                taken.push(power_words(&day.power_w));
                call.power_w = Some(day.power_w.value);
            }
            Event::Called(call)
        }
        other => other,
    };
    let place = match &event {
        Event::Moved(spot) => Some(spot.clone()),
        // A place that is only guessed is not written down.
        _ => day
            .stay
            .filter(|stay| stay.source != Source::Guess)
            .map(|stay| stay.spot),
    };
    let account = Account {
        at,
        place,
        who: None,
        event,
    };
    (account, taken)
}

fn antenna_words(outing: &Outing, known: &Known<String>) -> String {
    let name = outing
        .kit
        .antenna(&known.value)
        .map_or(known.value.as_str(), |a| a.name.as_str());
    match known.source {
        Source::Entry(number) => format!("{name} as in entry {number}"),
        Source::Outing | Source::Guess => format!("{name}, the first for this frequency"),
    }
}

fn power_words(known: &Known<f64>) -> String {
    match known.source {
        Source::Entry(number) => format!("{} W as in entry {number}", known.value),
        Source::Outing | Source::Guess => format!("{} W, the usual setting", known.value),
    }
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
