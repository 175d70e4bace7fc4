//! The short forms, with an example each: one table feeds the reading, the messages and the help.

use farhop_outing::Outing;

/// What a short form begins with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verb {
    /// A call.
    Call,
    /// Somebody heard.
    Heard,
    /// A noise reading.
    Noise,
    /// An SWR reading.
    Swr,
    /// Battery voltage.
    Volt,
    /// Panel current.
    Panel,
    /// Weather.
    Weather,
    /// Moved.
    At,
    /// K index.
    K,
    /// A index.
    A,
    /// Solar flux.
    Flux,
    /// Antenna put up or changed.
    Antenna,
    /// A message more.
    Write,
    /// A message less.
    Withdraw,
    /// Anything else.
    Note,
    /// A station, or its channel, was busy.
    Busy,
    /// A station was listened for and not heard.
    Silent,
    /// A band is dead, or a station off the air.
    Dead,
    /// Something went over the last link.
    Sent,
    /// A message came in.
    Received,
    /// Power out.
    Power,
    /// The tuner refused.
    Tuner,
    /// A fault was found.
    Fault,
    /// A fault was mended.
    Mended,
    /// Critical frequency of the F2 layer.
    Fof2,
    /// Thunder.
    Thunder,
    /// Began to hang an antenna.
    Hang,
    /// Set off to a site.
    Walk,
    /// Began a test.
    Check,
    /// An earlier entry was otherwise.
    Fix,
    /// An earlier entry does not count.
    Strike,
}

/// A short form.
#[derive(Clone, Copy, Debug)]
pub struct Form {
    /// What it begins with.
    pub verb: Verb,
    /// Its first word.
    pub word: &'static str,
    /// Its shape.
    pub shape: &'static str,
    /// An example; names in braces are filled in from the outing.
    example: &'static str,
    /// What it is for.
    pub meaning: &'static str,
}

const fn form(
    verb: Verb,
    word: &'static str,
    shape: &'static str,
    example: &'static str,
    meaning: &'static str,
) -> Form {
    Form {
        verb,
        word,
        shape,
        example,
        meaning,
    }
}

/// All short forms.
pub const FORMS: [Form; 31] = [
    form(
        Verb::Call,
        "call",
        "call STATION MHZ no|busy|failed|linked|ok [half] [MESSAGES] [MINUTES] [SNR] [on ANTENNA] [5W] [got WORDS]",
        "call {station} {mhz} ok {message} 6min",
        "a call and how it ended",
    ),
    form(
        Verb::Heard,
        "heard",
        "heard STATION|CALLSIGN|beacon NAME MHZ [S5 | 8dB]",
        "heard {station} {mhz} S5",
        "somebody was heard",
    ),
    form(
        Verb::Noise,
        "noise",
        "noise MHZ S4|-105 [BANDWIDTH]",
        "noise {mhz} S4",
        "noise: S-meter or dBm, in the receiver's bandwidth",
    ),
    form(
        Verb::Swr,
        "swr",
        "swr MHZ VALUE [on ANTENNA]",
        "swr {mhz} 2.1",
        "SWR as the transmitter sees it",
    ),
    form(Verb::Volt, "volt", "volt VOLTS", "volt 12.4", "battery voltage"),
    form(
        Verb::Panel,
        "panel",
        "panel AMPERES",
        "panel 0.6",
        "current out of the panel",
    ),
    form(
        Verb::Weather,
        "weather",
        "weather WORDS [6C]",
        "weather drizzle, west wind 6C",
        "weather, temperature",
    ),
    form(Verb::At, "at", "at SITE|LAT,LON", "at {site}", "moved there"),
    form(Verb::K, "k", "k INDEX", "k 4", "K index from a broadcast"),
    form(Verb::A, "a", "a INDEX", "a 12", "A index from a broadcast"),
    form(
        Verb::Flux,
        "flux",
        "flux SFU [a INDEX] [k INDEX]",
        "flux 130 a 12 k 4",
        "solar flux from a broadcast",
    ),
    form(
        Verb::Antenna,
        "antenna",
        "antenna ANTENNA [down | apex 5 m, ends 1 m, azimuth 60]",
        "antenna {antenna} up",
        "put up, hung anew (with its measures), turned, down",
    ),
    form(
        Verb::Write,
        "write",
        "write MESSAGE BYTES",
        "write thanks 250",
        "one message more to send",
    ),
    form(
        Verb::Withdraw,
        "withdraw",
        "withdraw MESSAGE",
        "withdraw {message}",
        "a message need not go any more",
    ),
    form(Verb::Note, "note", "note WORDS", "note fog came up", "anything else"),
    form(
        Verb::Busy,
        "busy",
        "busy STATION MHZ [gateway|channel]",
        "busy {station} {mhz} gateway",
        "heard that a station or its channel is busy",
    ),
    form(
        Verb::Silent,
        "silent",
        "silent STATION MHZ [MINUTES]",
        "silent {station} {mhz} 10min",
        "listened for a station and heard nothing",
    ),
    form(
        Verb::Dead,
        "dead",
        "dead MHZ|STATION",
        "dead 7",
        "nothing heard on a band, or a station known to be off",
    ),
    form(
        Verb::Sent,
        "sent",
        "sent [half|part] [MESSAGES] [BYTES]",
        "sent half {message}",
        "what went over a new link to the station of the last call",
    ),
    form(
        Verb::Received,
        "received",
        "received WORDS [180b] [by STATION]",
        "received forecast 180b",
        "a message came in",
    ),
    form(
        Verb::Power,
        "power",
        "power WATTS [MHZ] [swr 1.5] [on ANTENNA]",
        "power 4.5 W {mhz}",
        "power out on a meter",
    ),
    form(
        Verb::Tuner,
        "tuner",
        "tuner refused [MHZ] [on ANTENNA]",
        "tuner refused {mhz}",
        "the tuner found no match",
    ),
    form(
        Verb::Fault,
        "fault",
        "fault WORDS (no power, nothing out, weak out, nothing in, no modem)",
        "fault coax broken, nothing out",
        "something of the own station does not work",
    ),
    form(
        Verb::Mended,
        "mended",
        "mended [WORDS]",
        "mended coax",
        "it works again",
    ),
    form(
        Verb::Fof2,
        "fof2",
        "fof2 MHZ [LAT,LON]",
        "fof2 5.1",
        "foF2 heard of, here or there",
    ),
    form(
        Verb::Thunder,
        "thunder",
        "thunder [SECONDS AFTER THE FLASH]",
        "thunder 12s",
        "thunder heard",
    ),
    form(
        Verb::Hang,
        "hang",
        "hang ANTENNA [MINUTES]",
        "hang {antenna} 20min",
        "began to put an antenna up",
    ),
    form(
        Verb::Walk,
        "walk",
        "walk SITE [MINUTES]",
        "walk {site} 40min",
        "left for a site",
    ),
    form(
        Verb::Check,
        "check",
        "check WHAT [MINUTES]",
        "check plugs 5min",
        "began to test something of the own station",
    ),
    form(
        Verb::Fix,
        "fix",
        "fix NUMBER [NEW FORM]",
        "fix 12 call {station} {mhz} no",
        "entry NUMBER was so instead (with a time: then)",
    ),
    form(
        Verb::Strike,
        "strike",
        "strike NUMBER",
        "strike 12",
        "entry NUMBER does not count",
    ),
];

impl Form {
    /// The form of a verb.
    #[must_use]
    pub fn of(verb: Verb) -> &'static Self {
        FORMS.iter().find(|f| f.verb == verb).unwrap_or(&FORMS[0])
    }

    /// The words that begin it: its own, and one letter for those that are typed most.
    pub(crate) fn names(&self) -> Vec<&'static str> {
        let letter = match self.verb {
            Verb::Call => Some("c"),
            Verb::Heard => Some("h"),
            Verb::Panel => Some("p"),
            Verb::Volt => Some("v"),
            _ => None,
        };
        std::iter::once(self.word).chain(letter).collect()
    }

    /// The example with names of this outing.
    #[must_use]
    pub fn example(&self, outing: &Outing) -> String {
        let station = outing.stations.first();
        let mhz = station.and_then(|s| s.channels.last()).map_or(7.05, |c| c.freq_mhz);
        let or = |id: Option<String>, fallback: &str| id.unwrap_or_else(|| fallback.to_owned());
        self.example
            .replace("{station}", &or(station.map(|s| s.id.to_string()), "STATION"))
            .replace("{mhz}", &format!("{mhz:.2}"))
            .replace("{site}", &or(outing.sites.first().map(|s| s.id.to_string()), "SITE"))
            .replace(
                "{antenna}",
                &or(outing.kit.antennas.first().map(|a| a.id.to_string()), "ANTENNA"),
            )
            .replace(
                "{message}",
                &or(outing.messages.first().map(|m| m.id.to_string()), "MESSAGE"),
            )
    }
}

/// All forms with examples for this outing, one a line.
#[must_use]
pub fn help(outing: &Outing) -> String {
    let lines = FORMS
        .iter()
        .map(|f| format!("  {:<34}  {}\n", f.example(outing), f.meaning));
    lines.collect()
}
