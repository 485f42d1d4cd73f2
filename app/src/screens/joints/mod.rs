//! How the parts of a job go back together: for each renewed part its joints in words and on a map, what is refinished, and
//! what the whole job takes.
//!
//! A page of the plan. Shows what the model says, worked out once after the page has been painted. Changes no job.

mod cards;
mod map;
mod said;
mod sheet;
mod spot;
mod takes;

use crate::planned::Planned;
use crate::platform::{page, paper};
use crate::route::{Route, Router};
use crate::state::{AppState, Units};
use crate::widgets::{Choices, Icon, Pick};
use crate::words::{count, t, tf};
use leptos::prelude::*;
use model::catalogue::Book;
use model::ids::PartId;
use model::joints::materials::{Material, Refinish, materials, refinish};
use model::joints::{JointPlan, MadeWith, Stock, Wanted, joint_plans, made_with, unjoinable};
use model::operations::{Neighbour, neighbours};
use model::plan::Plan;
use std::sync::Arc;

/// What is worked out for a plan.
pub(crate) struct Built {
    /// The body book.
    book: &'static Book,
    /// The shop's list.
    stock: Arc<Stock>,
    /// Every joint by every permitted way.
    joints: Vec<JointPlan>,
    /// Joints of a part that stand on the sheet of another.
    made_with: Vec<MadeWith>,
    /// Why parts cannot be joined at all, in words.
    unjoinable: Vec<String>,
    /// Coats.
    coats: Vec<Refinish>,
    /// Panels beside refinished ones.
    blends: Vec<Neighbour>,
    /// What the job takes.
    materials: Vec<Material>,
}

/// What the parts of this screen share.
#[derive(Clone, Copy)]
pub(crate) struct Bench {
    app: AppState,
    router: Router,
    /// What is worked out; `None` until the page has been painted.
    built: RwSignal<Option<Arc<Built>>>,
    /// Renewed parts with joints, in the order of the plan.
    parts: Memo<Vec<PartId>>,
    /// The part that is looked at.
    part: Memo<Option<PartId>>,
    /// The joint that the map should show, by its number.
    shown: RwSignal<Option<usize>>,
}

impl Bench {
    fn get() -> Self {
        expect_context()
    }

    /// Whether lengths are shown in inches; tracked.
    fn imperial(self) -> bool {
        self.app.settings.with(|settings| settings.units == Units::Imperial)
    }

    /// Reads what is worked out; tracked.
    fn with<T>(self, read: impl FnOnce(&Built) -> T) -> Option<T> {
        self.built.with(|built| built.as_deref().map(read))
    }

    fn look_at(self, part: &PartId) {
        self.shown.set(None);
        if let Route::Joints { job, .. } = self.router.peek() {
            self.router.turn(Route::Joints { job, part: Some(part.to_string()) });
        }
    }

    /// The name of a file of this job.
    fn file(self, ending: &str) -> String {
        let job = match self.router.peek() {
            Route::Joints { job, .. } => job,
            _ => String::new(),
        };
        format!("{job}-{ending}")
    }

    /// Goes back to the plan, to the card of the part.
    fn leave(self) {
        let Route::Joints { job, .. } = self.router.peek() else { return };
        let part = self.part.get_untracked();
        self.router.go(Route::Plan { job });
        if let Some(part) = part {
            page::next_frame(move || paper::go_to(&format!("#finding-{}", part.0)));
        }
    }
}

fn build(planned: Planned, plan: &Plan) -> Built {
    let book = planned.book.get_untracked();
    let stock = planned.joining.with_untracked(|list| Arc::clone(&list.value));
    let times = planned.times.with_untracked(|times| Arc::clone(&times.value));
    let picked: Vec<_> = plan.decisions.iter().map(AsRef::as_ref).zip(&plan.picks).collect();
    let joints = joint_plans(book, &picked, &stock, &times, Wanted::Permitted);
    let made_with = made_with(book, &picked, &joints);
    let unjoinable = unjoinable(book, &picked).iter().map(|error| error.message(said::LANGUAGE)).collect();
    let coats = refinish(&stock, &plan.operations);
    let materials = materials(&stock, &joints, &coats);
    let family = planned.job.with_untracked(|job| job.as_ref().and_then(|job| job.vehicle.colour_family));
    let blends = neighbours(book, &plan.operations, family);
    Built { book, stock, joints, made_with, unjoinable, coats, blends, materials }
}

/// The screen of the open job.
#[component]
pub fn JointsScreen() -> impl IntoView {
    let (app, planned, router) = (AppState::get(), Planned::get(), Router::get());
    let built = RwSignal::new(None);
    // After the paint, and anew whenever the plan is another.
    Effect::new(move |_| {
        let Some(plan) = planned.later.get() else { return };
        planned.times.track();
        planned.joining.track();
        page::after_frame(move || {
            let start = page::now();
            let made = untrack(|| build(planned, &plan));
            page::measure("cutline-joints", start);
            built.try_set(Some(Arc::new(made)));
        });
    });
    let parts = Memo::new(move |_| {
        let mut parts: Vec<PartId> = Vec::new();
        built.with(|built: &Option<Arc<Built>>| {
            let own = built.iter().flat_map(|built| &built.joints).filter(|plan| plan.picked).map(|plan| &plan.part);
            for part in own.chain(built.iter().flat_map(|built| &built.made_with).map(|one| &one.part)) {
                if !parts.contains(part) {
                    parts.push(part.clone());
                }
            }
        });
        parts
    });
    let part = Memo::new(move |_| {
        let wanted = match router.now() {
            Route::Joints { part, .. } => part.map(PartId::from),
            _ => None,
        };
        parts.with(|parts| wanted.filter(|wanted| parts.contains(wanted)).or_else(|| parts.first().cloned()))
    });
    let bench = Bench { app, router, built, parts, part, shown: RwSignal::new(None) };
    provide_context(bench);
    view! {
        <main class="page plan joints">
            <header class="plan-head">
                <div class="joints-way">
                    <button type="button" class="key" data-act="to-plan" on:click=move |_| bench.leave()>
                        <Icon name="back" />
                        {t("joints-back")}
                    </button>
                </div>
                <h1>{t("joints-title")}</h1>
                <p class="plan-whose">
                    {move || planned.job.with(|job| job.as_ref().map(|job| job.title.clone()).unwrap_or_default())}
                </p>
                <p class="plan-sum" role="status">{move || bench.with(summary).unwrap_or_else(|| t("joints-wait"))}</p>
                <p class="joints-aid"><Icon name="caution" />{t(model::joints::strength::SCREENING_KEY)}</p>
                {move || {
                    let said = bench.with(|built| built.unjoinable.clone()).unwrap_or_default();
                    said.into_iter()
                        .map(|text| view! { <p class="plan-refused" role="note" data-unjoinable=""><Icon name="caution" />{text}</p> })
                        .collect_view()
                }}
            </header>
            <Parts />
            <Show when=move || part.with(Option::is_some)>
                {move || {
                    part.get()
                        .map(|part| {
                            let name = bench.with(|built| said::name(built.book, &part)).unwrap_or_default();
                            // All joints of a part may stand on the sheets of others.
                            let has_own = bench.with(|built| built.joints.iter().any(|plan| plan.part == part)).unwrap_or(false);
                            view! {
                                <section class="joints-part" data-part=part.to_string() aria-labelledby="joints-part">
                                    <h2 id="joints-part" class="plan-heading">{name}</h2>
                                    {has_own.then(|| view! { <map::Map part=part.clone() /> })}
                                    <cards::Cards part=part.clone() />
                                    {has_own.then(|| view! { <sheet::Sheets part=part.clone() /> })}
                                </section>
                            }
                        })
                }}
            </Show>
            <Show when=move || built.with(Option::is_some)>
                <takes::Takes />
            </Show>
        </main>
    }
    .into_any()
}

/// The whole in one sentence.
fn summary(built: &Built) -> String {
    let picked = || built.joints.iter().filter(|plan| plan.picked);
    if picked().next().is_none() {
        return t("joints-none");
    }
    let fasteners = picked().map(|plan| plan.fasteners.len()).sum();
    let faults = picked().filter(|plan| !plan.problems.is_empty()).count();
    let sum = tf(
        "joints-sum",
        &[
            ("joints", &count("joints-count-joints", picked().count())),
            ("fasteners", &count("joints-count-fasteners", fasteners)),
        ],
    );
    if faults == 0 { sum } else { format!("{sum} {}", count("joints-count-faults", faults)) }
}

/// The renewed parts, of which one is looked at.
#[component]
fn Parts() -> impl IntoView {
    let bench = Bench::get();
    let picks = Signal::derive(move || {
        let parts = bench.parts.get();
        bench
            .with(|built| {
                let pick = |part: &PartId| {
                    let own = || built.joints.iter().filter(|plan| plan.picked && plan.part == *part);
                    let wrong = own().any(|plan| !plan.problems.is_empty());
                    let joints = count("joints-count-joints", own().count());
                    let label = [("part", &*said::name(built.book, part)), ("joints", &*joints)];
                    Pick {
                        icon: if wrong { "caution" } else { "" },
                        ..Pick::plain(part.to_string(), tf("joints-pick", &label))
                    }
                };
                parts.iter().map(pick).collect::<Vec<_>>()
            })
            .unwrap_or_default()
    });
    view! {
        <Show when=move || { bench.parts.with(Vec::len) > 1 }>
            <div class="joints-parts">
                <Choices
                    label=t("joints-parts")
                    form="grid"
                    picks=picks
                    value=Signal::derive(move || bench.part.get().map(|part| part.to_string()).unwrap_or_default())
                    on_pick=move |word: String| bench.look_at(&PartId::from(word))
                />
            </div>
        </Show>
    }
}
