//! What an operator notices.

/// A symptom.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Symptom {
    /// Nothing that is fed from a source has power.
    NothingPowered,
    /// The radio is dead while something else has power.
    RadioDead,
    /// The SWR is high.
    HighSwr,
    /// Stations are heard, but none answers.
    NotHeard,
    /// Nothing is heard, not even noise that changes with the antenna.
    HearsNothing,
    /// The modem does not answer.
    ModemSilent,
    /// The computer stays off.
    ComputerOff,
}

impl Symptom {
    /// All symptoms, in the order of the table of rules.
    pub const ALL: [Self; 7] = [
        Self::NothingPowered,
        Self::RadioDead,
        Self::HighSwr,
        Self::NotHeard,
        Self::HearsNothing,
        Self::ModemSilent,
        Self::ComputerOff,
    ];

    /// Words for it; more than one may mean the same.
    pub const WORDS: [(&'static str, Self); 8] = [
        ("no power anywhere", Self::NothingPowered),
        ("dead everything", Self::NothingPowered),
        ("dead radio only", Self::RadioDead),
        ("high SWR", Self::HighSwr),
        ("hears but is not heard", Self::NotHeard),
        ("hears nothing", Self::HearsNothing),
        ("modem silent", Self::ModemSilent),
        ("computer off", Self::ComputerOff),
    ];

    /// The symptom that a phrase names; case and space around it do not matter.
    #[must_use]
    pub fn from_words(words: &str) -> Option<Self> {
        let wanted = words.trim().to_lowercase();
        Self::WORDS
            .iter()
            .find(|(w, _)| w.to_lowercase() == wanted)
            .map(|(_, s)| *s)
    }

    /// The first phrase for it.
    #[must_use]
    pub fn words(self) -> &'static str {
        Self::WORDS.iter().find(|(_, s)| *s == self).map_or("", |(w, _)| w)
    }
}

/// A symptom that was looked for. One that was not looked for is simply not listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Observation {
    /// Which.
    pub symptom: Symptom,
    /// It is there (true), or it is not (false).
    pub seen: bool,
}

impl Observation {
    /// A symptom that is there.
    #[must_use]
    pub fn seen(symptom: Symptom) -> Self {
        Self { symptom, seen: true }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_back() {
        for symptom in Symptom::ALL {
            assert_eq!(Symptom::from_words(symptom.words()), Some(symptom));
        }
        assert_eq!(Symptom::from_words(" High swr "), Some(Symptom::HighSwr));
        assert_eq!(Symptom::from_words("smoke"), None);
    }
}
