//! Which antennas hang, with which measures, while the day is gone through.

use farhop_earth::UtcTime;
use farhop_outing::{Outing, OutingParts, Severity};

use crate::aside::{SetAside, WhyAside};
use crate::event::Spot;
use crate::hang::{AntennaHung, Measures};
use crate::measured::measured;
use crate::state::Hanging;

/// An antenna that hangs.
struct One {
    id: String,
    how: String,
    measures: Measures,
    since: UtcTime,
    entry: u64,
    /// The entry that gave measures last.
    measured_by: u64,
}

/// The antennas that hang, the one spoken of last at the end.
#[derive(Default)]
pub(crate) struct Hung {
    list: Vec<One>,
    spot: Option<Spot>,
}

impl Hung {
    /// One is at a place: what hung at another hangs no more. So it is also when the plan has moved on.
    pub(crate) fn at(&mut self, spot: Option<&Spot>) {
        if self.spot.is_some() && self.spot.as_ref() != spot {
            self.take_all_down();
        }
        self.spot = spot.cloned();
    }

    pub(crate) fn take_all_down(&mut self) {
        self.list.clear();
    }

    pub(crate) fn down(&mut self, id: &str) {
        self.list.retain(|o| o.id != id);
    }

    pub(crate) fn up(&mut self, up: &AntennaHung, at: UtcTime, entry: u64) {
        let known = self.take(&up.antenna);
        let (since, earlier, mut how) = match known {
            Some(known) => (known.since, known.measures, known.how),
            None => (at, Measures::default(), String::new()),
        };
        if !up.how.is_empty() {
            how.clone_from(&up.how);
        }
        self.list.push(One {
            id: up.antenna.clone(),
            how,
            measures: up.measures.or(earlier),
            since,
            entry,
            measured_by: entry,
        });
    }

    pub(crate) fn in_use(&mut self, id: &str, at: UtcTime, entry: u64) {
        let one = self.take(id).unwrap_or_else(|| One {
            id: id.to_owned(),
            how: String::new(),
            measures: Measures::default(),
            since: at,
            entry,
            measured_by: entry,
        });
        self.list.push(One { entry, ..one });
    }

    fn take(&mut self, id: &str) -> Option<One> {
        let index = self.list.iter().position(|o| o.id == id)?;
        Some(self.list.remove(index))
    }

    pub(crate) fn newest(&self) -> Option<String> {
        self.list.last().map(|o| o.id.clone())
    }

    /// The outing with the antennas as they hang at a site, the antennas, and the entries whose measures cannot be.
    pub(crate) fn finish(self, outing: Outing, site: Option<usize>) -> (Outing, Vec<Hanging>, Vec<SetAside>) {
        let mut outing = outing;
        let mut hanging = Vec::new();
        let mut flawed = Vec::new();
        for one in self.list.into_iter().rev() {
            let planned = site
                .and_then(|s| outing.sites[s].antennas.iter().find(|a| a.id.as_str() == one.id))
                .or_else(|| outing.kit.antenna(&one.id))
                .cloned();
            let Some(planned) = planned else { continue };
            let mut antenna = planned.clone();
            if !one.measures.is_empty() {
                let changed = measured(&planned, &one.measures);
                let mut parts = outing.clone().into_parts();
                put(&mut parts, site, &changed);
                match Outing::new(parts) {
                    Ok(sound) => {
                        outing = sound;
                        antenna = changed;
                    }
                    Err(flaws) => {
                        let error = flaws.into_iter().find(|f| f.severity == Severity::Error);
                        let why = error.map_or_else(String::new, |f| f.cause);
                        flawed.push(SetAside {
                            entry: one.measured_by,
                            why: WhyAside::ImpossibleMeasures(why),
                        });
                    }
                }
            }
            hanging.push(Hanging {
                antenna,
                measures: one.measures,
                how: one.how,
                since: one.since,
                entry: one.entry,
            });
        }
        (outing, hanging, flawed)
    }
}

/// Puts an antenna as it hangs into the site, or into the kit away from all sites.
fn put(parts: &mut OutingParts, site: Option<usize>, changed: &farhop_outing::Antenna) {
    let list = match site {
        Some(site) => &mut parts.sites[site].antennas,
        None => &mut parts.kit.antennas,
    };
    match list.iter_mut().find(|a| a.id == changed.id) {
        Some(own) => *own = changed.clone(),
        None => list.push(changed.clone()),
    }
}
