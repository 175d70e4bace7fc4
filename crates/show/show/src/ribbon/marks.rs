//! What stands in each row.

use std::collections::BTreeMap;

use farhop_earth::UtcTime;
use farhop_plan::Chance;
use farhop_plan::station_strip::{BestHour, StationStrip};

use super::axis::{Axis, LETTERS, Shape};
use super::rows::Row;
use super::{Came, Ribbon};
use crate::energy::EnergyReport;
use crate::sheet::{Anchor, CHANCE, HARM, INK, Letters, MUTED, SOFT, TINT, chance_step};

/// Half an hour, s: hours of the analysis are known by their middle.
const HALF_HOUR_S: i64 = 1_800;
/// Points of the charge line.
const CHARGE_POINTS: u32 = 40;
/// Below this a station has no chance worth a bar (dimensionless).
const NO_CHANCE: f64 = 0.005;

/// Room for a number beside a call, user units.
const NUMBER: f64 = 44.0;

/// The number of a cluster of calls, after the last of them; none where there is no room for it.
fn number(axis: &mut Axis, place: usize, cluster: Option<(f64, Chance)>, deadline: f64) {
    if let (Some((end, chance)), Shape::Wide) = (cluster, axis.shape) {
        // Not across the mark of the deadline.
        let from = if (end..end + NUMBER).contains(&deadline) {
            deadline
        } else {
            end
        };
        axis.words(
            from + 3.0,
            place,
            0.5,
            Letters::bare(LETTERS),
            &format!("{} %", chance.percent()),
        );
    }
}

/// The best of all stations in each hour.
fn best_of(stations: &[StationStrip]) -> StationStrip {
    let mut hours: BTreeMap<i64, BestHour> = BTreeMap::new();
    for hour in stations.iter().flat_map(|s| &s.hours) {
        let best = hours.entry(hour.at.unix_s()).or_insert_with(|| hour.clone());
        if hour.chance > best.chance {
            *best = hour.clone();
        }
    }
    StationStrip {
        station: usize::MAX,
        hours: hours.into_values().collect(),
    }
}

impl Ribbon<'_> {
    pub(super) fn draw(&self, axis: &mut Axis, place: usize, row: &Row, stations: &[StationStrip]) {
        match *row {
            Row::Message(message) => self.message(axis, place, message),
            Row::Charge => self.charge(axis, place),
            Row::Place => self.stays(axis, place),
            Row::AnyStation => self.station(axis, place, "any station", &best_of(stations)),
            Row::Station(index) => {
                if let (Some(station), Some(strip)) = (self.outing.stations.get(index), stations.get(index)) {
                    self.station(axis, place, &station.name, strip);
                }
            }
        }
    }

    fn message(&self, axis: &mut Axis, place: usize, index: usize) {
        let (Some(message), Some(plan)) = (self.outing.messages.get(index), self.plan.messages.get(index)) else {
            return;
        };
        let came = self.came.get(index).copied().unwrap_or(Came::Nothing);
        let what = match came {
            Came::Through(at) => format!("through {}", self.reader.hm(at)),
            Came::Late => "deadline passed".to_owned(),
            Came::Nothing if plan.sends.is_empty() => "no call".to_owned(),
            Came::Nothing => plan.chance.chance.to_string(),
        };
        axis.name(place, message.id.as_str(), &what);
        let (ready, deadline) = (
            axis.at(message.ready.unwrap_or(self.outing.header.start)),
            axis.at(message.deadline),
        );
        axis.frame((ready, deadline), place, (0.38, 0.62), SOFT);
        if axis.holds(message.deadline) {
            let (a, b) = (axis.point(deadline, place, 0.0), axis.point(deadline, place, 1.0));
            axis.sheet.line(a, b, if came == Came::Late { HARM } else { INK }, 2.4);
        }
        // Calls close together carry one number, that of the best of them.
        let mut cluster: Option<(f64, Chance)> = None;
        let sends = plan.sends.iter().filter_map(|s| self.plan.sends.get(*s));
        for send in sends {
            if !axis.holds(send.start) {
                continue;
            }
            let chance = send
                .messages
                .iter()
                .find(|m| m.message == index)
                .map_or(Chance::NONE, |m| m.chance);
            let from = axis.at(send.start);
            let until = axis.at(send.end).max(from + 7.0);
            let shade = CHANCE[chance_step(chance.probability())];
            axis.block((from, until), place, (0.12, 0.88), shade);
            axis.frame((from, until), place, (0.12, 0.88), INK);
            cluster = match cluster {
                Some((end, best)) if from < end + NUMBER => Some((until, if chance > best { chance } else { best })),
                done => {
                    number(axis, place, done, deadline);
                    Some((until, chance))
                }
            };
        }
        number(axis, place, cluster, deadline);
        if let Came::Through(at) = came
            && axis.holds(at)
        {
            let spot = axis.point(axis.at(at), place, 0.5);
            axis.sheet.dot(spot, 6.0, INK);
        }
    }

    fn charge(&self, axis: &mut Axis, place: usize) {
        let Ok(forecast) = &self.plan.energy else { return };
        let end = forecast.end_share();
        axis.name(place, "charge", &format!("{:.0} % at the end", 100.0 * end.p50));
        let duration_s = forecast.input().duration_s;
        let times = (0..=CHARGE_POINTS).map(|k| duration_s * f64::from(k) / f64::from(CHARGE_POINTS));
        let times: Vec<f64> = times.filter(|s| axis.holds(forecast.at(*s))).collect();
        let line = |axis: &Axis, of: fn(&farhop_plan::power::Spread3) -> f64| -> Vec<(f64, f64)> {
            let one = |s: &f64| {
                axis.point(
                    axis.at(forecast.at(*s)),
                    place,
                    of(&forecast.share_at(*s)).clamp(0.0, 1.0),
                )
            };
            times.iter().map(one).collect()
        };
        let mut band = line(axis, |s| s.p10);
        band.extend(line(axis, |s| s.p90).into_iter().rev());
        axis.sheet.shape(&band, CHANCE[2]);
        let middle = line(axis, |s| s.p50);
        axis.sheet.stroke(&middle, TINT, 2.2);
        if let (Some(first), Some(last)) = (times.first(), times.last()) {
            let (a, b) = (axis.at(forecast.at(*first)), axis.at(forecast.at(*last)));
            let report = EnergyReport {
                outing: self.outing,
                forecast,
                reader: self.reader.clone(),
                defaults: Vec::new(),
            };
            let reserve = report.reserve_charge().clamp(0.0, 1.0);
            let (from, to) = (axis.point(a, place, reserve), axis.point(b, place, reserve));
            axis.sheet.dashed(from, to, INK, 1.2);
            if axis.shape == Shape::Wide {
                let letters = Letters::bare(12.0).in_colour(MUTED).at(Anchor::End);
                axis.sheet.text((from.0 - 4.0, from.1 + 4.0), letters, "reserve");
            }
        }
        if let Some(dry) = self.dry_at() {
            let along = axis.at(dry);
            let (a, b) = (axis.point(along, place, 0.0), axis.point(along, place, 1.0));
            axis.sheet.line(a, b, HARM, 2.0);
            axis.words(
                along + 4.0,
                place,
                0.5,
                Letters::bare(LETTERS).in_colour(HARM),
                "may be empty",
            );
        }
    }

    /// When half of the cases that run dry are dry, where that is more than very unlikely.
    fn dry_at(&self) -> Option<UtcTime> {
        let forecast = self.plan.energy.as_ref().ok()?;
        let (chance, when) = forecast.dry();
        (chance >= 0.1).then(|| forecast.at(when.p50))
    }

    fn stays(&self, axis: &mut Axis, place: usize) {
        axis.name(place, "place", "");
        for stay in &self.plan.stays {
            let Some(site) = self.outing.sites.get(stay.site) else {
                continue;
            };
            let (from, until) = (axis.at(stay.from), axis.at(stay.until));
            if until - from < 2.0 {
                continue;
            }
            axis.frame((from + 1.0, until - 1.0), place, (0.05, 0.95), TINT);
            let letters = ((until - from) / 7.0) as usize;
            if axis.shape == Shape::Wide && letters > 3 {
                let name: String = site.name.chars().take(letters).collect();
                axis.words(from + 6.0, place, 0.5, Letters::bare(LETTERS), &name);
            }
        }
    }

    fn station(&self, axis: &mut Axis, place: usize, name: &str, strip: &StationStrip) {
        let best = strip.hours.iter().map(|h| h.chance.probability()).fold(0.0, f64::max);
        let most = if strip.hours.is_empty() {
            "no hour from there".to_owned()
        } else if best < NO_CHANCE {
            "no chance with this kit".to_owned()
        } else {
            format!("best {} %", Chance::new(best).percent())
        };
        axis.name(place, name, &most);
        self.closed(axis, place, strip);
        let mut shown: Vec<&BestHour> = strip.hours.iter().filter(|h| axis.holds(h.at)).collect();
        for hour in &shown {
            let (from, until) = (
                axis.at(hour.at.add_s(-HALF_HOUR_S)),
                axis.at(hour.at.add_s(HALF_HOUR_S)),
            );
            let p = hour.chance.probability();
            axis.block(
                (from + 0.6, until - 0.6),
                place,
                (0.0, p.max(0.02) * 0.72),
                CHANCE[chance_step(p)],
            );
        }
        // The best hours of each day carry their number, as far as numbers do not touch.
        shown.sort_by(|a, b| b.chance.probability().total_cmp(&a.chance.probability()));
        let apart = if axis.shape == Shape::Wide { 34.0 } else { 20.0 };
        let mut written: Vec<f64> = Vec::new();
        for hour in shown.into_iter().filter(|h| h.chance.probability() >= 0.05) {
            let along = axis.at(hour.at);
            if written.iter().any(|w| (w - along).abs() < apart) {
                continue;
            }
            let (x, y) = axis.point(along, place, hour.chance.probability() * 0.72);
            let (anchor, spot) = match axis.shape {
                Shape::Wide => (Anchor::Middle, (x, y - 3.0)),
                Shape::Tall => (Anchor::Start, (x + 3.0, y + 4.5)),
            };
            axis.sheet
                .text(spot, Letters::bare(12.0).at(anchor), &hour.chance.percent().to_string());
            written.push(along);
        }
    }

    /// Hours in which nobody is at a site, or the station is closed.
    fn closed(&self, axis: &mut Axis, place: usize, strip: &StationStrip) {
        let (from, until) = self.span();
        let mut at = from;
        let mut begun: Option<UtcTime> = None;
        while at < until {
            let next = at.add_s(3_600).min(until);
            let open = strip.hours.iter().any(|h| (at..next).contains(&h.at));
            match (open, begun) {
                (false, None) => begun = Some(at),
                (true, Some(start)) => {
                    axis.hatch((axis.at(start), axis.at(at)), place);
                    begun = None;
                }
                _ => {}
            }
            at = next;
        }
        if let Some(start) = begun {
            axis.hatch((axis.at(start), axis.at(until)), place);
        }
    }
}
