//! Several messages with priorities in one window: sent in one session, the most urgent first.

use crate::arq::Link;
use crate::delivery::{Ask, Delivery};
use crate::error::MessageError;
use crate::snr::{MinuteVariation, SnrMixture};
use crate::table::LinkTable;

/// A message waiting to be sent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Waiting {
    /// Size in plain bytes.
    pub plain_bytes: f64,
    /// Rank: 1 goes first; equal ranks go in the order of the list.
    pub priority: u32,
}

/// Tables for a queue: one a prefix, so that each message has its own chance.
#[derive(Clone, Debug)]
pub struct QueueTable {
    /// Indices into the list as given, in the order of sending.
    order: Vec<usize>,
    tables: Vec<LinkTable>,
}

impl QueueTable {
    /// Tables for the messages, most urgent first. Message k is through when everything up to and including it is.
    ///
    /// # Errors
    /// As [`LinkTable::new`].
    pub fn new(
        link: &Link,
        waiting: &[Waiting],
        variation: MinuteVariation,
        horizon_min: f64,
    ) -> Result<Self, MessageError> {
        let mut order: Vec<usize> = (0..waiting.len()).collect();
        order.sort_by_key(|&index| waiting[index].priority);
        let sizes: Vec<f64> = order.iter().map(|&index| waiting[index].plain_bytes).collect();
        if sizes.is_empty() {
            return Err(MessageError::Empty {
                what: "list of messages",
            });
        }
        let tables = (1..=sizes.len())
            .map(|count| LinkTable::new(link, &sizes[..count], variation, horizon_min))
            .collect::<Result<_, _>>()?;
        Ok(Self { order, tables })
    }

    /// The deliveries in one window: index into the list as given and what happens up to and including that message, in the order of
    /// sending. The last entry is the whole session.
    ///
    /// # Errors
    /// A malformed mixture or ask.
    pub fn deliver(&self, mixture: &SnrMixture, ask: &Ask) -> Result<Vec<(usize, Delivery)>, MessageError> {
        // The grid is the link's, whatever is sent over it: its weights hold for every table, unless a narrow component brought
        // passages of its own.
        let shared = self.tables.first().map(|table| table.weights(mixture)).transpose()?;
        let shared = shared.filter(|weights| weights.points.is_empty());
        let deliver = |table: &LinkTable| match &shared {
            Some(weights) => Ok(table.prepare(ask)?.deliver(weights)),
            None => table.deliver(mixture, ask),
        };
        self.order
            .iter()
            .zip(&self.tables)
            .map(|(&index, table)| Ok((index, deliver(table)?)))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arq::tests::test_link;
    use crate::attempts::Attempts;
    use crate::gateway::Gateway;

    #[test]
    fn the_urgent_message_goes_first_and_has_the_better_chance() {
        let waiting =
            [(4000.0, 2), (300.0, 1), (900.0, 2)].map(|(plain_bytes, priority)| Waiting { plain_bytes, priority });
        let table = QueueTable::new(&test_link(), &waiting, MinuteVariation::default(), 60.0).unwrap();
        let ask = Ask {
            deadline_min: 15.0,
            attempts: Attempts::default(),
            gateway: Gateway::IDEAL,
        };
        let mut mixture = SnrMixture::constant(500.0, 5.0, 8.0);
        mixture.components[0].sd_signal_db = 8.0;
        let got = table.deliver(&mixture, &ask).unwrap();
        let order: Vec<usize> = got.iter().map(|(index, _)| *index).collect();
        assert_eq!(order, [1, 0, 2]);
        assert!(
            got.windows(2).all(|pair| pair[0].1.chance > pair[1].1.chance),
            "{got:?}"
        );
        let alone = LinkTable::new(&test_link(), &[300.0], MinuteVariation::default(), 60.0).unwrap();
        assert!((alone.deliver(&mixture, &ask).unwrap().chance - got[0].1.chance).abs() < 1e-9);
        assert!(QueueTable::new(&test_link(), &[], MinuteVariation::default(), 60.0).is_err());
    }
}
