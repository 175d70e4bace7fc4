//! Which antennas hang, with which measures, while the day is gone through.

use farhop_earth::UtcTime;
use farhop_outing::{Antenna, Outing, Severity};

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
            let Some(planned) = as_planned(&outing, site, &one.id).cloned() else {
                continue;
            };
            let mut antenna = planned;
            if !one.measures.is_empty() {
                match hang_as(&outing, site, &one.id, &one.measures) {
                    Ok((sound, changed)) => {
                        outing = sound;
                        antenna = changed;
                    }
                    Err(why) => flawed.push(SetAside {
                        entry: one.measured_by,
                        why: WhyAside::ImpossibleMeasures(why.to_string()),
                    }),
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

/// An antenna as the outing has it at a site, or in the kit.
fn as_planned<'a>(outing: &'a Outing, site: Option<usize>, id: &str) -> Option<&'a Antenna> {
    let here = site.and_then(|s| outing.sites.get(s));
    let own = here.and_then(|s| s.antennas.iter().find(|a| a.id.as_str() == id));
    own.or_else(|| outing.kit.antenna(id))
}

/// Why an antenna cannot hang as it was said.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum HangError {
    /// The kit has no such antenna.
    #[error("there is no antenna {0}")]
    NoSuchAntenna(String),
    /// Its measures cannot be; the first flaw.
    #[error("{0}")]
    Measures(String),
}

/// The outing with an antenna hung by its measures at a site (an index), or away from all of them, and that antenna.
///
/// # Errors
/// There is no such antenna, or it cannot hang so.
pub fn hang_as(
    outing: &Outing,
    site: Option<usize>,
    id: &str,
    measures: &Measures,
) -> Result<(Outing, Antenna), HangError> {
    let planned = as_planned(outing, site, id).ok_or_else(|| HangError::NoSuchAntenna(id.to_owned()))?;
    let changed = measured(planned, measures);
    let mut parts = outing.clone().into_parts();
    let list = match site.and_then(|s| parts.sites.get_mut(s)) {
        Some(site) => &mut site.antennas,
        None => &mut parts.kit.antennas,
    };
    match list.iter_mut().find(|a| a.id == changed.id) {
        Some(own) => *own = changed.clone(),
        None => list.push(changed.clone()),
    }
    match Outing::new(parts) {
        Ok(sound) => Ok((sound, changed)),
        Err(flaws) => {
            let error = flaws.into_iter().find(|f| f.severity == Severity::Error);
            Err(HangError::Measures(error.map_or_else(String::new, |f| f.cause)))
        }
    }
}
