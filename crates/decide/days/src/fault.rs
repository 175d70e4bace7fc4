//! Faults of the own station, as one would notice them.

/// What an own fault does, whatever part it is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FaultClass {
    /// Nothing has power.
    NoPower,
    /// Nothing leaves the antenna, though everything seems to work.
    NothingOut,
    /// Much less than usual leaves the antenna.
    WeakOut,
    /// Nothing is heard.
    NothingIn,
    /// The modem or its computer does not work: ears hear, no link comes about.
    NoModem,
}

impl FaultClass {
    /// All classes.
    pub const ALL: [Self; 5] = [
        Self::NoPower,
        Self::NothingOut,
        Self::WeakOut,
        Self::NothingIn,
        Self::NoModem,
    ];

    /// Place among [`Self::ALL`].
    #[must_use]
    pub fn index(self) -> usize {
        Self::ALL.iter().position(|c| *c == self).unwrap_or(0)
    }
}

/// The own fault of one day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayFault {
    /// Which day.
    pub day: u32,
    /// What it does.
    pub class: FaultClass,
    /// From when, s from 1970.
    pub from_s: i64,
}

/// A fault that was found, on all days alike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnownFault {
    /// What it does.
    pub class: FaultClass,
    /// From when, s from 1970.
    pub from_s: i64,
    /// When it was mended, s from 1970; the far future while it is not.
    pub until_s: i64,
}

/// A fade-out of one day: a flare lights the D region for a while.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayFade {
    /// Which day.
    pub day: u32,
    /// From when, s from 1970.
    pub from_s: i64,
    /// Until when, s from 1970.
    pub until_s: i64,
    /// Loss of one hop at 5 MHz under a sun straight above, dB.
    pub loss_db: f32,
}
