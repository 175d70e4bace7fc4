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
        self.order
            .iter()
            .zip(&self.tables)
            .map(|(&index, table)| Ok((index, table.deliver(mixture, ask)?)))
            .collect()
    }
}
