//! The analysis of an outing: one set of days, one schedule, and every chance as a sum over them.

mod charge;
mod making;
mod whole;

use crate::error::PlanError;
use std::collections::HashMap;

use farhop_days::{Axes, DrawAsk, DrawnDays, Response, Route, WeighedDays};
use farhop_earth::UtcTime;
use farhop_outing::Outing;

use making::Making;
pub(crate) use whole::tables;
pub use whole::{Part, analyse, plan};

use crate::book::AntennaBook;
use crate::chance::Chance;
use crate::faults::fault_priors;
use crate::hours::{HourChance, hour_chances};
use crate::itinerary::Stay;
use crate::power::EnergyForecast;
use crate::readiness::KitAnalysis;
use crate::safety::BandSafety;
use crate::schedule::{Factor, MessageChance, Pending, PlaceOrder, Send};
use crate::setting::Setting;
use crate::station_strip::StationStrip;
use crate::strip::{Cell, Strip};
use crate::survey::{DrawnPair, LeftOut, drawn_pair};
use crate::tables::{LinkPlan, LinkTables, NoTables};

/// Days that a plan is made with at first.
pub const DAYS: usize = 1_024;
/// Most days: the headline has settled long before.
const MOST_DAYS: usize = 4_096;
/// Most numbers that days may take, 48 MB: with what is thinned out of them and the routes, a month with many stations stays below
/// 300 MB.
const MOST_NUMBERS: usize = 12 << 20;
/// Fewest days, however long the outing.
const FEWEST_DAYS: usize = 256;
/// The headline may differ by so much (dimensionless) between two disjoint halves of the days.
const SETTLED: f64 = 0.01;
/// Seed of the days: the same outing gives the same plan.
pub const SEED: u64 = 2_026;

/// Most days for axes: what the memory holds.
fn most_days(axes: &Axes) -> usize {
    let holds = MOST_NUMBERS / (DrawnDays::numbers_an_hour(axes) * axes.hours).max(1);
    let mut most = MOST_DAYS;
    while most > holds && most > FEWEST_DAYS {
        most /= 2;
    }
    most
}

/// That memory kept more days from being drawn, and what that costs: how far two halves of them are apart (dimensionless chance).
fn coarser(count: usize, most: usize, apart: f64) -> Option<LeftOut> {
    let short = most < MOST_DAYS && count >= most && (count < DAYS || apart >= SETTLED);
    short.then(|| LeftOut {
        what: "a finer answer".to_owned(),
        why: format!(
            "so many hours and stations leave memory for {count} drawn days; two halves of them are {:.1} points apart. \
             A shorter outing, or fewer stations, is told finer",
            100.0 * apart
        ),
    })
}

/// One message under the schedule.
#[derive(Clone, Debug, PartialEq)]
pub struct MessagePlan {
    /// Index in the outing.
    pub message: usize,
    /// Its chance by its deadline, and what costs it.
    pub chance: MessageChance,
    /// Its sends in order of time: indices into [`Analysis::sends`].
    pub sends: Vec<usize>,
    /// The order to try at each place where it can be sent.
    pub orders: Vec<PlaceOrder>,
    /// Why it has no send, in words.
    pub none_because: Option<String>,
}

/// The bottom line: the message that is due first among the most urgent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BottomLine {
    /// Index of the message in the outing.
    pub message: usize,
    /// Its chance, and what costs it.
    pub chance: MessageChance,
    /// Chance that every message is through by its deadline.
    pub all: Chance,
    /// How far two disjoint halves of the days are apart in the chance of the message (dimensionless).
    pub halves_apart: f64,
}

impl BottomLine {
    /// The factor that costs most.
    #[must_use]
    pub fn worst(&self) -> Factor {
        self.chance.worst()
    }
}

/// Another place to stay at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elsewhere {
    /// Index of the site.
    pub site: usize,
    /// When one can be on the air there.
    pub from: UtcTime,
    /// Chance of the bottom line's message from there.
    pub chance: Chance,
    /// What it changes of the messages' worth (dimensionless).
    pub change: f64,
}

/// An analysis with its working.
#[derive(Clone, Debug)]
pub struct Analysis {
    /// The sky it rests on.
    pub setting: Setting,
    /// The days.
    pub days: WeighedDays,
    /// Where one is when.
    pub stays: Vec<Stay>,
    /// The antenna that hangs in each stay (index into the kit), if any serves.
    pub antennas: Vec<Option<usize>>,
    /// The schedule, in order of time.
    pub sends: Vec<Send>,
    /// Each message, in the order of the outing.
    pub messages: Vec<MessagePlan>,
    /// The bottom line; none without messages.
    pub bottom: Option<BottomLine>,
    /// The other places, and what they would change.
    pub elsewhere: Vec<Elsewhere>,
    /// Charge through the outing under the schedule.
    pub energy: Result<EnergyForecast, PlanError>,
    /// Every route in every hour: chance of the bottom line's message, and of a link.
    pub hours: Vec<HourChance>,
    /// Every route in every hour, as functions of the day.
    pub responses: Vec<Response>,
    /// The links.
    pub tables: LinkTables,
    /// The working of every route in every hour; empty where only the answer was asked for.
    pub strips: Vec<Strip>,
    /// One line a station: its best route in each hour.
    pub station_strips: Vec<StationStrip>,
    /// Who must keep how far from the antennas of the schedule; empty until somebody has the near fields computed.
    pub safety: Vec<BandSafety>,
    /// What the outing hangs on; an error in words where it cannot be worked out, or nobody has asked.
    pub kit: Result<KitAnalysis, PlanError>,
    /// What could not be computed.
    pub left_out: Vec<LeftOut>,
}

/// What an analysis is made from besides the outing.
pub struct AnalysisParts {
    /// The sky.
    pub setting: Setting,
    /// The axes of the days.
    pub axes: Axes,
    /// Every route in every hour, as functions of the day.
    pub responses: Vec<Response>,
    /// The working of the same routes and hours; may be empty where only the answer is asked for.
    pub strips: Vec<Strip>,
    /// What could not be computed.
    pub left_out: Vec<LeftOut>,
    /// The links.
    pub tables: LinkTables,
    /// The only site that is asked about (index): one is there all the time, whatever the outing says of other sites.
    pub only_site: Option<usize>,
}

impl Analysis {
    /// The analysis that follows.
    #[must_use]
    pub fn new(outing: &Outing, parts: AnalysisParts) -> Self {
        let most = most_days(&parts.axes);
        let mut count = DAYS.min(most);
        let mut places = None;
        loop {
            let days = WeighedDays::prior(DrawnDays::new(&parts.axes, &DrawAsk::of(count, SEED)));
            let making = Making::new(outing, &parts, &days);
            let at = places.get_or_insert_with(|| making.places());
            // Too few days show before the charge is looked at, which costs most of the time.
            let enough = if count >= most { f64::INFINITY } else { SETTLED };
            if let Some(made) = making.make(at, enough) {
                let mut whole = made.whole(outing, parts, days);
                let apart = whole.bottom.map_or(0.0, |b| b.halves_apart);
                whole.left_out.extend(coarser(count, most, apart));
                return whole;
            }
            count *= 2;
        }
    }

    /// The analysis with its working, pair after pair in one thread, with nothing kept from before.
    ///
    /// # Errors
    /// As of [`Setting::new`], in words.
    pub fn in_turn(outing: &Outing, book: &dyn AntennaBook) -> Result<Self, PlanError> {
        let setting = Setting::new(outing)?;
        let axes = Axes::of(outing, fault_priors(outing));
        let mut whole = DrawnPair::default();
        for site in 0..outing.sites.len() {
            for station in 0..outing.stations.len() {
                let pair = drawn_pair(outing, &setting, book, (&axes, true), (site, station));
                whole.responses.extend(pair.responses);
                whole.strips.extend(pair.strips);
                whole.left_out.extend(pair.left_out);
            }
        }
        let links = LinkPlan::of(outing, &setting);
        let made = links.work.iter().map(|work| work.table(&NoTables)).collect();
        let parts = AnalysisParts {
            tables: links.with(made),
            only_site: None,
            setting,
            axes,
            responses: whole.responses,
            strips: whole.strips,
            left_out: whole.left_out,
        };
        Ok(Self::new(outing, parts))
    }

    /// The send that comes first of all.
    #[must_use]
    pub fn first_send(&self) -> Option<&Send> {
        self.sends.first()
    }

    /// The first send of a message.
    #[must_use]
    pub fn first_send_of(&self, message: usize) -> Option<&Send> {
        self.sends_of(message).next()
    }

    /// The chance (one session begun in each hour) of any message of the outing, by route and middle of the hour.
    #[must_use]
    pub fn hours_of(&self, outing: &Outing, message: usize) -> HashMap<(Route, i64), Chance> {
        let pending = Pending::all(outing, outing.header.start);
        let of = pending.iter().find(|p| p.message == message);
        let known = of.filter(|_| self.bottom.is_none_or(|b| b.message != message));
        let keyed = |h: &HourChance| ((h.route, h.at.unix_s()), h.message);
        match known {
            Some(of) => hour_chances(&self.responses, &self.days, &self.tables, Some(of))
                .iter()
                .map(keyed)
                .collect(),
            None => self.hours.iter().map(keyed).collect(),
        }
    }

    /// The working of a route.
    #[must_use]
    pub fn strip_of(&self, route: &Route) -> Option<&Strip> {
        self.strips.iter().find(|s| s.route == *route)
    }

    /// The working of the hour in which a call on a route begins: the one whose middle is nearest.
    #[must_use]
    pub fn cell_at(&self, route: &Route, at: UtcTime) -> Option<&Cell> {
        let away_s = |c: &&Cell| (c.at.unix_s() - at.unix_s()).abs();
        self.strip_of(route)?.cells.iter().min_by_key(away_s)
    }

    /// All routes that the schedule and the orders to try use; one may come more than once.
    pub fn routes(&self) -> impl Iterator<Item = Route> {
        let orders = self.messages.iter().flat_map(|m| &m.orders);
        let tried = orders.flat_map(|o| o.entries.iter().map(|e| e.route));
        self.sends.iter().map(|s| s.route).chain(tried)
    }

    /// The sends of a message in order of time.
    pub fn sends_of(&self, message: usize) -> impl Iterator<Item = &Send> {
        let list = self.messages.iter().find(|m| m.message == message);
        list.into_iter()
            .flat_map(|m| m.sends.iter().filter_map(|i| self.sends.get(*i)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo::demo;

    #[test]
    fn a_long_outing_draws_as_many_days_as_memory_holds_and_says_so() {
        let axes = |days: i64| {
            let mut parts = demo().into_parts();
            parts.header.end = parts.header.start.add_s(86_400 * days);
            parts.messages.clear();
            parts.sites.iter_mut().for_each(|s| (s.from, s.until) = (None, None));
            let outing = Outing::new(parts).unwrap();
            Axes::of(&outing, fault_priors(&outing))
        };
        assert_eq!(most_days(&axes(2)), MOST_DAYS);
        assert_eq!(coarser(DAYS, MOST_DAYS, 0.5), None);
        let month = axes(30);
        let most = most_days(&month);
        assert!((FEWEST_DAYS..MOST_DAYS).contains(&most), "{most}");
        assert!(most * DrawnDays::numbers_an_hour(&month) * month.hours <= MOST_NUMBERS);
        let told = coarser(most, most, 0.022).unwrap();
        assert!(
            told.why.contains(&format!("{most} drawn days")) && told.why.contains("2.2 points"),
            "{told:?}"
        );
        // As many days as usual, and settled: nothing is lost.
        assert_eq!(coarser(DAYS, DAYS, 0.0), None);
        assert!(coarser(DAYS, DAYS, 2.0 * SETTLED).is_some());
    }

    #[test]
    fn the_hours_and_sends_of_a_message_are_its_own() {
        let outing = demo();
        let made = Analysis::in_turn(&outing, &crate::declared_book::DeclaredBook).unwrap();
        assert_eq!(
            made.first_send().map(|s| s.start),
            made.sends.iter().map(|s| s.start).min()
        );
        let lead = made.bottom.unwrap().message;
        assert!(made.first_send_of(lead).is_some());
        // The message of the bottom line has the hours that the plan shows; another its own: to one station only, here.
        let of = |id: &str| outing.messages.iter().position(|m| m.id.as_str() == id).unwrap();
        let (arrived, weather) = (
            made.hours_of(&outing, of("arrived")),
            made.hours_of(&outing, of("weather-request")),
        );
        assert_eq!(
            (of("arrived"), arrived.len(), weather.len()),
            (lead, made.hours.len(), made.hours.len())
        );
        for hour in &made.hours {
            assert_eq!(arrived[&(hour.route, hour.at.unix_s())], hour.message);
        }
        let takes = |route: &Route| outing.stations[route.station].id.as_str() == "larch";
        let possible = |(key, chance): &(&(Route, i64), &Chance)| chance.probability() > 0.0 && !takes(&key.0);
        assert_eq!(weather.iter().filter(possible).count(), 0);
        assert!(weather.values().any(|c| c.probability() > 0.05));
        assert!(arrived.iter().any(|hour| possible(&hour)));
    }

    #[test]
    fn why_a_message_is_not_sent_is_told() {
        let told = |change: &dyn Fn(&mut farhop_outing::OutingParts)| {
            let mut parts = demo().into_parts();
            parts.messages.truncate(1);
            change(&mut parts);
            let outing = Outing::new(parts).unwrap();
            let made = Analysis::in_turn(&outing, &crate::declared_book::DeclaredBook).unwrap();
            made.messages[0].none_because.clone()
        };
        assert_eq!(told(&|_| ()), None);
        let silent = told(&|parts| {
            for channel in parts.stations.iter_mut().flat_map(|s| &mut s.channels) {
                // Ten minutes a day, when nobody is up: 13:00 UTC is two in the morning.
                let span = farhop_outing::MinuteSpan::parse("13:00-13:10").unwrap();
                channel.hours_utc = farhop_outing::DailyHours::new(vec![span]);
            }
            parts.messages[0].deadline = parts.header.start.add_s(8 * 3_600);
        });
        assert_eq!(
            silent.as_deref(),
            Some("no station that may take it listens between ready and deadline")
        );
        let nobody = told(&|parts| {
            let early = parts.header.start.add_s(1_800);
            parts.messages[0].deadline = early;
        });
        assert_eq!(
            nobody.as_deref(),
            Some("nobody is at a site between the time when it is ready and its deadline")
        );
    }
}
