//! A tablet that is edited, saved, killed and started again, over two memory stores.

use crate::random::{command, start};
use checks::Numbers;
use model::job::keep::Keeper;
use model::job::recover::{Origin, Recovered};
use model::job::store::Memory;
use model::job::{ChangeId, DeviceId, Session};
use std::collections::BTreeSet;

const EDITS: u64 = 40;

/// One tablet with one job.
pub struct Tablet {
    pub session: Session,
    pub keeper: Keeper,
    pub quick: Memory,
    pub journal: Memory,
    /// Changes at the moments at which the screen said "saved".
    pub shown_as_saved: BTreeSet<ChangeId>,
    /// Every change that was made.
    pub all: BTreeSet<ChangeId>,
    /// How often the quick store refused.
    pub quick_refused: usize,
    numbers: Numbers,
    edits: u64,
    fatal: Option<u64>,
}

impl Tablet {
    /// A tablet with a new job in memory.
    pub fn new(seed: u64) -> Self {
        let session = start(DeviceId::from("tablet"), 1_000);
        let mut tablet = Self {
            keeper: Keeper::new(session.job().id.clone(), "tab"),
            all: session.log().ids().clone(),
            session,
            quick: Memory::default(),
            journal: Memory::default(),
            shown_as_saved: BTreeSet::new(),
            quick_refused: 0,
            numbers: Numbers::new(seed),
            edits: 0,
            fatal: None,
        };
        tablet.save();
        tablet
    }

    /// Stops before the nth write to both stores together.
    pub fn kill_at(&mut self, write: u64) {
        self.fatal = Some(write);
    }

    fn dead(&self) -> bool {
        self.fatal.is_some_and(|fatal| self.quick.writes() + self.journal.writes() >= fatal)
    }

    /// One edit with all that follows it; `false` at the end or when killed.
    pub fn step(&mut self) -> bool {
        if self.dead() || self.edits == EDITS {
            return false;
        }
        self.edits += 1;
        let now = 2_000 + self.edits;
        let change = match self.numbers.below(8) {
            0 => self.session.undo(now),
            1 => self.session.redo(now),
            _ => {
                let wish = command(&mut self.numbers, self.session.job());
                self.session.apply(&wish, now).ok().flatten()
            }
        };
        if change.is_some() {
            self.all.clone_from(self.session.log().ids());
            self.save();
        }
        // The browser commits local storage when it likes.
        if self.numbers.below(7) == 0 {
            self.quick.commit();
        }
        true
    }

    /// The way of an edit: quick store, journal, "saved", tidying; each can be the last.
    fn save(&mut self) {
        let changes: Vec<_> = self.session.log().changes().cloned().collect();
        if let Some(change) = changes.last() {
            self.quick_refused += usize::from(self.keeper.put_quick(&mut self.quick, change).is_err());
        }
        if self.dead() {
            return;
        }
        let missing = self.keeper.unjournalled(&self.session);
        let batch: Vec<(String, String)> = missing.iter().map(|(_, key, text)| (key.clone(), text.clone())).collect();
        if self.journal.put_all(&batch).is_err() {
            return;
        }
        self.keeper.journalled(missing.iter().map(|(id, ..)| *id));
        if self.keeper.is_saved(&self.session) {
            self.shown_as_saved.clone_from(self.session.log().ids());
        }
        if !self.dead() {
            let _ = self.keeper.compact(&mut self.quick, &self.session, false); // a refusal leaves all as it was
        }
    }

    /// The job is closed in good order.
    pub fn finish(&mut self) {
        self.save();
        let _ = self.keeper.compact(&mut self.quick, &self.session, true);
    }

    /// The browser dies.
    pub fn crash(&mut self, quick_loses: bool) {
        if quick_loses {
            self.quick.crash();
        }
        self.journal.crash();
    }

    /// What both stores hold.
    pub fn recovered(&self) -> Recovered {
        let mut recovered = Recovered::default();
        for (origin, store) in [(Origin::Quick, &self.quick), (Origin::Journal, &self.journal)] {
            for (key, text) in store.entries() {
                recovered.take(origin, key, text);
            }
        }
        recovered
    }

    /// The ids of the changes that come back.
    pub fn recovered_ids(&self) -> BTreeSet<ChangeId> {
        self.recovered().jobs.values().flat_map(|found| found.log.ids().clone()).collect()
    }

    /// The job that comes back.
    pub fn recover(&self) -> Session {
        let found = self.recovered().jobs.into_values().next();
        match found {
            Some(found) => Session::open(found.log, DeviceId::from("tablet")).expect("what comes back opens"),
            // Killed before anything was kept: nothing was shown as saved.
            None => start(DeviceId::from("tablet"), 1_000),
        }
    }
}
