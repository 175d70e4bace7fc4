//! The desk: the outing that is worked on, its plan, and how both follow the file.

mod drawings;
mod folder;
mod progress;
mod ready;
mod steps;

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use farhop_outing::Outing;
use farhop_outing_file::Problem;
use tokio::sync::watch;

pub use drawings::{Drawings, Sight};
pub use folder::{Folder, Snapshot, hash_of};
pub use progress::Progress;
pub use ready::Ready;
pub use steps::{Steps, Weighed};

use crate::runtime::Runtime;
use crate::storage::Storage;

/// How far the outing has come.
#[derive(Clone)]
pub enum Stage {
    /// There is no file yet.
    Missing,
    /// The file cannot be read: why, in words.
    Unreadable(String),
    /// The file has errors.
    Broken(Arc<Vec<Problem>>),
    /// The plan is being made.
    Working(Arc<Progress>),
    /// The user stopped it.
    Stopped,
    /// No plan can be made: why, in words.
    Failed(String),
    /// All is there.
    Ready(Arc<Ready>),
}

/// What stands on the desk now.
#[derive(Clone)]
pub struct Look {
    /// The text of the file; empty while there is none.
    pub text: Arc<str>,
    /// Hash of the text.
    pub hash: String,
    /// How far it has come.
    pub stage: Stage,
    /// Counts up with every change of `stage`.
    pub turn: u64,
    /// The outing as it was last sound, with or without a plan: entries are for it.
    pub outing: Option<Arc<Outing>>,
    /// The last plan that was made of a sound version.
    pub sound: Option<Arc<Ready>>,
}

impl Look {
    /// What is shown: the plan, or that of the last sound version where the file is a draft with errors.
    #[must_use]
    pub fn shown(&self) -> Option<&Arc<Ready>> {
        match &self.stage {
            Stage::Ready(ready) => Some(ready),
            Stage::Broken(_) => self.sound.as_ref(),
            _ => None,
        }
    }
}

struct State {
    seen: Option<Snapshot>,
    hash: String,
    stage: Stage,
    outing: Option<Arc<Outing>>,
    sound: Option<Arc<Ready>>,
    /// Counts the texts; a plan of an older text is thrown away.
    edition: u64,
}

/// The outing that is worked on.
pub struct Desk {
    folder: Folder,
    runtime: Arc<dyn Runtime>,
    state: Mutex<State>,
    steps: Steps,
    drawings: Drawings,
    turn: watch::Sender<u64>,
}

impl Desk {
    /// A desk for the outing of a place.
    #[must_use]
    pub fn new(storage: Arc<dyn Storage>, runtime: Arc<dyn Runtime>) -> Arc<Self> {
        Arc::new(Self {
            folder: Folder::new(storage),
            runtime,
            state: Mutex::new(State {
                seen: None,
                hash: String::new(),
                stage: Stage::Missing,
                outing: None,
                sound: None,
                edition: 0,
            }),
            steps: Steps::default(),
            drawings: Drawings::default(),
            turn: watch::Sender::new(0),
        })
    }

    /// The folder of the outing.
    #[must_use]
    pub fn folder(&self) -> &Folder {
        &self.folder
    }

    /// Where it is kept.
    #[must_use]
    pub fn storage(&self) -> &Arc<dyn Storage> {
        self.folder.storage()
    }

    /// The next step that was worked out last.
    #[must_use]
    pub fn steps(&self) -> &Steps {
        &self.steps
    }

    /// What was drawn of it.
    #[must_use]
    pub fn drawings(&self) -> &Drawings {
        &self.drawings
    }

    /// The machine on which it is worked on.
    #[must_use]
    pub fn runtime(&self) -> &Arc<dyn Runtime> {
        &self.runtime
    }

    /// Tells of every change of the stage.
    #[must_use]
    pub fn changes(&self) -> watch::Receiver<u64> {
        self.turn.subscribe()
    }

    /// What stands on the desk now. Reads the file; when its content has changed, a new plan is begun.
    #[must_use]
    pub fn look(self: &Arc<Self>) -> Look {
        let found = self.folder.snapshot();
        let mut state = self.lock();
        match found {
            Ok(Some(snapshot)) if state.seen.as_ref() != Some(&snapshot) => self.begin(&mut state, snapshot),
            Ok(Some(_)) => {}
            Ok(None) => self.without_file(&mut state, || Stage::Missing),
            Err(why) => self.without_file(&mut state, || Stage::Unreadable(why)),
        }
        Look {
            text: state
                .seen
                .as_ref()
                .map_or_else(|| "".into(), |s| s.text.as_str().into()),
            hash: state.hash.clone(),
            stage: state.stage.clone(),
            turn: *self.turn.borrow(),
            outing: state.outing.clone(),
            sound: state.sound.clone(),
        }
    }

    /// Hash of the text whose plan is at hand; none while there is none.
    #[must_use]
    pub fn planned(&self) -> Option<String> {
        let state = self.lock();
        matches!(state.stage, Stage::Ready(_)).then(|| state.hash.clone())
    }

    /// Stops the work on the plan.
    pub fn stop(&self) {
        let mut state = self.lock();
        if let Stage::Working(progress) = &state.stage {
            progress.stop();
            state.edition += 1;
            self.put(&mut state, Stage::Stopped);
        }
    }

    /// Begins the plan anew.
    pub fn again(self: &Arc<Self>) {
        let mut state = self.lock();
        if matches!(state.stage, Stage::Stopped | Stage::Failed(_)) {
            state.seen = None;
        }
        drop(state);
        let _ = self.look();
    }

    fn without_file(&self, state: &mut State, stage: impl FnOnce() -> Stage) {
        let stage = stage();
        let same = matches!(
            (&state.stage, &stage),
            (Stage::Missing, Stage::Missing) | (Stage::Unreadable(_), Stage::Unreadable(_))
        );
        if state.seen.take().is_some() || !same {
            state.edition += 1;
            state.hash = String::new();
            self.put(state, stage);
        }
    }

    fn begin(self: &Arc<Self>, state: &mut State, snapshot: Snapshot) {
        if let Stage::Working(progress) = &state.stage {
            progress.stop();
        }
        state.edition += 1;
        state.hash = hash_of(&snapshot.text);
        let reading = self.folder.reading(&snapshot);
        state.seen = Some(snapshot);
        let Some(outing) = reading.outing else {
            self.put(state, Stage::Broken(Arc::new(reading.problems)));
            return;
        };
        state.outing = Some(Arc::new(outing.clone()));
        let progress = Arc::new(Progress::new(Arc::clone(&self.runtime)));
        self.put(state, Stage::Working(Arc::clone(&progress)));
        let (desk, edition) = (Arc::clone(self), state.edition);
        let (cautions, defaults) = (reading.problems, reading.defaults);
        self.runtime.long(Box::new(move || {
            let made = Ready::make(outing, cautions, defaults, desk.storage().solutions(), &progress);
            let mut state = desk.lock();
            if state.edition != edition {
                return;
            }
            let stage = made.map_or_else(Stage::Failed, |ready| Stage::Ready(Arc::new(ready)));
            desk.put(&mut state, stage.clone());
            let turn = *desk.turn.borrow();
            drop(state);
            if let Stage::Ready(ready) = stage {
                desk.weigh_ahead(&ready, turn);
            }
        }));
    }

    /// The next step is worked out before somebody asks for it on the hill.
    fn weigh_ahead(&self, ready: &Ready, turn: u64) {
        // A journal that cannot be read is told where it is asked for.
        if let Ok(day) = self.storage().day(&ready.outing) {
            self.steps.ahead(|| self.worked_out(ready, &day, turn));
        }
    }

    fn put(&self, state: &mut State, stage: Stage) {
        if let Stage::Ready(ready) = &stage {
            state.sound = Some(Arc::clone(ready));
        }
        state.stage = stage;
        self.turn.send_modify(|turn| *turn += 1);
    }

    fn lock(&self) -> MutexGuard<'_, State> {
        // A thread that died while it held the state left it whole: every change is one assignment.
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
