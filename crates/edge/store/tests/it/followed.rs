//! A journal that is followed says at any time what one says that is read whole, whoever wrote; and is not read again for nothing.

use std::sync::Arc;
use std::time::Duration;

use crate::common::{Scratch, at, correction, new, note_at};
use farhop_outing::Outing;
use farhop_store::{Change, Entry, Followed, Journal, JournalError, NewEntry, standing, twin_of};
use proptest::prelude::*;

const PATIENCE: Duration = Duration::from_secs(2);

fn outing() -> Outing {
    let text = include_str!("../../../../../examples/demo.toml");
    let reading = farhop_outing_file::read(text, "demo", &|name| Err(format!("no {name} here")));
    reading.outing.unwrap()
}

/// One thing that happens to the files.
#[derive(Clone, Copy, Debug)]
enum Deed {
    /// An entry from here.
    Own,
    /// The same once more.
    OwnAgain,
    /// An entry that is refused.
    Refused,
    /// A correction from here.
    Strike,
    /// An entry by another program.
    Other,
    /// Another program takes the last entry back.
    OtherUndo,
    /// The twin is gone.
    TwinGone,
    /// The last line of the twin was cut off.
    TwinCut,
    /// A byte in the middle of the database is another one.
    Damage,
    /// Both files are put aside, as by another program.
    Aside,
}

fn deed() -> impl Strategy<Value = Deed> {
    prop_oneof![
        6 => Just(Deed::Own),
        2 => Just(Deed::OwnAgain),
        1 => Just(Deed::Refused),
        2 => Just(Deed::Strike),
        3 => Just(Deed::Other),
        1 => Just(Deed::OtherUndo),
        1 => Just(Deed::TwinGone),
        1 => Just(Deed::TwinCut),
        1 => Just(Deed::Damage),
        1 => Just(Deed::Aside),
    ]
}

struct Play {
    scratch: Scratch,
    followed: Followed,
    outing: Outing,
    step: usize,
}

impl Play {
    fn new(name: &str) -> Self {
        let scratch = Scratch::new(name);
        Self {
            followed: Followed::new(&scratch.file()),
            scratch,
            outing: outing(),
            step: 0,
        }
    }

    fn append(&self, entry: NewEntry) -> Result<Entry, JournalError> {
        self.followed.append(&self.outing, entry, PATIENCE).unwrap().0
    }

    fn entries(&self) -> Vec<Entry> {
        self.followed.look().unwrap().map_or(Vec::new(), |s| s.log.to_vec())
    }

    fn act(&mut self, deed: Deed) {
        self.step += 1;
        let (file, step) = (self.scratch.file(), self.step);
        let note = |who: &str, n: usize| new(&format!("{who}-{n}"), note_at(n as i64 % 7, who));
        match deed {
            Deed::Own => {
                self.append(note("own", step)).unwrap();
            }
            Deed::OwnAgain => {
                let first = self.append(note("twice", step)).unwrap();
                assert_eq!(self.append(note("twice", step)).unwrap(), first);
            }
            Deed::Refused => {
                let refused = self.append(correction(&format!("no-{step}"), "nobody", Change::Strike));
                assert!(matches!(refused, Err(JournalError::NoSuchEntry(_))), "{refused:?}");
            }
            Deed::Strike => {
                if let Some(of) = self.entries().first() {
                    self.append(correction(&format!("strike-{step}"), of.key.as_str(), Change::Strike))
                        .unwrap();
                }
            }
            Deed::Other => {
                Journal::open(&file).unwrap().append(note("other", step)).unwrap();
            }
            Deed::OtherUndo => {
                // Nothing may be left to take back.
                let _ = Journal::open(&file).unwrap().undo_last(at(0), None, None);
            }
            Deed::TwinGone => {
                let _ = std::fs::remove_file(twin_of(&file));
            }
            Deed::TwinCut => {
                let bytes = std::fs::read(twin_of(&file)).unwrap_or_default();
                if bytes.len() > 20 {
                    std::fs::write(twin_of(&file), &bytes[..bytes.len() - 20]).unwrap();
                }
            }
            Deed::Damage => {
                let mut bytes = std::fs::read(&file).unwrap_or_default();
                if let Some(byte) = bytes.get_mut(5_000) {
                    *byte ^= 0x55;
                    std::fs::write(&file, &bytes).unwrap();
                }
            }
            Deed::Aside => {
                for gone in [file.clone(), twin_of(&file)] {
                    let _ = std::fs::remove_file(gone);
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn whoever_writes_it_says_what_the_files_say(deeds in prop::collection::vec(deed(), 1..24)) {
        let mut play = Play::new("followed");
        for deed in deeds {
            play.act(deed);
            let followed = play.followed.look().unwrap();
            let whole = Journal::open_if_there(&play.scratch.file()).unwrap();
            let all = whole.as_ref().map_or(Vec::new(), |j| j.all().unwrap());
            prop_assert_eq!(followed.is_some(), whole.is_some(), "after {:?}", deed);
            if let (Some(stand), Some(whole)) = (&followed, &whole) {
                prop_assert_eq!(&stand.log[..], &all[..], "after {:?}", deed);
                prop_assert_eq!(stand.log.standing(), standing(&all), "after {:?}", deed);
                prop_assert_eq!(&stand.id, whole.id(), "after {:?}", deed);
                prop_assert_eq!(stand.condition.damaged, whole.condition().damaged, "after {:?}", deed);
                prop_assert_eq!(stand.announcement(&play.outing), whole.announcement(&play.outing).unwrap());
            }
        }
    }
}

#[test]
fn what_was_left_as_it_was_is_not_read_again() {
    let play = Play::new("left");
    play.append(new("a", note_at(0, "one"))).unwrap();
    let first = play.followed.look().unwrap().unwrap();
    assert!(Arc::ptr_eq(&first, &play.followed.look().unwrap().unwrap()));
    // What is written from here is known without reading: a whole reading would make another list.
    let (entry, stand) = play
        .followed
        .append(&play.outing, new("b", note_at(1, "two")), PATIENCE)
        .unwrap();
    assert_eq!(entry.unwrap().number, 2);
    assert!(Arc::ptr_eq(&stand, &play.followed.look().unwrap().unwrap()));
    assert_eq!((first.log.len(), stand.log.len()), (1, 2));
    // What another program writes is seen at once.
    let other = Journal::open(&play.scratch.file())
        .unwrap()
        .append(new("c", note_at(2, "three")));
    other.unwrap();
    let now = play.followed.look().unwrap().unwrap();
    assert!(!Arc::ptr_eq(&stand, &now) && now.log.len() == 3);
}

#[test]
fn a_journal_that_another_program_damages_goes_on_and_says_so() {
    let play = Play::new("goes-on");
    for n in 0..40 {
        play.append(new(&format!("k-{n}"), note_at(n, &"long words ".repeat(20))))
            .unwrap();
    }
    let file = play.scratch.file();
    let mut bytes = std::fs::read(&file).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle..middle + 600].fill(0xA5);
    std::fs::write(&file, &bytes).unwrap();
    let entry = play.append(new("after", note_at(50, "after"))).unwrap();
    assert_eq!(entry.number, 41);
    let stand = play.followed.look().unwrap().unwrap();
    assert!(
        !stand.condition.lines.is_empty() && stand.log.len() == 41,
        "{:?}",
        stand.condition
    );
}
