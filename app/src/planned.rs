//! The open job's body book and plan, computed once for each edit and shared by every screen.
//!
//! Calls the model's pure functions; stores nothing and decides nothing.

use crate::charges::{self, Charges};
use crate::in_force::InForce;
use crate::joining;
use crate::platform::{clock, page, rest};
use crate::rule_book;
use crate::shown::Shown;
use crate::state::AppState;
use crate::time_book;
use leptos::prelude::*;
use leptos::task::spawn_local;
use model::catalogue::{self, Body, Book};
use model::job::Job;
use model::plan::kept::{Decided, Weighed};
use model::plan::{Plan, Shop};
use model::rules::RuleBook;
use model::stock::Stock;
use model::terms::{Bed, Cab};
use model::times::TimeBook;
use std::sync::Arc;

/// How long parts are weighed before the screen has its turn, ms.
const SLICE_MS: f64 = 6.0;
/// How long the start is left alone before the books are read that no screen has asked for, ms.
const AFTER_START_MS: i32 = 400;
/// So many jobs of the list are expected to be opened next.
const LISTED: usize = 24;

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
    /// The same with the actions that the last plan picked, for the walk.
    pub shown: Memo<Option<Arc<Shown>>>,
    /// Its plan; `None` at the gate. Made when it is first asked for after an edit.
    pub plan: Memo<Option<Arc<Plan>>>,
    /// The same plan, but only after the edit has been painted: for counts and lists that may lag by a frame.
    pub later: RwSignal<Option<Arc<Plan>>>,
    /// The rule book on which it stands.
    pub rules: Memo<InForce<RuleBook>>,
    /// The rates and the price list on which it stands.
    pub charges: Memo<Charges>,
    /// The time book on which it stands, with the waits of the joining list.
    pub times: Memo<InForce<TimeBook>>,
    /// The joining list on which joint plans stand.
    pub joining: Memo<InForce<Stock>>,
    /// The shop by which it is worked out.
    pub shop: Memo<Shop>,
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
    let own_charges = Memo::new(move |_| {
        app.settings.with(|settings| (settings.rates.clone(), settings.price_list.clone(), settings.price_file.clone()))
    });
    let charges = Memo::new(move |_| own_charges.with(|(rates, prices, name)| charges::in_force(rates, prices, name)));
    let own_times = Memo::new(move |_| app.settings.with(|settings| settings.time_book.clone()));
    let own_joining = Memo::new(move |_| app.settings.with(|settings| settings.joining.clone()));
    let joining = Memo::new(move |_| own_joining.with(|own| joining::in_force(own)));
    let times = Memo::new(move |_| {
        let mut now = own_times.with(|own| time_book::in_force(own));
        joining.with(|list| {
            if list.own {
                now.value = Arc::new((*now.value).clone().cured(&list.value));
            }
        });
        now
    });
    let shop = Memo::new(move |_| {
        let times = times.with(|times| Arc::clone(&times.value));
        charges.with(|charges| app.settings.with(|settings| shop(settings, charges, times)))
    });
    let own_rules = Memo::new(move |_| app.settings.with(|settings| settings.rule_book.clone()));
    let rules = Memo::new_with_compare(move |_| own_rules.with(|own| rule_book::in_force(own)), |_, _| true);
    let decided = Memo::new_with_compare(
        move |before: Option<&Option<Arc<Decided>>>| {
            // The gate has no job and must not wait for the books.
            let job = job.get()?;
            let rules = rules.with(|rules| Arc::clone(&rules.value));
            let before = before.and_then(Option::as_deref);
            Some(Arc::new(Decided::of(before, book.get(), &rules, &job, &shop.get())))
        },
        |_, _| true,
    );
    let weighed = StoredValue::new(None::<Weighed>);
    // What an edit touches, weighed anew beside what is kept.
    let begin = move |job: &Arc<Job>, decided: &Decided| {
        let next = weighed.with_value(|old| Weighed::begin(old.as_ref(), book.get(), job, &shop.get(), decided));
        weighed.set_value(Some(next));
    };
    let plan = Memo::new_with_compare(
        move |_| {
            let (job, decided) = (job.get()?, decided.get()?);
            begin(&job, &decided);
            let rules = rules.with(|rules| Arc::clone(&rules.value));
            let plan = weighed.try_update_value(|weighed| weighed.as_mut()?.plan(&rules, &job, &decided));
            plan.flatten().map(Arc::new)
        },
        |_, _| true,
    );
    let later: RwSignal<Option<Arc<Plan>>> = RwSignal::new(None);
    let shown = Memo::new_with_compare(
        move |before: Option<&Option<Arc<Shown>>>| {
            let (job, decided) = (job.get()?, decided.get()?);
            let before = before.and_then(Option::as_deref);
            Some(Arc::new(later.with(|plan| Shown::of(before, &decided, &job, plan.as_deref()))))
        },
        |_, _| true,
    );
    let edits = StoredValue::new(0_u64);
    Effect::new(move |_| {
        let now = (job.get(), decided.get());
        if now.0.is_some() {
            shop.track();
        }
        edits.update_value(|edits| *edits += 1);
        let edit = edits.get_value();
        // A later edit makes this one's steps idle.
        let stands = move || edits.try_get_value() == Some(edit);
        let go = move || {
            if !stands() {
                return;
            }
            if let (Some(job), Some(decided)) = now {
                untrack(|| begin(&job, &decided));
                weigh(weighed, job, stands, move || finish(plan, later));
            } else {
                finish(plan, later);
            }
        };
        // What a screen shows one frame later goes first.
        page::after_frame(move || page::soon(go));
    });
    let planned = Planned { job, book, decided, shown, plan, later, rules, charges, times, joining, shop };
    provide_context(planned);
    Effect::new(move |_| {
        if app.ready.get() {
            rest::when_there(move || planned.make_ready(app));
        }
    });
    planned
}

impl Planned {
    /// The values of the app.
    #[must_use]
    pub fn get() -> Self {
        expect_context()
    }

    /// Reads the books that the jobs at the top of the list will need, one in a task of its own, so that the first of them
    /// opens without waiting for it.
    fn make_ready(self, app: AppState) {
        spawn_local(async move {
            let mut bodies: Vec<Body> = app.jobs.with_untracked(|jobs| {
                jobs.iter().take(LISTED).map(|card| Body { cab: card.vehicle.cab, bed: card.vehicle.bed }).collect()
            });
            bodies.sort();
            bodies.dedup();
            clock::pause(AFTER_START_MS).await;
            for body in bodies {
                catalogue::generic(body);
                clock::pause(0).await;
            }
            // Whatever of them is there by now costs nothing.
            let _ = self.rules.try_with_untracked(|_| ());
            clock::pause(0).await;
            let _ = self.shop.try_with_untracked(|_| ());
        });
    }
}

/// Weighs part after part, some milliseconds at a time, solves the whole job and goes on with `then`, each in a
/// task of its own; stops where a later edit came.
fn weigh(
    weighed: StoredValue<Option<Weighed>>,
    job: Arc<Job>,
    stands: impl Fn() -> bool + Copy + 'static,
    then: impl FnOnce() + 'static,
) {
    if !stands() {
        return;
    }
    let start = page::now();
    let more = weighed.try_update_value(|weighed| {
        let Some(weighed) = weighed else { return false };
        while weighed.step(&job) {
            if page::now() - start > SLICE_MS {
                return true;
            }
        }
        false
    });
    page::soon(move || {
        if more == Some(true) {
            weigh(weighed, job, stands, then);
        } else if stands() {
            let start = page::now();
            weighed.try_update_value(|weighed| weighed.iter_mut().for_each(|weighed| weighed.solve(&job)));
            page::measure("cutline-solve", start);
            page::soon(then);
        }
    });
}

/// Makes the plan and shows it.
fn finish(plan: Memo<Option<Arc<Plan>>>, later: RwSignal<Option<Arc<Plan>>>) {
    let start = page::now();
    if let Some(made) = plan.try_get_untracked() {
        page::measure("cutline-plan", start);
        later.try_set(made);
    }
}

fn shop(settings: &crate::state::Settings, charges: &Charges, times: Arc<TimeBook>) -> Shop {
    Shop {
        aluminium_welding: settings.aluminium_welding,
        aluminium_bay: settings.aluminium_bay,
        times,
        rates: Arc::clone(&charges.rates),
        prices: Arc::clone(&charges.prices),
    }
}
