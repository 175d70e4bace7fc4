//! Entries that count for nothing, in whole or in part, and why.

/// An entry that counts for nothing, or of which a part does.
#[derive(Clone, Debug, PartialEq)]
pub struct SetAside {
    /// Number of the entry.
    pub entry: u64,
    /// Why.
    pub why: WhyAside,
}

/// Why.
#[derive(Clone, Debug, PartialEq)]
pub enum WhyAside {
    /// It happened more than a day before or after the outing.
    OutsideDates,
    /// It is about a station that the outing does not have: its id.
    UnknownStation(String),
    /// It is about a site that the outing does not have: its id.
    UnknownSite(String),
    /// It is about an antenna that the kit does not have: its id.
    UnknownAntenna(String),
    /// It credits a message that nobody wrote: its id. The call itself counts.
    UnknownMessage(String),
    /// It says how much went, but not of which message. The call itself counts.
    UnnamedDelivery {
        /// Id of the station that took it.
        station: String,
        /// Frequency in MHz.
        freq_mhz: f64,
        /// Bytes that went.
        bytes: u64,
    },
    /// The antenna cannot hang so: why, in words. That it hangs counts.
    ImpossibleMeasures(String),
}

impl SetAside {
    /// What is announced: what does not count, and what to do. `open` are ids of messages that are still to be sent.
    #[must_use]
    pub fn words(&self, open: &[&str]) -> String {
        let entry = self.entry;
        match &self.why {
            WhyAside::OutsideDates => format!(
                "entry {entry} is more than a day outside the outing and counts for nothing; if the dates were moved, put the old journal aside"
            ),
            WhyAside::UnknownStation(id) => {
                format!("entry {entry} is about station {id}, which this outing does not have, and counts for nothing")
            }
            WhyAside::UnknownSite(id) => {
                format!("entry {entry} is about site {id}, which this outing does not have, and counts for nothing")
            }
            WhyAside::UnknownAntenna(id) => {
                format!("entry {entry} is about antenna {id}, which this kit does not have, and counts for nothing")
            }
            WhyAside::UnknownMessage(id) => format!(
                "entry {entry} credits message {id}, which this outing does not have: no message is credited; write it first with `farhop log write {id} BYTES`"
            ),
            WhyAside::UnnamedDelivery {
                station,
                freq_mhz,
                bytes,
            } => format!(
                "entry {entry} says {bytes} bytes went, but not of which message: none is credited; say it with `farhop log fix {entry} call {station} {freq_mhz} ok {}`",
                open.first().copied().unwrap_or("MESSAGE")
            ),
            WhyAside::ImpossibleMeasures(why) => format!(
                "entry {entry}: the antenna cannot hang so ({why}); it is taken as the outing has it; say it anew with `farhop log fix {entry} antenna …`"
            ),
        }
    }
}

/// More than so many of one kind are told as one.
const MOST_OF_A_KIND: usize = 2;

/// What is announced about a list, the most common first reasons as one sentence each.
pub(crate) fn told(list: &[SetAside], open: &[&str]) -> Vec<String> {
    let outside: Vec<u64> = list
        .iter()
        .filter(|a| a.why == WhyAside::OutsideDates)
        .map(|a| a.entry)
        .collect();
    let mut said = Vec::new();
    if outside.len() > MOST_OF_A_KIND {
        said.push(format!(
            "{} entries ({} to {}) are more than a day outside the outing and count for nothing; if the dates were moved, put the old journal aside",
            outside.len(),
            outside.iter().min().unwrap_or(&0),
            outside.iter().max().unwrap_or(&0)
        ));
    }
    let single = |a: &&SetAside| a.why != WhyAside::OutsideDates || outside.len() <= MOST_OF_A_KIND;
    said.extend(list.iter().filter(single).map(|a| a.words(open)));
    said
}
