//! What became of each message.

use farhop_earth::UtcTime;
use farhop_outing::{Id, Message, Outing, Priority};

use crate::call::SentPart;
use crate::event::Written;

/// A message and what became of it.
#[derive(Clone, Debug, PartialEq)]
pub struct MessageState {
    /// The message as it is to be sent: as the outing has it, or as it was last written.
    pub message: Message,
    /// Its index in the outing as the journal has changed it; none when it is withdrawn.
    pub index: Option<usize>,
    /// How it stands.
    pub phase: Phase,
    /// Bytes that went of it since it was last written.
    pub sent_bytes: u64,
    /// When and to whom something of it went last.
    pub last: Option<LastSent>,
    /// Numbers of the entries that name it.
    pub entries: Vec<u64>,
}

/// When and to whom something of a message went.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LastSent {
    /// When.
    pub at: UtcTime,
    /// Id of the station.
    pub station: String,
}

/// How a message stands.
#[derive(Clone, Debug, PartialEq)]
pub enum Phase {
    /// It may not be sent before an instant.
    NotReady {
        /// From then on.
        ready: UtcTime,
    },
    /// It waits to be sent.
    Waiting,
    /// A part of it went; the bytes are in [`MessageState::sent_bytes`].
    SentInPart,
    /// It is through.
    Delivered {
        /// When.
        at: UtcTime,
        /// Id of the station that took the last of it.
        station: String,
        /// Number of the entry that says so.
        entry: u64,
    },
    /// Its time is over and it is not through: it is still to be sent.
    Overdue,
    /// It need not go any more.
    Withdrawn {
        /// Number of the entry that says so.
        entry: u64,
    },
}

impl MessageState {
    /// Its id.
    #[must_use]
    pub fn id(&self) -> &str {
        self.message.id.as_str()
    }

    /// Whether it is still to be sent, overdue or not.
    #[must_use]
    pub fn left(&self) -> bool {
        !matches!(self.phase, Phase::Delivered { .. } | Phase::Withdrawn { .. })
    }

    /// Bytes that are still to go. At least one of a message that is not through.
    #[must_use]
    pub fn left_bytes(&self) -> u64 {
        if self.left() {
            self.message.size_bytes.saturating_sub(self.sent_bytes).max(1)
        } else {
            0
        }
    }

    /// In a few words: `sent in part, 150 of 300 bytes`.
    #[must_use]
    pub fn words(&self) -> String {
        let part = if self.sent_bytes > 0 {
            format!(", {} of {} bytes went", self.sent_bytes, self.message.size_bytes)
        } else {
            String::new()
        };
        match &self.phase {
            Phase::NotReady { .. } => "not ready yet".to_owned(),
            Phase::Waiting => "waiting".to_owned(),
            Phase::SentInPart => format!("sent in part{part}"),
            Phase::Delivered { station, .. } => format!("delivered to {station}"),
            Phase::Overdue => format!("overdue, still to be sent{part}"),
            Phase::Withdrawn { .. } => "withdrawn".to_owned(),
        }
    }
}

/// A message while the day is gone through.
pub(crate) struct Draft {
    pub message: Message,
    end: Option<Phase>,
    last: Option<LastSent>,
    sent_bytes: u64,
    entries: Vec<u64>,
}

impl Draft {
    fn new(message: Message) -> Self {
        Self {
            message,
            end: None,
            last: None,
            sent_bytes: 0,
            entries: Vec::new(),
        }
    }

    pub(crate) fn withdrawn(&self) -> bool {
        matches!(self.end, Some(Phase::Withdrawn { .. }))
    }
}

/// All messages while the day is gone through.
pub(crate) struct Drafts(pub Vec<Draft>);

impl Drafts {
    pub(crate) fn of(outing: &Outing) -> Self {
        Self(outing.messages.iter().cloned().map(Draft::new).collect())
    }

    pub(crate) fn get(&mut self, id: &str) -> Option<&mut Draft> {
        self.0.iter_mut().find(|d| d.message.id.as_str() == id)
    }

    /// A message written, or written anew: what went of an earlier text is no part of this one.
    pub(crate) fn write(&mut self, written: &Written, at: UtcTime, end: UtcTime, entry: u64) {
        if let Some(known) = self.get(&written.message) {
            let again = known.message.clone();
            let entries = std::mem::take(&mut known.entries);
            *known = Draft::new(Message {
                size_bytes: written.bytes,
                ..again
            });
            known.entries = entries;
            known.entries.push(entry);
        } else if let Ok(id) = Id::new(&written.message) {
            let mut draft = Draft::new(Message {
                id,
                to: Vec::new(),
                size_bytes: written.bytes,
                ready: Some(at),
                deadline: end,
                priority: Priority::Normal,
                note: "written on the way".to_owned(),
            });
            draft.entries.push(entry);
            self.0.push(draft);
        }
    }

    /// A message need not go any more. Whether there is one of this id.
    pub(crate) fn withdraw(&mut self, id: &str, entry: u64) -> bool {
        let Some(draft) = self.get(id) else { return false };
        draft.entries.push(entry);
        // What is through stays through.
        if !matches!(draft.end, Some(Phase::Delivered { .. })) {
            draft.end = Some(Phase::Withdrawn { entry });
        }
        true
    }

    /// A message, or a part of it, went. Whether there is one of this id.
    pub(crate) fn send(&mut self, part: &SentPart, by: (UtcTime, &str, u64)) -> bool {
        let (at, station, entry) = by;
        let Some(draft) = self.get(&part.message) else {
            return false;
        };
        draft.entries.push(entry);
        draft.last = Some(LastSent {
            at,
            station: station.to_owned(),
        });
        draft.sent_bytes = draft.sent_bytes.saturating_add(part.bytes);
        // Parts may overlap: only an entry that says so makes a message whole.
        if part.whole && !matches!(draft.end, Some(Phase::Delivered { .. })) {
            draft.end = Some(Phase::Delivered {
                at,
                station: station.to_owned(),
                entry,
            });
        }
        true
    }

    /// Whether these bytes bring what went of a message to its length.
    pub(crate) fn completes(&mut self, id: &str, bytes: u64) -> bool {
        self.get(id)
            .is_some_and(|d| d.sent_bytes.saturating_add(bytes) >= d.message.size_bytes)
    }

    /// How each stands at an instant, in the order of the outing and then of writing.
    pub(crate) fn finish(self, now: UtcTime) -> Vec<MessageState> {
        let mut next = 0;
        let one = |draft: Draft| {
            let index = (!draft.withdrawn()).then(|| {
                next += 1;
                next - 1
            });
            let message = draft.message;
            let open = || match message.ready {
                _ if message.deadline <= now => Phase::Overdue,
                _ if draft.last.is_some() => Phase::SentInPart,
                Some(ready) if ready > now => Phase::NotReady { ready },
                _ => Phase::Waiting,
            };
            MessageState {
                phase: draft.end.unwrap_or_else(open),
                message,
                index,
                sent_bytes: draft.sent_bytes,
                last: draft.last,
                entries: draft.entries,
            }
        };
        self.0.into_iter().map(one).collect()
    }
}
