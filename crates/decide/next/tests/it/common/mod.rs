//! A journal made by hand, and the advice that follows from it.

#![allow(dead_code, clippy::unwrap_used, reason = "shared by tests")]

use farhop_day::{
    Account, Call, EntryKey, Event, Heard, HeardWho, MeterReading, Outcome, SentPart, Session, Spot, Standing, Strength,
};
use farhop_earth::UtcTime;
use farhop_next::today::{NextAsk, NextStep, Today, next_step};
use farhop_outing::Outing;
use farhop_store::kept::solutions::Solutions;
use farhop_store::open::open;

/// 12 December 2026, 13:00 in the zone of the demo.
pub const ONE_S: i64 = 1_797_033_600;
/// Index of the demo's hut.
pub const HUT: usize = 1;

/// A day of the demo, or of another outing, with what was entered.
pub struct Day {
    pub outing: Outing,
    pub entries: Vec<Standing>,
    pub store: Solutions,
}

/// So many minutes after 13:00.
pub fn at(minutes: i64) -> UtcTime {
    UtcTime::from_unix_s(ONE_S + 60 * minutes).unwrap()
}

impl Day {
    /// The kind day at the hut since 13:00.
    pub fn at_the_hut() -> Self {
        Self::of(open(Some(&farhop_vectors::kind_day())).unwrap().outing)
    }

    pub fn of(outing: Outing) -> Self {
        let mut day = Self {
            outing,
            entries: Vec::new(),
            store: Solutions::of_user(),
        };
        day.log(0, Event::Moved(Spot::Site("hut".to_owned())));
        day
    }

    pub fn log(&mut self, minutes: i64, event: Event) {
        let number = self.entries.len() as u64 + 1;
        self.entries.push(Standing {
            number,
            key: EntryKey::new(&format!("entry-{number}")).unwrap(),
            entered_at: at(minutes),
            corrected_by: None,
            account: Account {
                at: at(minutes),
                place: None,
                who: None,
                event,
            },
        });
    }

    pub fn call(&mut self, minutes: i64, station: &str, freq_mhz: f64, outcome: Outcome) {
        self.log(
            minutes,
            Event::Called(Call {
                station: station.to_owned(),
                freq_mhz,
                antenna: Some("link".to_owned()),
                power_w: Some(5.0),
                minutes: Some(4.0),
                snr_db: None,
                outcome,
            }),
        );
    }

    pub fn sent(&mut self, minutes: i64, message: &str, bytes: u64) {
        let session = Session {
            sent: vec![SentPart {
                message: message.to_owned(),
                bytes,
                whole: true,
            }],
            received: Vec::new(),
        };
        self.call(minutes, "larch", 5.356, Outcome::Session(session));
    }

    pub fn heard_at_s9(&mut self, minutes: i64, station: &str, freq_mhz: f64) {
        self.log(
            minutes,
            Event::Heard(Heard {
                who: HeardWho::Station(station.to_owned()),
                freq_mhz,
                strength: Some(Strength::Meter(MeterReading::iaru(9.0, 0.0))),
            }),
        );
    }

    pub fn today(&self, minutes: i64) -> Today {
        Today::at(&self.outing, &self.entries, at(minutes))
    }

    pub fn next(&self, minutes: i64) -> NextStep {
        next_step(self.today(minutes), &self.store, NextAsk::default()).unwrap()
    }

    /// Id of the station of the best call, and its frequency in MHz.
    pub fn best(&self, step: &NextStep) -> (String, f64) {
        let send = &step.step.best.as_ref().expect("a call").send;
        let station = &self.outing.stations[send.route.station];
        (station.id.to_string(), step.freq_mhz(send))
    }
}
