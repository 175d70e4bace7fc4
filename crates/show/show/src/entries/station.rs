//! What is told about stations, the own station, its surroundings and tasks.

use farhop_day::{
    Begun, BusyWhat, Event, FaultClass, FaultFound, FaultMended, Fof2, PowerOut, Received, SentPart, Session, Silent,
    StationBusy, Task, Thunder, TunerRefused,
};
use farhop_outing::Outing;

use super::{spot_name, station_name};

/// One of the events about stations, the own station, its surroundings or tasks, in words.
pub(super) fn told(event: &Event, outing: &Outing) -> String {
    match event {
        Event::Busy(busy) => self::busy(busy, outing),
        Event::Silent(silent) => self::silent(silent, outing),
        Event::BandDead(dead) => format!("nothing at all heard on {} MHz", dead.freq_mhz),
        Event::StationOff(off) => format!("{} is off the air", station_name(outing, &off.station)),
        Event::Received(message) => received(message, outing),
        Event::PowerOut(reading) => power_out(reading, outing),
        Event::Fof2(heard) => fof2(heard),
        Event::TunerRefused(refused) => tuner(refused, outing),
        Event::Fault(found) => fault(found),
        Event::Mended(mended) => self::mended(mended),
        Event::Thunder(heard) => thunder(heard),
        Event::Begun(begun) => self::begun(begun, outing),
        Event::Down(down) => format!("{} is down", outing.antenna_name(&down.antenna)),
        _ => String::new(),
    }
}

/// What was busy, in words.
pub(super) fn busy_words(what: Option<BusyWhat>) -> &'static str {
    match what {
        None => "busy",
        Some(BusyWhat::Gateway) => "busy, the gateway works with somebody else",
        Some(BusyWhat::Channel) => "busy, somebody else is on the channel",
    }
}

fn busy(busy: &StationBusy, outing: &Outing) -> String {
    let station = station_name(outing, &busy.station);
    format!("{station} on {} MHz: {}", busy.freq_mhz, busy_words(busy.what))
}

fn silent(silent: &Silent, outing: &Outing) -> String {
    let minutes = silent.minutes.map(|m| format!(" in {m} min")).unwrap_or_default();
    let station = station_name(outing, &silent.station);
    format!("listened for {station} on {} MHz: nothing{minutes}", silent.freq_mhz)
}

/// A message received: `received weather for the pass, 180 bytes from Larch`.
pub(super) fn received(message: &Received, outing: &Outing) -> String {
    let words = if message.words.is_empty() {
        "a message".to_owned()
    } else {
        message.words.clone()
    };
    let bytes = message.bytes.map(|b| format!(", {b} bytes")).unwrap_or_default();
    let station = message
        .station
        .as_ref()
        .map(|id| format!(" by {}", station_name(outing, id)));
    format!("received {words}{bytes}{}", station.unwrap_or_default())
}

/// What passed over a link: `delivered arrived, 300 bytes, and part of stores, 600 bytes`.
pub(super) fn session(session: &Session, outing: &Outing) -> String {
    let part = |p: &SentPart| match (p.whole, p.bytes) {
        (true, bytes) => format!("{}, {bytes} bytes", p.message),
        (false, 0) => format!("part of {}", p.message),
        (false, bytes) => format!("part of {}, {bytes} bytes", p.message),
    };
    let whole: Vec<String> = session.sent.iter().filter(|p| p.whole).map(part).collect();
    let parts: Vec<String> = session.sent.iter().filter(|p| !p.whole).map(part).collect();
    let mut said = Vec::new();
    if !whole.is_empty() {
        said.push(format!("delivered {}", whole.join(", and ")));
    }
    if !parts.is_empty() {
        said.push(format!("sent {}", parts.join(", and ")));
    }
    said.extend(session.received.iter().map(|r| received(r, outing)));
    said.join("; ")
}

fn power_out(reading: &PowerOut, outing: &Outing) -> String {
    let on = reading.freq_mhz.map(|f| format!(" on {f} MHz")).unwrap_or_default();
    let into = reading
        .antenna
        .as_ref()
        .map(|id| format!(" into {}", outing.antenna_name(id)));
    let swr = reading.swr.map(|s| format!(", SWR {s}")).unwrap_or_default();
    format!("{} W go out{on}{}{swr}", reading.power_w, into.unwrap_or_default())
}

fn fof2(heard: &Fof2) -> String {
    let place = heard.lat_deg.zip(heard.lon_deg);
    let place = place
        .map(|(lat, lon)| format!(" at {lat:.2},{lon:.2}"))
        .unwrap_or_default();
    format!("foF2 {} MHz{place}", heard.fof2_mhz)
}

fn tuner(refused: &TunerRefused, outing: &Outing) -> String {
    let with = refused
        .antenna
        .as_ref()
        .map(|id| format!(" with {}", outing.antenna_name(id)));
    format!(
        "the tuner found no match on {} MHz{}",
        refused.freq_mhz,
        with.unwrap_or_default()
    )
}

/// How a fault shows itself, in words.
pub(super) fn class_words(class: FaultClass) -> &'static str {
    match class {
        FaultClass::NoPower => "no power",
        FaultClass::NothingOut => "nothing goes out",
        FaultClass::WeakOut => "little goes out",
        FaultClass::NothingIn => "nothing comes in",
        FaultClass::NoModem => "the modem does not work",
        FaultClass::Other => "another fault",
    }
}

fn fault(found: &FaultFound) -> String {
    format!("fault: {} ({})", found.what, class_words(found.class))
}

fn mended(mended: &FaultMended) -> String {
    match (mended.what.is_empty(), mended.class) {
        (false, _) => format!("mended: {}", mended.what),
        (true, Some(class)) => format!("mended: {}", class_words(class)),
        (true, None) => "mended: everything that was wrong".to_owned(),
    }
}

fn thunder(heard: &Thunder) -> String {
    let after = heard.after_flash_s.map(|s| format!(", {s} s after the flash"));
    format!("thunder heard{}", after.unwrap_or_default())
}

fn begun(begun: &Begun, outing: &Outing) -> String {
    let minutes = begun.minutes.map(|m| format!(", {m} min")).unwrap_or_default();
    match &begun.task {
        Task::Hang { antenna } => format!("began to hang {}{minutes}", outing.antenna_name(antenna)),
        Task::Walk { site } => {
            let name = spot_name(outing, &farhop_day::Spot::Site(site.clone()));
            format!("left for {name}{minutes}")
        }
        Task::Check { what } => format!("began to check {what}{minutes}"),
    }
}
