//! The plan of the open job: what is done to each part and why, where to look behind, the work in order, and what the
//! plan stands on.
//!
//! Shows what the model says. The only facts written here are choices, inspections and circumstances, each by one command.

mod alternatives;
mod behind;
mod best;
mod conflicts;
mod cutdrag;
mod cutmap;
mod cutpaper;
mod cutwords;
mod figures;
mod findings;
mod fold;
mod grounds;
mod head;
mod measures;
mod money;
mod photos;
mod picture;
mod revisions;
mod sums;
mod totals;
mod vehicle;
mod work;

use crate::planned::Planned;
use crate::platform::{page, paper};
use crate::route::{Route, Router};
use crate::state::{AppState, Units};
use crate::words::{t, tf};
use fold::Fold;
use leptos::prelude::*;
use model::catalogue::Part;
use model::estimate::Estimate;
use model::ids::PartId;
use model::job::{Command, Revision};
use model::terms::Aim;
use std::collections::BTreeSet;
use std::sync::Arc;

/// What the parts of this screen share.
#[derive(Clone, Copy)]
pub(crate) struct Desk {
    /// The app's state.
    app: AppState,
    /// The address.
    router: Router,
    /// What the model says.
    planned: Planned,
    /// Parts whose options are unfolded.
    unfolded: RwSignal<BTreeSet<PartId>>,
    /// Parts whose cut map is unfolded.
    mapped: RwSignal<BTreeSet<PartId>>,
    /// What the plan comes to.
    estimate: Memo<Option<Arc<Estimate>>>,
    /// The same written down, as it would be frozen.
    current: Memo<Option<Arc<Revision>>>,
    /// The best for each aim.
    offers: Memo<Vec<best::Offer>>,
    /// What the plan aims at.
    aim: Memo<Aim>,
    /// Whether the page is on its way to paper: everything is unfolded.
    on_paper: RwSignal<bool>,
    /// Whether the pictures are wanted for paper.
    for_paper: RwSignal<bool>,
}

impl Desk {
    fn get() -> Self {
        expect_context()
    }

    /// Whether lengths are shown in inches; tracked.
    fn imperial(self) -> bool {
        self.app.settings.with(|settings| settings.units == Units::Imperial)
    }

    /// The book's part; not tracked.
    fn part(self, id: &PartId) -> Option<&'static Part> {
        self.planned.book.get_untracked().part(id)
    }

    /// The part's name in words; not tracked.
    fn name(self, id: &PartId) -> String {
        self.part(id).map_or_else(|| id.to_string(), Part::name)
    }

    /// Whether a person holds to anything for the part; tracked.
    fn is_held(self, id: &PartId) -> bool {
        self.planned
            .job
            .with(|job| job.as_ref().is_some_and(|job| job.holds.contains_key(id) || job.options.contains_key(id)))
    }

    /// What holds of the part cannot stand together with others, in words; tracked.
    fn conflict(self, id: &PartId) -> Option<String> {
        self.planned.plan.with(|plan| {
            let conflict = plan.as_ref()?.conflict.as_ref()?;
            conflict.parts.contains(id).then(|| conflict.text.clone())
        })
    }

    /// What is picked for the part against what else was permitted, in words; tracked.
    fn differences(self, id: &PartId) -> Vec<String> {
        self.planned.plan.with(|plan| {
            let own = plan.iter().flat_map(|plan| &plan.differences).filter(|one| one.part.as_ref() == Some(id));
            own.map(|one| one.text.clone()).collect()
        })
    }

    /// Edits the job and keeps the keyboard in the part's card, whose pressed key is gone with the old options.
    fn keep_in(self, command: Command) {
        let card = match &command {
            Command::HoldOption { part, .. } => format!("#finding-{} [data-act=options]", part.0),
            _ => String::new(),
        };
        self.app.dispatch(command);
        page::next_frame(move || page::focus(&card));
    }

    /// Goes to the page of how it goes back together: of a part, or of the first.
    fn joints_of(self, part: Option<&PartId>) {
        if let Route::Plan { job } = self.router.peek() {
            self.router.go(Route::Joints { job, part: part.map(|part| part.to_string()) });
        }
    }

    /// Goes to the walk with the sheet of a part open, where the part shows.
    fn walk_to(self, id: &PartId) {
        if let (Some(part), Route::Plan { job }) = (self.part(id), self.router.peek()) {
            self.router.go_to_part(&job, part);
        }
    }
}

/// The sections of the page, in order, for the way between them.
const SECTIONS: [(&str, &str); 6] = [
    ("plan-parts", "plan-parts"),
    ("plan-behind", "plan-behind"),
    ("plan-work", "plan-work"),
    ("plan-money", "plan-money-title"),
    ("plan-revisions", "plan-revisions"),
    ("plan-grounds", "plan-grounds"),
];

/// The plan screen of the open job.
#[component]
pub fn PlanScreen() -> impl IntoView {
    let (app, planned) = (AppState::get(), Planned::get());
    let estimate = sums::estimate(planned);
    let desk = Desk {
        app,
        router: Router::get(),
        planned,
        unfolded: RwSignal::new(BTreeSet::new()),
        mapped: RwSignal::new(BTreeSet::new()),
        estimate,
        current: sums::current(planned, estimate),
        offers: sums::offers(planned),
        aim: Memo::new(move |_| planned.job.with(|job| job.as_ref().and_then(|job| job.aim).unwrap_or(Aim::Money))),
        on_paper: RwSignal::new(false),
        for_paper: RwSignal::new(false),
    };
    provide_context(desk);
    paper::on_paper(move |goes| {
        desk.on_paper.try_set(goes);
    });
    let empty =
        Memo::new(move |_| desk.planned.plan.with(|plan| plan.as_ref().is_none_or(|plan| plan.decisions.is_empty())));
    view! {
        <main class="page plan">
            <div class="plan-top">
                <head::Head />
                <div class="plan-trust">
                    <Show when=move || !empty.get()>
                        <head::Notices />
                    </Show>
                    <conflicts::Conflicts />
                </div>
            </div>
            <Show when=move || empty.get()>
                <div class="plan-empty">
                    <p>{t("plan-empty")}</p>
                    <ToWalk />
                </div>
            </Show>
            <Show when=move || !empty.get()>
                <totals::Totals />
                <best::Best />
                <div class="plan-columns">
                    <div class="plan-side">
                        <picture::Picture />
                        <nav class="plan-ways" aria-label=t("plan-ways")>
                            {SECTIONS
                                .iter()
                                .map(|(id, key)| {
                                    let to = format!("#{id}");
                                    view! {
                                        <button type="button" class="key" on:click=move |_| paper::go_to(&to)>{t(key)}</button>
                                    }
                                })
                                .collect_view()}
                            <photos::Way />
                        </nav>
                    </div>
                    <div class="plan-main">
                        <findings::Findings />
                        <behind::Behind />
                        <work::Work />
                        <money::Money />
                        <revisions::Revisions />
                        <vehicle::Circumstances />
                        <grounds::Grounds />
                        <photos::Photos />
                    </div>
                </div>
            </Show>
            <Show when=move || empty.get()>
                <vehicle::Circumstances />
            </Show>
        </main>
    }
    .into_any()
}

/// The way to the walk of the open job.
#[component]
fn ToWalk() -> impl IntoView {
    let router = Router::get();
    view! {
        <button
            type="button"
            class="key primary"
            on:click=move |_| {
                if let Route::Plan { job } = router.peek() {
                    router.go(Route::walk(&job));
                }
            }
        >
            {t("plan-to-walk")}
        </button>
    }
}

/// The heading of a section, with how many things stand in it.
#[component]
fn Heading(
    /// Id of the section.
    id: &'static str,
    /// Key of its name.
    key: &'static str,
    /// How many things stand in it.
    #[prop(into)]
    number: Signal<usize>,
) -> impl IntoView {
    view! {
        <h2 id=id tabindex="-1" class="plan-heading">
            {move || if number.get() == 0 { t(key) } else { tf("plan-heading", &[("name", &t(key)), ("count", &number.get().to_string())]) }}
        </h2>
    }
}
