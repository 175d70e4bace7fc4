//! Whatever is entered, corrected, struck and taken back in whatever order: what counts is what a plain model says.

use crate::common::{Scratch, at, correction, new, note_at};
use farhop_store::{Body, Change, Entry, Event, Journal, JournalError};
use proptest::prelude::*;

/// One thing that somebody does.
#[derive(Clone, Debug)]
enum Deed {
    Enter { second: i64 },
    Replace { of: usize, second: i64 },
    Strike { of: usize },
    Undo,
    SendAgain { which: usize },
    CloseAndOpen,
}

fn deed() -> impl Strategy<Value = Deed> {
    prop_oneof![
        4 => (0i64..50).prop_map(|second| Deed::Enter { second }),
        2 => (any::<usize>(), 0i64..50).prop_map(|(of, second)| Deed::Replace { of, second }),
        1 => any::<usize>().prop_map(|of| Deed::Strike { of }),
        2 => Just(Deed::Undo),
        1 => any::<usize>().prop_map(|which| Deed::SendAgain { which }),
        1 => Just(Deed::CloseAndOpen),
    ]
}

/// What the model remembers of an entry.
enum Plain {
    Note(i64, String),
    Replace(usize, i64, String),
    Strike(usize),
    Undo(usize),
}

impl Plain {
    fn target(&self) -> Option<usize> {
        match self {
            Self::Note(..) => None,
            Self::Replace(of, ..) | Self::Strike(of) | Self::Undo(of) => Some(*of),
        }
    }
}

/// By the definition: an entry is in force when no correction in force that came last strikes it.
struct Model(Vec<Plain>);

impl Model {
    fn verdict(&self, index: usize) -> Option<usize> {
        let later = (index + 1..self.0.len()).rev();
        later
            .filter(|j| self.0[*j].target() == Some(index))
            .find(|j| self.in_force(*j))
    }

    fn in_force(&self, index: usize) -> bool {
        self.verdict(index)
            .is_none_or(|j| matches!(self.0[j], Plain::Replace(..)))
    }

    fn shown(&self) -> Vec<(i64, u64, String)> {
        let mut shown = Vec::new();
        for (index, plain) in self.0.iter().enumerate() {
            let Plain::Note(second, words) = plain else { continue };
            match self.verdict(index).map(|j| &self.0[j]) {
                None => shown.push((*second, index as u64 + 1, words.clone())),
                Some(Plain::Replace(_, second, words)) => shown.push((*second, index as u64 + 1, words.clone())),
                Some(_) => {}
            }
        }
        shown.sort_by_key(|(second, number, _)| (*second, *number));
        shown
    }

    fn undo(&self) -> Option<usize> {
        let all = (0..self.0.len()).rev();
        all.filter(|i| !matches!(self.0[*i], Plain::Undo(_)))
            .find(|i| self.in_force(*i))
    }
}

fn shown(journal: &Journal) -> Vec<(i64, u64, String)> {
    let entries = journal.entries().unwrap();
    let words = |event: &Event| match event {
        Event::Note(note) => note.words.clone(),
        other => panic!("{other:?}"),
    };
    entries
        .iter()
        .map(|s| {
            (
                s.account.at.unix_s() - at(0).unix_s(),
                s.number,
                words(&s.account.event),
            )
        })
        .collect()
}

fn again(entry: &Entry) -> farhop_store::NewEntry {
    farhop_store::NewEntry {
        key: Some(entry.key.clone()),
        entered_at: at(999),
        words: entry.words.clone(),
        body: entry.body.clone(),
    }
}

fn act(journal: &mut Journal, model: &mut Model, deed: &Deed) {
    let next = format!("k{}", model.0.len());
    let words = format!("words {}", model.0.len());
    match deed {
        Deed::Enter { second } => {
            journal.append(new(&next, note_at(*second, &words))).unwrap();
            model.0.push(Plain::Note(*second, words));
        }
        Deed::Replace { of, second } if !model.0.is_empty() => {
            let of = of % model.0.len();
            let entries = journal.all().unwrap();
            let change = Change::Replace(note_at(*second, &words));
            let done = journal.append(correction(&next, entries[of].key.as_str(), change));
            match entries[of].body {
                Body::Account(_) => {
                    done.unwrap();
                    model.0.push(Plain::Replace(of, *second, words));
                }
                Body::Correction(_) => {
                    assert!(matches!(done, Err(JournalError::RewrittenCorrection(_))));
                }
            }
        }
        Deed::Strike { of } if !model.0.is_empty() => {
            let of = of % model.0.len();
            let key = journal.all().unwrap()[of].key.clone();
            journal.append(correction(&next, key.as_str(), Change::Strike)).unwrap();
            model.0.push(Plain::Strike(of));
        }
        Deed::Undo => match (journal.undo_last(at(0), None, None), model.undo()) {
            (Ok(undone), Some(index)) => {
                assert_eq!(undone.entry.number, index as u64 + 1);
                model.0.push(Plain::Undo(index));
            }
            (Err(JournalError::NothingToUndo), None) => {}
            (found, expected) => panic!("{found:?} {expected:?}"),
        },
        Deed::SendAgain { which } if !model.0.is_empty() => {
            let entry = journal.all().unwrap().swap_remove(which % model.0.len());
            assert_eq!(journal.append(again(&entry)).unwrap(), entry);
        }
        Deed::CloseAndOpen => *journal = Journal::open(journal.file()).unwrap(),
        Deed::Replace { .. } | Deed::Strike { .. } | Deed::SendAgain { .. } => {}
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn what_counts_is_what_the_model_says(deeds in proptest::collection::vec(deed(), 1..40), split in 0usize..40) {
        let scratch = Scratch::new("model");
        let mut journal = Journal::open(&scratch.file()).unwrap();
        let mut model = Model(Vec::new());
        for deed in &deeds {
            act(&mut journal, &mut model, deed);
            prop_assert_eq!(shown(&journal), model.shown());
        }
        prop_assert_eq!(journal.all().unwrap().len(), model.0.len());
        // A part first, then everything: nothing is doubled, nothing is lost.
        let text = journal.export().unwrap();
        let part: String = text.split_inclusive('\n').take(split).collect();
        let mut copy = Journal::open(&scratch.folder.join("copy.journal")).unwrap();
        copy.import(&part).unwrap();
        copy.import(&text).unwrap();
        prop_assert_eq!(copy.export().unwrap(), text);
        prop_assert_eq!(copy.all().unwrap(), journal.all().unwrap());
        prop_assert_eq!(copy.entries().unwrap(), journal.entries().unwrap());
    }
}
