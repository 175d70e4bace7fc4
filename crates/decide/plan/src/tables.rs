//! The links that channels run, each with its session tables.

use std::collections::BTreeMap;
use std::sync::Arc;

use farhop_days::session::{key, sizes};
use farhop_days::{SessionTable, SizeTable};
use farhop_message::{Link, MessageError};
use farhop_outing::Outing;
use farhop_propagation::Circuit;

use crate::delivery::{adapted_link, choices};
use crate::setting::Setting;

/// Most bytes on the air for which a table is made: far more than an hour can carry on the best day.
const MOST_BYTES: f64 = 2_000_000.0;

/// Keeps tables by content. The edge decides where.
pub trait TableStore: Sync {
    /// The table under a key, if it is kept.
    fn table(&self, key: &str) -> Option<Arc<SizeTable>>;
    /// Keeps a table.
    fn keep_table(&self, key: &str, table: &Arc<SizeTable>);
}

/// Keeps nothing.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoTables;

impl TableStore for NoTables {
    fn table(&self, _: &str) -> Option<Arc<SizeTable>> {
        None
    }
    fn keep_table(&self, _: &str, _: &Arc<SizeTable>) {}
}

/// One table to be made: the unit of work that may run beside others.
#[derive(Clone, Debug)]
pub struct TableWork {
    /// What it is kept under.
    pub key: String,
    link: Link,
    air_bytes: f64,
}

impl TableWork {
    /// Makes it, or takes it from the store.
    ///
    /// # Errors
    /// A number of the link is out of range.
    pub fn table(&self, store: &dyn TableStore) -> Result<Arc<SizeTable>, MessageError> {
        if let Some(kept) = store.table(&self.key) {
            return Ok(kept);
        }
        let made = Arc::new(SizeTable::new(&self.link, self.air_bytes)?);
        store.keep_table(&self.key, &made);
        Ok(made)
    }
}

/// A link of a channel before its tables are at hand.
#[derive(Clone, Debug)]
struct Wanted {
    mode: String,
    link: Link,
    keys: Vec<String>,
}

/// What own journals say of the length of sessions: minutes over those of the forecast (dimensionless).
#[must_use]
pub fn session_factor(outing: &Outing) -> f64 {
    let learned = outing.conditions.learned.as_ref();
    learned.and_then(|l| l.session_factor).unwrap_or(1.0).clamp(0.2, 5.0)
}

/// All links of an outing.
#[derive(Clone, Debug)]
pub struct LinkPlan {
    links: Vec<Wanted>,
    /// By site, station and channel: links, the usual one first.
    by_channel: BTreeMap<(usize, usize, usize), Vec<usize>>,
    /// What has to be made.
    pub work: Vec<TableWork>,
    /// Minutes of own sessions over those of the tables (dimensionless).
    session_factor: f64,
}

/// All links with their tables.
#[derive(Clone, Debug, Default)]
pub struct LinkTables {
    links: Vec<Option<Arc<SessionTable>>>,
    by_channel: BTreeMap<(usize, usize, usize), Vec<usize>>,
}

impl LinkPlan {
    /// The links of an outing and the tables that they need. Channels whose ladder cannot be used have none.
    #[must_use]
    pub fn of(outing: &Outing, setting: &Setting) -> Self {
        let mut plan = Self {
            links: Vec::new(),
            by_channel: BTreeMap::new(),
            work: Vec::new(),
            session_factor: session_factor(outing),
        };
        let bytes: Vec<f64> = outing.messages.iter().map(|m| m.size_bytes as f64).collect();
        let least = bytes.iter().copied().fold(f64::INFINITY, f64::min).min(1_000.0);
        let most: f64 = bytes.iter().sum::<f64>().max(least);
        for (s, site) in outing.sites.iter().enumerate() {
            for (t, station) in outing.stations.iter().enumerate() {
                let circuit = Circuit::new(site.place, station.place);
                let lat_deg = setting.field.geomagnetic_lat_deg(circuit.arc.midpoint());
                for (c, channel) in station.channels.iter().enumerate() {
                    for choice in choices(outing, station, channel, circuit.distance_km, lat_deg) {
                        let Ok(link) = adapted_link(outing, station, &choice) else {
                            continue;
                        };
                        let index = plan.link(&choice.mode, link, (least, most));
                        plan.by_channel.entry((s, t, c)).or_default().push(index);
                    }
                }
            }
        }
        plan
    }

    fn link(&mut self, mode: &str, link: Link, (least, most): (f64, f64)) -> usize {
        if let Some(known) = self.links.iter().position(|w| w.mode == mode && w.link == link) {
            return known;
        }
        let air = |bytes: f64| link.air_bytes(bytes).clamp(1.0, MOST_BYTES);
        let mut keys = Vec::new();
        for air_bytes in sizes(air(least), air(most)) {
            let key = key(&link, air_bytes);
            if !self.work.iter().any(|w| w.key == key) {
                self.work.push(TableWork {
                    key: key.clone(),
                    link: link.clone(),
                    air_bytes,
                });
            }
            keys.push(key);
        }
        self.links.push(Wanted {
            mode: mode.to_owned(),
            link,
            keys,
        });
        self.links.len() - 1
    }

    /// The links with the tables that were made, in the order of [`Self::work`]. A link of which one could not be made has none.
    #[must_use]
    pub fn with(self, made: Vec<Result<Arc<SizeTable>, MessageError>>) -> LinkTables {
        let by_key: BTreeMap<&str, Arc<SizeTable>> = self
            .work
            .iter()
            .zip(made)
            .filter_map(|(work, table)| Some((work.key.as_str(), table.ok()?)))
            .collect();
        let one = |wanted: &Wanted| {
            let sizes: Option<Vec<Arc<SizeTable>>> =
                wanted.keys.iter().map(|k| by_key.get(k.as_str()).cloned()).collect();
            Some(Arc::new(SessionTable {
                mode: wanted.mode.clone(),
                link: wanted.link.clone(),
                sizes: sizes.filter(|s| !s.is_empty())?,
                session_factor: self.session_factor,
            }))
        };
        LinkTables {
            links: self.links.iter().map(one).collect(),
            by_channel: self.by_channel,
        }
    }

    /// The links with their tables, made one after the other.
    #[must_use]
    pub fn made(self, store: &dyn TableStore) -> LinkTables {
        let made = self.work.iter().map(|w| w.table(store)).collect();
        self.with(made)
    }
}

impl LinkTables {
    /// The links of a channel seen from a site, the usual one first.
    pub fn of(&self, site: usize, station: usize, channel: usize) -> impl Iterator<Item = (usize, &Arc<SessionTable>)> {
        let list = self
            .by_channel
            .get(&(site, station, channel))
            .map_or(&[][..], Vec::as_slice);
        list.iter().filter_map(|i| Some((*i, self.links.get(*i)?.as_ref()?)))
    }

    /// A link by its number.
    #[must_use]
    pub fn link(&self, index: usize) -> Option<&Arc<SessionTable>> {
        self.links.get(index)?.as_ref()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

    use super::*;
    use crate::demo::demo;
    use farhop_outing::conditions::Learned;

    #[test]
    fn what_own_journals_say_of_sessions_is_taken_within_reason() {
        let factor = |session_factor| {
            let mut parts = demo().into_parts();
            parts.conditions.learned = Some(Learned {
                session_factor,
                ..Learned::default()
            });
            Outing::new(parts).ok().map(|outing| super::session_factor(&outing))
        };
        assert_eq!(super::session_factor(&demo()), 1.0);
        assert_eq!(factor(None), Some(1.0));
        assert_eq!(factor(Some(1.4)), Some(1.4));
        for (said, held) in [(0.3, 0.3), (4.0, 4.0)] {
            assert_eq!(factor(Some(said)), Some(held));
        }
    }
}
