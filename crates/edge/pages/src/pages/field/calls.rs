//! How a call ended: for the advised call, and for any other station and channel.

use farhop_outing::Outing;
use maud::{Markup, html};

/// A message that can have been sent.
pub struct ToSend {
    /// Its id.
    pub id: String,
    /// Bytes that are still to go.
    pub bytes: u64,
    /// A part of it has gone.
    pub in_part: bool,
    /// Ids of the stations that take it; empty where any does.
    pub to: Vec<String>,
}

/// The outcome of the advised call. `likely` are the messages that it was to carry.
pub fn advised(outing: &Outing, station: &str, freq_mhz: f64, messages: &[ToSend], likely: &[String]) -> Markup {
    let name = outing.station(station).map_or(station, |s| s.name.as_str());
    let takes = |m: &&ToSend| m.to.is_empty() || m.to.iter().any(|id| id == station);
    let messages: Vec<&ToSend> = messages.iter().filter(takes).collect();
    html! {
        form #advised.entry.call method="post" action="/field/log" data-kind="call" data-name=(format!("{name} on {freq_mhz} MHz")) {
            h2 { "How did it end? " span.small { (name) ", " (freq_mhz) " MHz" } }
            input type="hidden" name="channel" value=(format!("{station} {freq_mhz}"));
            (outcomes("advised", &messages, likely))
        }
    }
}

/// The outcome of any other call. Open when no call is advised.
pub fn any(outing: &Outing, messages: &[ToSend], open: bool) -> Markup {
    let messages: Vec<&ToSend> = messages.iter().collect();
    html! {
        details #another.group open[open] {
            summary { "Another station or channel" }
            form #any.entry.call method="post" action="/field/log" data-kind="call" {
                fieldset.stations {
                    legend { "Which station?" }
                    @for station in &outing.stations {
                        div.station role="group" aria-label=(station.name) {
                            span { b { (station.name) } " " span.small { (station.callsign) ", MHz" } }
                            div.picks {
                                @for channel in &station.channels {
                                    label.pick {
                                        input #{ "any-" (station.id) "-" (channel.freq_mhz) } type="radio" name="channel" required
                                            value=(format!("{} {}", station.id, channel.freq_mhz))
                                            data-name=(format!("{} on {} MHz", station.name, channel.freq_mhz));
                                        span { (channel.freq_mhz) }
                                    }
                                }
                            }
                        }
                    }
                }
                (outcomes("any", &messages, &[]))
            }
        }
    }
}

fn outcomes(form: &str, messages: &[&ToSend], likely: &[String]) -> Markup {
    let without = [
        ("no-answer", "No answer"),
        ("heard-but-failed", "Heard, no link"),
        ("busy-gateway", "Gateway busy"),
        ("busy-channel", "Channel busy"),
    ];
    html! {
        div.outcomes {
            @for (value, label) in without { button name="outcome" value=(value) { (label) } }
            button name="outcome" value="linked" { "Linked, nothing sent" }
        }
        @if !messages.is_empty() {
            fieldset.sent {
                legend { "Linked: what went?" }
                @for message in messages { (one_message(form, message, likely.contains(&message.id))) }
                (received(form))
                button.main name="outcome" value="sent" { "Sent what is ticked" }
            }
        } @else {
            fieldset.sent {
                legend { "Linked: what came?" }
                (received(form))
                button.main name="outcome" value="sent" { "Received that" }
            }
        }
    }
}

fn one_message(form: &str, message: &ToSend, ticked: bool) -> Markup {
    let ToSend { id, bytes, in_part, .. } = message;
    html! {
        div.message {
            label.tick {
                input #{ (form) "-message-" (id) } type="checkbox" name="message" value=(id) data-bytes=(bytes) checked[ticked];
                span { (id) " " span.small { (bytes) @if *in_part { " bytes left" } @else { " bytes" } } }
            }
            input type="hidden" name={ "size-" (id) } value=(bytes);
            input.part #{ (form) "-part-" (id) } name={ "part-" (id) } inputmode="numeric" autocomplete="off" placeholder="all"
                aria-label={ "Bytes of " (id) " that went, if not all" };
        }
    }
}

fn received(form: &str) -> Markup {
    html! {
        label for={ (form) "-received" } { "Received, from whom or what " span.small { "(if anything)" } }
        input.broad-input #{ (form) "-received" } name="received" autocomplete="off" maxlength="200";
    }
}
