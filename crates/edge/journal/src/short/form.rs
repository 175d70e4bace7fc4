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
pub const FORMS: [Form; 17] = [
    form(
        Verb::Call,
        "call",
        "call STATION MHZ no|failed|linked|ok [BYTES|MESSAGE] [MINUTES] [SNR] [on ANTENNA] [5W]",
        "call {station} {mhz} ok 300 6",
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
        "antenna ANTENNA [HOW IT HANGS]",
        "antenna {antenna} apex at 4 m",
        "put up, hung anew, turned",
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
