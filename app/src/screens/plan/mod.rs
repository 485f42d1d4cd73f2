//! The plan of the open job: what is done to each part and why, where to look behind, the work in order, and what the
//! plan stands on.
//!
//! Shows what the model says. The only facts written here are choices, inspections and circumstances, each by one command.

mod behind;
mod conflicts;
mod findings;
mod grounds;
mod head;
mod measures;
mod picture;
mod vehicle;
mod work;

use crate::planned::Planned;
use crate::platform::paper;
use crate::route::{Route, Router};
use crate::state::{AppState, Units};
use crate::words::{t, tf};
use leptos::prelude::*;
use model::catalogue::Part;
use model::ids::PartId;
use std::collections::BTreeSet;

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
        self.part(id).map_or_else(|| id.0.clone(), Part::name)
    }

    /// Goes to the walk with the sheet of a part open, where the part shows.
    fn walk_to(self, id: &PartId) {
        if let (Some(part), Route::Plan { job }) = (self.part(id), self.router.peek()) {
            self.router.go_to_part(&job, part);
        }
    }
}

/// The sections of the page, in order, for the way between them.
const SECTIONS: [(&str, &str); 4] = [
    ("plan-parts", "plan-parts"),
    ("plan-behind", "plan-behind"),
    ("plan-work", "plan-work"),
    ("plan-grounds", "plan-grounds"),
];

/// The plan screen of the open job.
#[component]
pub fn PlanScreen() -> impl IntoView {
    let desk = Desk {
        app: AppState::get(),
        router: Router::get(),
        planned: Planned::get(),
        unfolded: RwSignal::new(BTreeSet::new()),
    };
    provide_context(desk);
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
                        </nav>
                    </div>
                    <div class="plan-main">
                        <findings::Findings />
                        <behind::Behind />
                        <work::Work />
                        <vehicle::Circumstances />
                        <grounds::Grounds />
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
