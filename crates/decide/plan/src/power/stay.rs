//! Where the operator is and what the day allows, in even slots.

use farhop_earth::{SunOfInstant, UtcTime};
use farhop_energy::solar::{SunAngle, SunTrack};
use farhop_num::maths;
use farhop_outing::{Outing, Site};

use crate::power::calls::Call;
use crate::power::habits::{ASLEEP_FROM_H, ASLEEP_UNTIL_H};
use crate::survey::stay;

/// Length of a slot, s.
pub(crate) const SLOT_S: i64 = 300;

/// What the operator does when nothing is called.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mode {
    /// Walking: everything is packed.
    Way,
    /// Asleep at a site.
    Asleep,
    /// Awake at a site, the set off: it is switched on for calls alone.
    Off,
    /// At a site, the set on and listening.
    Watch,
}

/// Where the operator is through the outing.
#[derive(Clone, Debug)]
pub struct Stay<'a> {
    outing: &'a Outing,
    slots: Vec<Option<usize>>,
    main: usize,
}

impl<'a> Stay<'a> {
    /// From the sites' times, the walks in, and the calls (in order of time).
    #[must_use]
    pub fn new(outing: &'a Outing, calls: &[Call]) -> Self {
        let length_s = outing.header.end.unix_s() - outing.header.start.unix_s();
        let count = (length_s + SLOT_S - 1).div_euclid(SLOT_S).max(1);
        let slots: Vec<Option<usize>> = (0..count).map(|k| site_at(outing, calls, k * SLOT_S)).collect();
        let hours = |site: usize| slots.iter().filter(|s| **s == Some(site)).count();
        let wanted = (0..outing.sites.len()).max_by_key(|&i| (hours(i), std::cmp::Reverse(i)));
        Self {
            main: wanted.unwrap_or(0),
            outing,
            slots,
        }
    }

    /// Number of slots.
    #[must_use]
    pub fn count(&self) -> usize {
        self.slots.len()
    }

    /// The site of a slot; none on the way.
    #[must_use]
    pub fn site(&self, slot: usize) -> Option<usize> {
        self.slots.get(slot).copied().flatten()
    }

    /// The site where most of the time is spent: its index.
    #[must_use]
    pub fn main(&self) -> usize {
        self.main
    }

    /// The site whose weather stands for a slot: where the operator is, or the main one.
    #[must_use]
    pub fn around(&self, slot: usize) -> Option<&'a Site> {
        self.outing.sites.get(self.site(slot).unwrap_or(self.main))
    }

    /// The start of a slot.
    #[must_use]
    pub fn time(&self, slot: usize) -> UtcTime {
        self.outing.header.start.add_s(slot as i64 * SLOT_S)
    }

    /// Hour of local mean solar time of a slot, h.
    #[must_use]
    pub(crate) fn solar_h(&self, slot: usize) -> f64 {
        let lon_deg = self.around(slot).map_or(0.0, |s| s.place.lon_deg());
        (self.time(slot).hour() + lon_deg / 15.0).rem_euclid(24.0)
    }

    /// What is done in a slot.
    #[must_use]
    pub fn mode(&self, slot: usize) -> Mode {
        if self.site(slot).is_none() {
            return Mode::Way;
        }
        let hour_h = self.solar_h(slot);
        let awake = (ASLEEP_UNTIL_H..ASLEEP_FROM_H).contains(&hour_h);
        let listen_h = self.outing.kit.transceiver.listen_h_per_day;
        match (listens(listen_h, hour_h, awake), awake) {
            (true, _) => Mode::Watch,
            (false, true) => Mode::Off,
            (false, false) => Mode::Asleep,
        }
    }

    /// Height of the sun in a slot, degrees above a flat horizon, without refraction.
    #[must_use]
    pub fn sun_elevation_deg(&self, slot: usize) -> f64 {
        self.around(slot).map_or(0.0, |site| {
            farhop_earth::sun_position(site.place, self.time(slot)).elevation_deg()
        })
    }

    /// Air temperature of a slot, °C: a daily cosine between the site's night and day value, warmest at 15 h and coldest at 3 h
    /// of local mean solar time (common practice).
    #[must_use]
    pub fn air_c(&self, slot: usize) -> f64 {
        self.around(slot).map_or(10.0, |site| {
            let phase = std::f64::consts::TAU * (self.solar_h(slot) - 15.0) / 24.0;
            let (day_c, night_c) = (site.temperature_c, site.night_temperature_c);
            0.5 * (day_c + night_c) + 0.5 * (day_c - night_c) * maths::cos(phase)
        })
    }

    /// Where the sun stands for the panels: below the horizon while they are packed.
    #[must_use]
    pub(crate) fn sun_track(&self) -> SunTrack {
        let packed = SunAngle {
            zenith_deg: 120.0,
            azimuth_deg: 0.0,
        };
        let angle = |slot: usize| {
            let site = self.site(slot.min(self.slots.len().saturating_sub(1)));
            site.and_then(|s| self.outing.sites.get(s)).map_or(packed, |site| {
                let sun = SunOfInstant::new(self.time(slot)).position(site.place);
                SunAngle {
                    // 1010 hPa and 10 °C for the refraction, as elsewhere.
                    zenith_deg: sun.apparent_zenith_deg(1_010.0, 10.0),
                    azimuth_deg: sun.azimuth_deg,
                }
            })
        };
        let day = f64::from(self.outing.header.start.day_of_year());
        SunTrack::from_angles(SLOT_S as f64, (0..=self.slots.len()).map(angle).collect(), day)
    }
}

/// Whether the set listens at an hour of local mean solar time, of `listen_h` hours a day: the first part of each waking hour, so that
/// whoever calls on the hour is heard; what the waking hours do not hold goes into the night (a judgement). More hours hold all that
/// fewer hold.
fn listens(listen_h: f64, hour_h: f64, awake: bool) -> bool {
    let waking_h = ASLEEP_FROM_H - ASLEEP_UNTIL_H;
    let share = if awake {
        listen_h / waking_h
    } else {
        (listen_h - waking_h) / (24.0 - waking_h)
    };
    // The small term keeps twelve slots of a twelfth from becoming thirteen.
    hour_h.fract() + 1e-6 < share
}

/// Where the operator is `time_s` after the start: at the site of the call, of the next one if it can be there, of the last one if
/// not, or on the way. Without calls at the first site that is no fallback.
fn site_at(outing: &Outing, calls: &[Call], time_s: i64) -> Option<usize> {
    let now_s = time_s as f64;
    if let Some(call) = calls.iter().find(|c| c.listen_s <= now_s && now_s < c.end_s) {
        return Some(call.site);
    }
    let now = outing.header.start.add_s(time_s);
    let open = |site: usize| {
        outing.sites.get(site).is_some_and(|s| {
            let (from, until) = stay(outing, s);
            from <= now && now < until
        })
    };
    let next = calls.iter().find(|c| c.listen_s > now_s).map(|c| c.site);
    let last = calls.iter().rev().find(|c| c.end_s <= now_s).map(|c| c.site);
    let called = next.into_iter().chain(last).find(|s| open(*s));
    if called.is_some() || (next.is_some() && last.is_none()) {
        return called;
    }
    let all_fallback = outing.sites.iter().all(|s| s.fallback);
    let wanted = |site: &usize| all_fallback || outing.sites.get(*site).is_some_and(|s| !s.fallback);
    (0..outing.sites.len()).filter(wanted).find(|s| open(*s))
}
