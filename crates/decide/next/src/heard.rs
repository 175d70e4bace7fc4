//! What the journal teaches about stations as shared machines: on how many of the days they were on, how often they were busy.

use std::collections::{BTreeMap, BTreeSet};

use farhop_day::{Event, HeardWho, Outcome, Standing};
use farhop_earth::UtcTime;
use farhop_outing::{LearnedStation, Outing, Station};

/// Chance (dimensionless) that a call to a station that is on gets some sign of life, on a day on which others answer (judgement: about
/// as often as not).
const ANSWERS: f64 = 0.5;

/// One calendar day of one station.
#[derive(Clone, Copy, Debug, Default)]
struct DayOfStation {
    /// It gave a sign of life: an answer, its signal, work with somebody else.
    alive: bool,
    /// It is known to be off: somebody said so.
    off: bool,
    /// Calls without an answer.
    silent: i32,
    /// Calls of which it is known whether it was busy, and those in which it was.
    calls: u32,
    busy: u32,
}

/// What the entries say about each station, with what earlier outings had.
///
/// A day with any sign of life is a day on which the station was on. A day of silence counts in part: by Bayes' rule with the file's
/// `off_chance` before and a silence for each call that a station that is on leaves by chance. A day on which nobody at all gave a sign of
/// life says nothing about stations: the own station or the sky may be at fault.
#[must_use]
pub fn heard(outing: &Outing, entries: &[Standing]) -> Vec<LearnedStation> {
    let days = days(outing, entries);
    let lively: BTreeSet<i64> = days.iter().filter(|(_, d)| d.alive).map(|((_, day), _)| *day).collect();
    let earlier = outing.conditions.learned.as_ref().map_or(&[][..], |l| &l.stations);
    let one = |(number, station): (usize, &Station)| {
        let known = earlier.iter().find(|l| l.station == station.id);
        let mut sum = known
            .cloned()
            .unwrap_or_else(|| LearnedStation::nothing(station.id.clone()));
        for ((_, date), day) in days.range((number, i64::MIN)..=(number, i64::MAX)) {
            sum.calls += day.calls;
            sum.busy += day.busy;
            if !day.alive && !day.off && !lively.contains(date) {
                continue;
            }
            sum.days += 1.0;
            sum.on_days += if day.alive {
                1.0
            } else if day.off {
                0.0
            } else {
                let silence = (1.0 - ANSWERS).powi(day.silent) * (1.0 - station.off_chance);
                silence / (silence + station.off_chance).max(1e-9)
            };
        }
        (sum.days > 0.0).then_some(sum)
    };
    outing.stations.iter().enumerate().filter_map(one).collect()
}

/// The days of each station (its index) by their number in mean solar time at the first site, as off and on are drawn.
fn days(outing: &Outing, entries: &[Standing]) -> BTreeMap<(usize, i64), DayOfStation> {
    let lon_deg = outing.sites.first().map_or(0.0, |s| s.place.lon_deg());
    let date_of = |at: UtcTime| (at.unix_s() + (240.0 * lon_deg) as i64).div_euclid(86_400);
    let index = |id: &str| outing.stations.iter().position(|s| s.id.as_str() == id);
    let mut days: BTreeMap<(usize, i64), DayOfStation> = BTreeMap::new();
    for entry in entries {
        let Some((station, sign)) = sign(&entry.account.event).and_then(|(id, sign)| Some((index(id)?, sign))) else {
            continue;
        };
        let day = days.entry((station, date_of(entry.account.at))).or_default();
        match sign {
            Sign::Answer => {
                day.alive = true;
                day.calls += 1;
            }
            Sign::Busy => {
                day.alive = true;
                day.calls += 1;
                day.busy += 1;
            }
            Sign::Signal => day.alive = true,
            Sign::Off => day.off = true,
            Sign::Silence => day.silent += 1,
        }
    }
    days
}

/// What an entry says about a station.
enum Sign {
    Answer,
    Busy,
    Signal,
    Off,
    Silence,
}

fn sign(event: &Event) -> Option<(&str, Sign)> {
    match event {
        Event::Called(call) => {
            let sign = match &call.outcome {
                Outcome::NoAnswer => Sign::Silence,
                // Somebody else on the channel says nothing about the station.
                Outcome::Busy {
                    what: Some(farhop_day::BusyWhat::Channel),
                } => return None,
                Outcome::Busy { .. } => Sign::Busy,
                Outcome::HeardButFailed => Sign::Signal,
                Outcome::Linked | Outcome::Session(_) | Outcome::Delivered { .. } => Sign::Answer,
            };
            Some((&call.station, sign))
        }
        Event::Heard(heard) => match &heard.who {
            HeardWho::Station(id) => Some((id, Sign::Signal)),
            _ => None,
        },
        Event::StationOff(off) => Some((&off.station, Sign::Off)),
        _ => None,
    }
}

/// The head of a learned file where the day taught nothing about the own station: what earlier outings taught stays.
#[must_use]
pub fn head(outing: &Outing) -> String {
    let mut text = "# Learned by `farhop debrief`: name this file under [learned].\n".to_owned();
    let nothing = farhop_outing::Learned::default();
    let earlier = outing.conditions.learned.as_ref().unwrap_or(&nothing);
    text += &format!("calls = {}\n", earlier.calls);
    let pairs = [
        ("own_station_db", earlier.own_station_db),
        ("fof2_ratio", earlier.fof2_ratio),
        ("absorption_ratio", earlier.absorption_ratio),
    ];
    for (key, spread) in pairs {
        if let Some(of) = spread {
            text += &format!("{key} = [{}, {}]\n", of.value_own_unit, of.sd_own_unit);
        }
    }
    let noise = earlier.noise.iter().map(|n| {
        let of = n.offset_db;
        format!(
            "    {{ mhz = {}, offset_db = [{}, {}] }},\n",
            n.freq_mhz, of.value_own_unit, of.sd_own_unit
        )
    });
    let noise: String = noise.collect();
    if !noise.is_empty() {
        text += &format!("noise = [\n{noise}]\n");
    }
    text
}

/// The rows of a learned file, as TOML; empty where nothing is known.
#[must_use]
pub fn rows(stations: &[LearnedStation]) -> String {
    if stations.is_empty() {
        return String::new();
    }
    let row = |s: &LearnedStation| {
        format!(
            "    {{ id = \"{}\", days = {}, on_days = {:.2}, calls = {}, busy = {} }},\n",
            s.station, s.days, s.on_days, s.calls, s.busy
        )
    };
    let rows: String = stations.iter().map(row).collect();
    format!(
        "# Days on which a station was called or heard and those on which it was on; calls that it answered or was busy in.\nstation = [\n{rows}]\n"
    )
}

/// The rows of a learned file about the length of sessions, with what earlier outings had; empty where no session had its minutes.
/// `ratios` are logged over forecast minutes (dimensionless).
#[must_use]
pub fn session_rows(outing: &Outing, ratios: &[f64]) -> String {
    let earlier = outing.conditions.learned.as_ref();
    let known = earlier.and_then(|l| Some((l.session_factor?, l.sessions)));
    let Some((factor, sessions)) = farhop_days::pace::session_factor(ratios, known) else {
        return String::new();
    };
    format!(
        "# Minutes of own sessions over those of the forecast, and the sessions on which that rests.\nsession_factor = {factor:.2}\n\
         sessions = {sessions}\n"
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use farhop_day::{Account, Call, EntryKey};
    use farhop_store::open::open;

    fn entry(number: u64, day: i64, station: &str, outcome: Outcome) -> Standing {
        // Noon of the demo's first day by its own sun, and so many days later.
        let at = UtcTime::parse("2026-12-12T00:40:00Z")
            .unwrap()
            .add_s(86_400 * day + 60 * number as i64);
        let call = Call {
            station: station.to_owned(),
            freq_mhz: 5.356,
            antenna: None,
            power_w: None,
            minutes: Some(4.0),
            snr_db: None,
            outcome,
        };
        Standing {
            number,
            key: EntryKey::new(&format!("k{number}")).unwrap(),
            entered_at: at,
            corrected_by: None,
            account: Account {
                at,
                place: None,
                who: None,
                event: Event::Called(call),
            },
        }
    }

    fn larch(entries: &[Standing]) -> Option<LearnedStation> {
        let outing = open(Some(&farhop_vectors::kind_day())).unwrap().outing;
        heard(&outing, entries)
            .into_iter()
            .find(|l| l.station.as_str() == "larch")
    }

    #[test]
    fn your_log_says_on_how_many_days_a_station_was_on_and_how_often_busy() {
        let mut entries: Vec<Standing> = (0..7)
            .map(|d| entry(d as u64 + 1, d, "larch", Outcome::Linked))
            .collect();
        entries.push(entry(20, 3, "larch", Outcome::Busy { what: None }));
        for day in 7..9 {
            entries.push(entry(30 + day as u64, day, "alder", Outcome::Linked));
            for call in 0..12 {
                entries.push(entry(40 + 20 * day as u64 + call, day, "larch", Outcome::NoAnswer));
            }
        }
        let of = larch(&entries).unwrap();
        assert_eq!((of.days, of.calls, of.busy), (9.0, 8, 1));
        // Twelve silent calls while others answer leave little doubt.
        assert!((of.on_days - 7.0).abs() < 0.05, "{}", of.on_days);
        assert_eq!(
            of.words(),
            "your log says: on the air 7 of 9 days, busy in 1 of 8 calls"
        );
    }

    #[test]
    fn a_day_on_which_nobody_answers_teaches_nothing_about_stations() {
        let silent: Vec<Standing> = (1..9).map(|k| entry(k, 0, "larch", Outcome::NoAnswer)).collect();
        assert!(larch(&silent).is_none());
    }

    #[test]
    fn what_is_kept_is_read_back_added_to_and_moves_the_chances() {
        let outing = open(Some(&farhop_vectors::kind_day())).unwrap().outing;
        let entries: Vec<Standing> = (0..6)
            .map(|d| entry(d as u64 + 1, d, "larch", Outcome::Linked))
            .collect();
        let first = heard(&outing, &entries);
        let mut parts = outing.clone().into_parts();
        parts.conditions.learned = Some(farhop_outing::Learned {
            stations: first.clone(),
            ..farhop_outing::Learned::default()
        });
        let later = Outing::new(parts).unwrap();
        let both = heard(&later, &entries);
        assert!((both[0].days - 2.0 * first[0].days).abs() < 1e-12);
        assert!(rows(&both).contains("{ id = \"larch\", days = 12, on_days = 12.00, calls = 12, busy = 0 }"));
        // What earlier outings taught about the own station is not lost with a day that teaches nothing about it.
        let mut parts = later.clone().into_parts();
        let learned = parts.conditions.learned.as_mut().unwrap();
        (learned.calls, learned.own_station_db) = (
            12,
            Some(farhop_outing::Spread {
                value_own_unit: -1.5,
                sd_own_unit: 2.0,
            }),
        );
        let text = head(&Outing::new(parts).unwrap());
        assert!(text.contains("calls = 12\nown_station_db = [-1.5, 2]\n"), "{text}");
        let number = outing.stations.iter().position(|s| s.id.as_str() == "larch").unwrap();
        let off = |o: &Outing| farhop_days::Axes::of(o, farhop_days::FaultPriors::default()).stations[number].off;
        assert!(off(&later) < off(&outing), "{} {}", off(&later), off(&outing));
        assert!((off(&outing) - outing.stations[number].off_chance).abs() < 1e-12);
    }
}
