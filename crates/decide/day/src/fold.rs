//! Going through the day, entry by entry. Nothing else in the program does.

mod own;

use farhop_earth::UtcTime;
use farhop_outing::{Activity, Outing};

use crate::aside::{SetAside, WhyAside};
use crate::call::{Call, Outcome, Received, SentPart, Session};
use crate::entry::Standing;
use crate::event::{Event, HeardWho, Spot};
use crate::hang::{Begun, Task};
use crate::hung::Hung;
use crate::message::Drafts;
use crate::place::{Known, Source, Stay, planned_stay, site_of};
use crate::reading::SpaceWeather;
use crate::seen::{AFTER_THUNDER_MIN, Fault, Noted, Readings, Sighting, Sign, StationState, ThunderTimer};
use crate::state::{DayState, Scene, TaskBegun};

/// The day so far.
pub(crate) struct Fold<'a> {
    planned: &'a Outing,
    now: UtcTime,
    moved: Option<Stay>,
    hung: Hung,
    state: DayState,
    drafts: Drafts,
    heard: SpaceWeather,
    ionosondes: Vec<farhop_outing::ObservedFof2>,
}

impl<'a> Fold<'a> {
    pub(crate) fn new(planned: &'a Outing, now: UtcTime) -> Self {
        Self {
            planned,
            now,
            moved: None,
            hung: Hung::default(),
            drafts: Drafts::of(planned),
            heard: SpaceWeather::default(),
            ionosondes: Vec::new(),
            state: DayState {
                now,
                outing: planned.clone(),
                entries: Vec::new(),
                scenes: Vec::new(),
                stay: None,
                hanging: Vec::new(),
                power_w: Known {
                    value: planned.kit.transceiver.power_w,
                    source: Source::Outing,
                },
                task: None,
                messages: Vec::new(),
                received: Vec::new(),
                stations: vec![StationState::default(); planned.stations.len()],
                readings: Readings::default(),
                faults: Vec::new(),
                thunder: None,
                aside: Vec::new(),
            },
        }
    }

    /// Takes the next entry in the order of time.
    pub(crate) fn take(&mut self, entry: &Standing) {
        let at = entry.account.at;
        if !self.planned.header.counts(at) {
            self.set_aside(entry.number, WhyAside::OutsideDates);
            return;
        }
        if at > self.now {
            return;
        }
        if let Some(why) = self.stranger(&entry.account.event) {
            self.set_aside(entry.number, why);
            return;
        }
        let stay = self.stay_at(at);
        let site = match &entry.account.place {
            Some(spot) => site_of(self.planned, spot),
            None => stay.as_ref().and_then(|s| s.site),
        };
        self.hung.at(stay.as_ref().map(|s| &s.spot));
        self.learn(entry, site);
        self.state.scenes.push(Scene {
            site,
            antenna: named(&entry.account.event).cloned().or_else(|| self.hung.newest()),
            power_w: self.state.power_w.value,
        });
        self.state.entries.push(entry.clone());
    }

    fn set_aside(&mut self, entry: u64, why: WhyAside) {
        self.state.aside.push(SetAside { entry, why });
    }

    /// What the entry is about and the outing does not have.
    fn stranger(&self, event: &Event) -> Option<WhyAside> {
        let site = |id: &String| {
            self.planned
                .site(id)
                .is_none()
                .then(|| WhyAside::UnknownSite(id.clone()))
        };
        let station = match event {
            Event::Called(call) => Some(&call.station),
            Event::Heard(heard) => match &heard.who {
                HeardWho::Station(id) => Some(id),
                HeardWho::Other(_) => None,
            },
            Event::Busy(busy) => Some(&busy.station),
            Event::Silent(silent) => Some(&silent.station),
            Event::StationOff(off) => Some(&off.station),
            Event::Moved(Spot::Site(id)) => return site(id),
            Event::Begun(Begun {
                task: Task::Walk { site: id },
                ..
            }) => return site(id),
            _ => None,
        };
        if let Some(id) = station.filter(|id| self.planned.station(id).is_none()) {
            return Some(WhyAside::UnknownStation(id.clone()));
        }
        // A call with an antenna of another kit is still a call.
        let hung = match event {
            Event::Antenna(hung) => Some(&hung.antenna),
            Event::Begun(Begun {
                task: Task::Hang { antenna },
                ..
            }) => Some(antenna),
            _ => None,
        };
        let id = hung.filter(|id| self.planned.kit.antenna(id).is_none())?;
        Some(WhyAside::UnknownAntenna(id.clone()))
    }

    /// Where an entry says that one is, else where the plan has one.
    fn stay_at(&self, at: UtcTime) -> Option<Stay> {
        self.moved.clone().or_else(|| planned_stay(self.planned, at))
    }

    fn learn(&mut self, entry: &Standing, site: Option<usize>) {
        let (at, number) = (entry.account.at, entry.number);
        let mark = Mark { at, number, site };
        self.hangs(entry);
        match &entry.account.event {
            Event::Called(call) => self.called(call, mark),
            Event::Heard(heard) => {
                if let HeardWho::Station(id) = &heard.who {
                    self.sighted(id, heard.freq_mhz, Sign::Heard(heard.strength), mark);
                }
            }
            Event::Busy(busy) => self.sighted(&busy.station, busy.freq_mhz, Sign::Busy(busy.what), mark),
            Event::Silent(silent) => self.sighted(&silent.station, silent.freq_mhz, Sign::Silent, mark),
            Event::StationOff(off) => {
                if let Some(index) = self.station(&off.station) {
                    self.state.stations[index].off = Some(mark.noted(()));
                }
            }
            Event::Received(message) => self.received(message, mark),
            Event::Moved(spot) => self.moved(spot, mark),
            Event::Written(written) => {
                self.drafts.write(written, at, self.planned.header.end, number);
            }
            Event::Withdrawn(gone) => {
                if !self.drafts.withdraw(&gone.message, number) {
                    self.set_aside(number, WhyAside::UnknownMessage(gone.message.clone()));
                }
            }
            Event::Begun(begun) => self.begun(begun, mark),
            Event::Fault(found) => {
                self.end_check();
                self.state.faults.push(Fault {
                    what: found.what.clone(),
                    class: found.class,
                    found: mark.noted(()),
                    mended: None,
                });
            }
            Event::Mended(mended) => self.mended(mended, mark),
            Event::Thunder(heard) => {
                self.state.thunder = Some(ThunderTimer {
                    last: mark.noted(heard.after_flash_s),
                    until: at.add_s(60 * AFTER_THUNDER_MIN),
                });
            }
            other => self.read(other, mark),
        }
    }

    /// What the entry says about antennas: put up, taken down, or in use and so hanging.
    fn hangs(&mut self, entry: &Standing) {
        let (at, number) = (entry.account.at, entry.number);
        match &entry.account.event {
            Event::Antenna(up) => self.hung.up(up, at, number),
            Event::Down(down) => self.hung.down(&down.antenna),
            other => {
                if let Some(id) = named(other)
                    && self.planned.kit.antenna(id).is_some()
                {
                    self.hung.in_use(id, at, number);
                }
            }
        }
        let hung = match &entry.account.event {
            Event::Antenna(up) => Some(&up.antenna),
            other => named(other),
        };
        let done = |task: &TaskBegun| matches!(&task.task, Task::Hang { antenna } if Some(antenna) == hung);
        if self.state.task.as_ref().is_some_and(done) {
            self.state.task = None;
        }
    }

    fn station(&self, id: &str) -> Option<usize> {
        let found = self.planned.station(id)?;
        self.planned.stations.iter().position(|s| s.id == found.id)
    }

    fn sighted(&mut self, id: &str, freq_mhz: f64, what: Sign, mark: Mark) {
        let Some(index) = self.station(id) else { return };
        let on_air = what.on_air();
        let sighting = Sighting {
            freq_mhz,
            channel: self.planned.stations[index].channel_on(freq_mhz),
            what,
        };
        let station = &mut self.state.stations[index];
        station.seen.push(mark.noted(sighting));
        if on_air {
            station.off = None;
            self.state
                .readings
                .dead_bands
                .retain(|d| !farhop_outing::same_band(d.value, freq_mhz));
        }
    }

    fn called(&mut self, call: &Call, mark: Mark) {
        if let Some(value) = call.power_w {
            self.state.power_w = Known {
                value,
                source: Source::Entry(mark.number),
            };
        }
        self.end_check();
        self.sighted(&call.station, call.freq_mhz, Sign::Called(call.outcome.clone()), mark);
        match &call.outcome {
            Outcome::Session(session) => self.session(session, call, mark),
            Outcome::Delivered {
                message: Some(id),
                bytes,
            } => {
                let whole = self.drafts.completes(id, *bytes);
                let part = SentPart {
                    message: id.clone(),
                    bytes: *bytes,
                    whole,
                };
                self.send(&part, call, mark);
            }
            Outcome::Delivered { message: None, bytes } => self.set_aside(
                mark.number,
                WhyAside::UnnamedDelivery {
                    station: call.station.clone(),
                    freq_mhz: call.freq_mhz,
                    bytes: *bytes,
                },
            ),
            Outcome::NoAnswer | Outcome::Busy { .. } | Outcome::HeardButFailed | Outcome::Linked => {}
        }
    }

    fn session(&mut self, session: &Session, call: &Call, mark: Mark) {
        for part in &session.sent {
            self.send(part, call, mark);
        }
        for message in &session.received {
            let station = message.station.clone().or_else(|| Some(call.station.clone()));
            self.received(
                &Received {
                    station,
                    ..message.clone()
                },
                mark,
            );
        }
    }

    fn send(&mut self, part: &SentPart, call: &Call, mark: Mark) {
        if !self.drafts.send(part, (mark.at, &call.station, mark.number)) {
            self.set_aside(mark.number, WhyAside::UnknownMessage(part.message.clone()));
        }
    }

    fn received(&mut self, message: &Received, mark: Mark) {
        self.state.received.push(mark.noted(message.clone()));
    }

    /// A move takes antennas down; saying again where one is does not.
    fn moved(&mut self, spot: &Spot, mark: Mark) {
        let before = self.stay_at(mark.at);
        let same = before.as_ref().is_some_and(|s| s.spot == *spot);
        if same && before.as_ref().is_some_and(|s| !s.assumed()) {
            self.state.task = None;
            return;
        }
        if !same {
            self.hung.take_all_down();
        }
        self.moved = Some(Stay {
            spot: spot.clone(),
            site: site_of(self.planned, spot),
            since: mark.at,
            source: Source::Entry(mark.number),
        });
        self.hung.at(Some(spot));
        self.state.task = None;
    }

    /// The state at the end of what was taken.
    pub(crate) fn finish(mut self) -> DayState {
        let stay = self.stay_at(self.now);
        self.hung.at(stay.as_ref().map(|s| &s.spot));
        self.state.stay = stay;
        self.state.messages = self.drafts.finish(self.now);
        let site = self.state.site();
        let mut parts = self.planned.clone().into_parts();
        let index = |m: &&crate::message::MessageState| m.index.is_some();
        parts.messages = self
            .state
            .messages
            .iter()
            .filter(index)
            .map(|m| m.message.clone())
            .collect();
        if let Some(flux_sfu) = self.heard.flux_sfu {
            parts.conditions.activity = Some(Activity::Flux { flux_sfu });
        }
        if self.heard.k_index.is_some() {
            // What is heard on the way is newer than the series that was foretold.
            parts.conditions.k_by_day.clear();
            parts.conditions.k_by_three_hours.clear();
        }
        parts.conditions.k_index = self.heard.k_index.or(parts.conditions.k_index);
        parts.conditions.a_index = self.heard.a_index.or(parts.conditions.a_index);
        parts.conditions.fof2.append(&mut self.ionosondes);
        // What is written on the way can make no sound outing unsound; if it does, the outing as written is the better one.
        let told = Outing::new(parts).unwrap_or_else(|_| self.planned.clone());
        let (outing, hanging, mut flawed) = self.hung.finish(told, site);
        self.state.outing = outing;
        self.state.hanging = hanging;
        self.state.aside.append(&mut flawed);
        self.state
    }
}

/// The antenna that an entry says is in use.
fn named(event: &Event) -> Option<&String> {
    match event {
        Event::Called(call) => call.antenna.as_ref(),
        Event::Swr(swr) => swr.antenna.as_ref(),
        Event::PowerOut(power) => power.antenna.as_ref(),
        Event::TunerRefused(refused) => refused.antenna.as_ref(),
        _ => None,
    }
}

/// When, in which entry and where.
#[derive(Clone, Copy)]
struct Mark {
    at: UtcTime,
    number: u64,
    site: Option<usize>,
}

impl Mark {
    fn noted<T>(self, value: T) -> Noted<T> {
        Noted {
            value,
            at: self.at,
            entry: self.number,
            site: self.site,
        }
    }
}
