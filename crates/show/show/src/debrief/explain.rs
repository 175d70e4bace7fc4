//! What most likely explains each call that failed.

use farhop_day::{Event, Outcome, Standing};
use farhop_days::FaultClass;
use farhop_next::today::Attempt;
use farhop_outing::same_band;

use crate::debrief::DebriefReport;
use crate::own_fault::class_words;

/// From this chance on, a station counts as off (dimensionless).
const OFF: f64 = 0.5;
/// From this chance on, an own fault or a fade-out counts as what explains a miss (dimensionless).
const LIKELY: f64 = 0.5;
/// A voltage this near before a call explains it, hours.
const NEAR_H: i64 = 2;

/// What explains a miss.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cause {
    /// Something of the own station probably did not work.
    OwnFault(FaultClass, f64),
    /// A fade-out probably lasted.
    FadeOut(f64),
    /// The gateway was probably off.
    StationOff(f64),
    /// The battery was at the end, V.
    Power(f64),
    /// The SWR was high (dimensionless).
    Antenna(f64),
    /// The signal there was too weak by so many dB.
    TooWeakThere(f64),
    /// Noise at the site covered the answer by so many dB.
    TooNoisyHere(f64),
    /// Signal and noise were good enough: busy gateway, wrong mode or second, bad luck.
    Operation,
}

/// A call that failed, with its explanation.
#[derive(Clone, Debug, PartialEq)]
pub struct Miss {
    /// Index into the attempts.
    pub attempt: usize,
    /// What explains it best.
    pub cause: Cause,
}

impl DebriefReport<'_> {
    /// The calls that failed, each with what explains it best by the days as weighed by all of it.
    #[must_use]
    pub fn misses(&self) -> Vec<Miss> {
        self.attempts()
            .iter()
            .enumerate()
            .filter(|(_, a)| !a.linked)
            .map(|(index, a)| Miss {
                attempt: index,
                cause: self.cause(a),
            })
            .collect()
    }

    fn cause(&self, attempt: &Attempt) -> Cause {
        let answered = |e: &Standing| matches!(&e.account.event, Event::Called(c) if c.outcome != Outcome::NoAnswer);
        let (there_db, here_db) = attempt.margins_db;
        if let Some(volts) = self.low_voltage(attempt) {
            return Cause::Power(volts);
        }
        if let Some(swr) = self.high_swr(attempt) {
            return Cause::Antenna(swr);
        }
        if let Some((class, chance)) = attempt.fault.filter(|f| f.1 >= LIKELY) {
            return Cause::OwnFault(class, chance);
        }
        if attempt.fade >= LIKELY {
            return Cause::FadeOut(attempt.fade);
        }
        if attempt.off >= OFF && !answered(&self.today.entries[attempt.entry]) {
            return Cause::StationOff(attempt.off);
        }
        if there_db.min(here_db) >= 0.0 {
            return Cause::Operation;
        }
        if there_db <= here_db {
            Cause::TooWeakThere(-there_db)
        } else {
            Cause::TooNoisyHere(-here_db)
        }
    }

    fn near<'a>(&'a self, attempt: &'a Attempt) -> impl Iterator<Item = &'a Standing> {
        let off_s = |e: &&Standing| (e.account.at.unix_s() - attempt.at.unix_s()).abs();
        self.today.entries.iter().filter(move |e| off_s(e) <= NEAR_H * 3_600)
    }

    fn low_voltage(&self, attempt: &Attempt) -> Option<f64> {
        let least_v = self.today.outing.kit.transceiver.min_v;
        self.near(attempt).find_map(|e| match &e.account.event {
            Event::Voltage(v) if v.voltage_v < least_v + 0.3 => Some(v.voltage_v),
            _ => None,
        })
    }

    fn high_swr(&self, attempt: &Attempt) -> Option<f64> {
        self.near(attempt).find_map(|e| match &e.account.event {
            Event::Swr(s) if s.swr >= 3.0 && same_band(s.freq_mhz, attempt.response.freq_mhz) => Some(s.swr),
            _ => None,
        })
    }
}

impl Cause {
    /// In words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::OwnFault(class, p) => format!("own station: {} ({:.0} %)", class_words(*class), 100.0 * p.min(0.99)),
            Self::FadeOut(p) => format!(
                "a fade-out: a flare of the sun took the bands ({:.0} %)",
                100.0 * p.min(0.99)
            ),
            Self::StationOff(p) => format!(
                "power or people at the other end: the station was off ({:.0} %)",
                100.0 * p
            ),
            Self::Power(v) => format!("own power: {v:.1} V at the battery"),
            Self::Antenna(swr) => format!("own antenna: SWR {swr:.1}"),
            Self::TooWeakThere(db) => format!("sky and distance: your signal was some {db:.0} dB too weak there"),
            Self::TooNoisyHere(db) => format!("noise: the answer was some {db:.0} dB too weak at your site"),
            Self::Operation => "operation or luck: signal and noise were good enough".to_owned(),
        }
    }

    /// One word, for JSON.
    #[must_use]
    pub fn key(&self) -> &'static str {
        match self {
            Self::OwnFault(..) => "own-fault",
            Self::FadeOut(_) => "fade-out",
            Self::StationOff(_) => "station-off",
            Self::Power(_) => "power",
            Self::Antenna(_) => "antenna",
            Self::TooWeakThere(_) => "sky",
            Self::TooNoisyHere(_) => "noise",
            Self::Operation => "operation",
        }
    }
}
