//! Words for faults of the own station, for suspects and for steps.

use farhop_days::FaultClass;
use farhop_next::{Suspect, What};
use farhop_outing::Outing;

/// What an own fault does, in a few words: `nothing goes out`.
#[must_use]
pub fn class_words(class: FaultClass) -> &'static str {
    match class {
        FaultClass::NoPower => "the set has no power",
        FaultClass::NothingOut => "nothing goes out",
        FaultClass::WeakOut => "much too little goes out",
        FaultClass::NothingIn => "nothing comes in",
        FaultClass::NoModem => "the modem or its computer does not work",
    }
}

/// What to look at first, in a few words.
#[must_use]
pub(crate) fn look_at(class: FaultClass) -> &'static str {
    match class {
        FaultClass::NoPower => "fuse, plugs and voltage at the set while you key",
        FaultClass::NothingOut | FaultClass::WeakOut => {
            "plug at the set, feed line, feed point and tuner; key once and read SWR and power out"
        }
        FaultClass::NothingIn => {
            "antenna plug, gain, filter; a band that should be full of noise is quiet without an antenna"
        }
        FaultClass::NoModem => {
            "cable between set and modem, sound levels, mode, clock of the computer; send one burst and listen to it"
        }
    }
}

/// The word of the journal for it, as it is typed: `nothing out`.
#[must_use]
pub fn typed_as(class: FaultClass) -> &'static str {
    match class {
        FaultClass::NoPower => "no power",
        FaultClass::NothingOut => "nothing out",
        FaultClass::WeakOut => "weak out",
        FaultClass::NothingIn => "nothing in",
        FaultClass::NoModem => "no modem",
    }
}

/// A suspicion in a few words: `own station: nothing goes out`.
#[must_use]
pub(crate) fn suspect_words(outing: &Outing, suspect: &Suspect) -> String {
    match suspect.what {
        What::Own(class) => format!("own station: {}", class_words(class)),
        What::FadeOut => "fade-out: a flare of the sun has taken the bands for a while".to_owned(),
        What::Off(station) => outing.stations.get(station).map_or_else(
            || "a station is off the air".to_owned(),
            |s| format!("{} ({}) is off the air", s.name, s.callsign),
        ),
    }
}

/// One word for a suspicion, for JSON: `nothing-out`, `fade-out`, `off`.
#[must_use]
pub(crate) fn suspect_key(suspect: &Suspect) -> &'static str {
    match suspect.what {
        What::Own(class) => farhop_next::today::own::told_as(class).word(),
        What::FadeOut => "fade-out",
        What::Off(_) => "off",
    }
}
