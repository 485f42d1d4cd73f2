//! What the screens show and the only ways to change it.
//!
//! Signals are made once, at the root. Screens read them and call the methods of [`AppState`]; every change of a job
//! goes through `dispatch.rs`. Never decides anything about a repair.

mod arrive;
mod backup;
mod card;
mod desk;
mod dispatch;
mod exchange;
mod flush;
mod photos;
mod room;
mod sealed;
mod settings;
mod shop;
mod start;
mod stores;

pub use backup::{Backed, Restored};
pub use card::{JobCard, Readable};
pub use photos::{BIN_DAYS, Capture, Size, Step};
pub use sealed::Privacy;
pub use settings::{Hand, Look, Settings, Units};
pub use stores::Quick;

use crate::platform::chance;
use desk::Desk;
use leptos::prelude::*;
use model::ids::MarkId;
use model::job::{Conflict, Job, JobId};
use std::cell::RefCell;
use std::rc::Rc;
use std::sync::Arc;

/// Begins the notes of pictures whose change is not in the log yet.
const NOTE: &str = "photo-on-its-way/";
/// Begins the notes of jobs that a restore brings in: until such a note goes, pictures may be there that no job names. Also
/// what a restore and the sweep behind one that was cut off do one at a time.
const RESTORING: &str = "job-on-its-way/";

/// Everything that the screens share.
#[derive(Clone, Copy)]
pub struct AppState {
    /// All jobs, latest change first.
    pub jobs: RwSignal<Vec<JobCard>>,
    /// The job on screen.
    pub open: RwSignal<Option<Arc<OpenJob>>>,
    /// Whether all edits are safe.
    pub saving: RwSignal<SaveState>,
    /// What the person should know, oldest first.
    pub notices: RwSignal<Vec<Notice>>,
    /// Settings; change them with [`AppState::update_settings`].
    pub settings: RwSignal<Settings>,
    /// Photos on their way, earliest first.
    pub captures: RwSignal<Vec<Capture>>,
    /// Counts up whenever space of photos was freed.
    pub freed: RwSignal<u32>,
    /// Whether both stores have been read; before that the list of jobs may still grow.
    pub ready: RwSignal<bool>,
    /// Whether jobs are closed under a passphrase, and whether it is asked for.
    pub privacy: RwSignal<Privacy>,
    desk: StoredValue<Rc<RefCell<Desk>>, LocalStorage>,
}

/// The job on screen.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenJob {
    /// The job.
    pub job: Arc<Job>,
    /// Whether there is a step to take back.
    pub can_undo: bool,
    /// Whether there is a step to do again.
    pub can_redo: bool,
}

/// Whether all edits are safe.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum SaveState {
    /// The journal has completed every edit.
    #[default]
    Saved,
    /// Some edit is on its way.
    Saving,
    /// Some edit is not safe; the edit stays on screen.
    NotSaved {
        /// Why, and what to do.
        reason: String,
    },
}

/// Something that the person should know.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// Tells notices apart; for [`AppState::dismiss`].
    pub id: u64,
    /// Whether something went wrong.
    pub is_problem: bool,
    /// The words.
    pub text: String,
    /// Whether [`AppState::save_aside`] has something to do with it.
    pub has_file: bool,
}

impl AppState {
    /// Makes the state, shows what local storage holds, begins to read the journal, and puts it into the context.
    pub fn provide() -> Self {
        let state = Self {
            jobs: RwSignal::new(Vec::new()),
            open: RwSignal::new(None),
            saving: RwSignal::new(SaveState::Saved),
            notices: RwSignal::new(Vec::new()),
            settings: RwSignal::new(Settings::default()),
            captures: RwSignal::new(Vec::new()),
            freed: RwSignal::new(0),
            ready: RwSignal::new(false),
            privacy: RwSignal::new(Privacy::None),
            desk: StoredValue::new_local(Rc::new(RefCell::new(Desk::new()))),
        };
        provide_context(state);
        state.start();
        state
    }

    /// The state of the app.
    pub fn get() -> Self {
        expect_context()
    }

    /// The desk, for a short look or change. Never held while signals change or something is awaited.
    fn desk<T>(self, look: impl FnOnce(&mut Desk) -> T) -> T {
        let desk = self.desk.with_value(Rc::clone);
        let mut desk = desk.borrow_mut();
        look(&mut desk)
    }

    /// What two people wrote at the same time on the job on screen; settle one with
    /// [`Command::Settle`](model::job::Command::Settle). Tracked.
    pub fn conflicts(self) -> Vec<Conflict> {
        let id = self.open.with(|open| open.as_ref().map(|open| open.job.id.clone()));
        self.desk(|desk| Some(desk.sheets.get(&id?)?.session.conflicts())).unwrap_or_default()
    }

    /// A name for a new mark that nobody else makes.
    pub fn new_mark_id(self) -> MarkId {
        MarkId::from(chance::name('m', 10))
    }

    /// Closes the job on screen. Nothing is lost; what is on its way goes on.
    pub fn close_job(self) {
        self.desk(|desk| desk.wanted = None);
        self.compact_all();
        self.open.set(None);
    }

    /// Adds a notice; one that says the same already is not said twice.
    fn notify(self, is_problem: bool, text: String, has_file: bool) {
        if self.notices.with_untracked(|notices| notices.iter().any(|known| known.text == text)) {
            return;
        }
        let id = self.desk(Desk::next_notice);
        self.notices.update(|notices| notices.push(Notice { id, is_problem, text, has_file }));
    }

    /// Takes a notice away.
    pub fn dismiss(self, id: u64) {
        self.notices.update(|notices| notices.retain(|notice| notice.id != id));
    }

    /// Makes a job and opens it. The truck's own names come later; the day of arrival is today.
    pub fn create(self, title: &str, body: model::catalogue::Body) -> JobId {
        let id = JobId(chance::name('j', 12));
        let mut job = Job::empty(id.clone());
        job.title = title.chars().take(model::job::LINE_MAX).collect();
        job.received = crate::platform::clock::today();
        job.vehicle.cab = body.cab;
        job.vehicle.bed = body.bed;
        self.admit_new(&job);
        self.open_job(&id);
        id
    }
}
