//! The open job's body book and plan, computed once for each edit and shared by every screen.
//!
//! Calls the model's pure functions; stores nothing and decides nothing.

use crate::decided::Decided;
use crate::platform::page;
use crate::rule_book::{InForce, in_force};
use crate::state::AppState;
use leptos::prelude::*;
use model::catalogue::{self, Body, Book};
use model::job::Job;
use model::plan::{self, Plan, Shop};
use model::terms::{Bed, Cab};
use std::sync::Arc;

/// The body that is shown while no job is open.
pub const REFERENCE: Body = Body { cab: Cab::FourDoor, bed: Bed::Short };

/// What the model says about the open job.
#[derive(Clone, Copy)]
pub struct Planned {
    /// The open job; `None` at the gate.
    pub job: Memo<Option<Arc<Job>>>,
    /// The body book of its truck; the reference body while no job is open.
    pub book: Memo<&'static Book>,
    /// Its decisions; `None` at the gate. Up to date at once after an edit.
    pub decided: Memo<Option<Arc<Decided>>>,
    /// Its plan; `None` at the gate. Made when it is first asked for after an edit.
    pub plan: Memo<Option<Arc<Plan>>>,
    /// The same plan, but only after the edit has been painted: for counts and lists that may lag by a frame.
    pub later: RwSignal<Option<Arc<Plan>>>,
    /// The rule book on which it stands.
    pub rules: Memo<InForce>,
}

/// Makes the shared values and puts them into the context.
pub fn provide(app: AppState) -> Planned {
    let job = Memo::new_with_compare(
        move |_| app.open.with(|open| open.as_ref().map(|open| open.job.clone())),
        |old, new| match (old.and_then(Option::as_ref), new.and_then(Option::as_ref)) {
            (Some(old), Some(new)) => !Arc::ptr_eq(old, new),
            (None, None) => false,
            _ => true,
        },
    );
    let body = Memo::new(move |_| {
        job.with(|job| job.as_ref().map_or(REFERENCE, |job| Body { cab: job.vehicle.cab, bed: job.vehicle.bed }))
    });
    let book = Memo::new_with_compare(move |_| catalogue::generic(body.get()), |_, _| true);
    let shop = Memo::new(move |_| app.settings.with(shop));
    let own_rules = Memo::new(move |_| app.settings.with(|settings| settings.rule_book.clone()));
    let rules = Memo::new_with_compare(move |_| own_rules.with(|own| in_force(own)), |_, _| true);
    let plan = Memo::new_with_compare(
        move |_| {
            job.get().map(|job| {
                Arc::new(plan::plan(book.get(), &rules.with(|rules| Arc::clone(&rules.book)), &job, &shop.get()))
            })
        },
        |_, _| true,
    );
    let decided = Memo::new_with_compare(
        move |before: Option<&Option<Arc<Decided>>>| {
            let rules = rules.with(|rules| Arc::clone(&rules.book));
            let before = before.and_then(Option::as_deref);
            job.get().map(|job| Arc::new(Decided::of(before, book.get(), &rules, &job, &shop.get())))
        },
        |_, _| true,
    );
    let later = RwSignal::new(None);
    Effect::new(move |_| {
        decided.track();
        page::after_frame(move || {
            if let Some(plan) = plan.try_get_untracked() {
                later.try_set(plan);
            }
        });
    });
    let planned = Planned { job, book, decided, plan, later, rules };
    provide_context(planned);
    planned
}

impl Planned {
    /// The values of the app.
    #[must_use]
    pub fn get() -> Self {
        expect_context()
    }
}

fn shop(settings: &crate::state::Settings) -> Shop {
    Shop { aluminium_welding: settings.aluminium_welding, aluminium_bay: settings.aluminium_bay, ..Shop::default() }
}
