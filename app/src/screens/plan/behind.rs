//! Where to look for hidden damage, nearest first, each with its answer.
//!
//! Records what a person found; a part found damaged is then marked on the walk.

use super::{Desk, Heading};
use crate::widgets::{Choices, Icon, Pick};
use crate::words::{cap, count, length, t, tf};
use leptos::prelude::*;
use model::ids::PartId;
use model::job::Command;
use model::terms::Inspection;

/// Steps along the load path after which parts stand in one group; the model looks no further than this today.
const HOPS_MOST: u32 = 3;

/// The list.
#[component]
pub fn Behind() -> impl IntoView {
    let desk = Desk::get();
    let rows = Memo::new(move |_| {
        desk.planned.plan.with(|plan| {
            let all = plan.as_ref().map(|plan| plan.look_behind.as_slice()).unwrap_or_default();
            all.iter().map(|one| one.part.clone()).collect::<Vec<_>>()
        })
    });
    let waiting = Memo::new(move |_| {
        desk.planned.plan.with(|plan| {
            let all = plan.as_ref().map(|plan| plan.look_behind.as_slice()).unwrap_or_default();
            all.iter().filter(|one| one.state == Inspection::NotYet).count()
        })
    });
    view! {
        <section class="behind-list" aria-labelledby="plan-behind">
            <Heading id="plan-behind" key="plan-behind" number=Signal::derive(move || rows.with(Vec::len)) />
            <p class="behind-sum" role="status" data-waiting=move || waiting.get().to_string()>
                {move || {
                    if rows.with(Vec::is_empty) {
                        t("ui-behind-none")
                    } else if waiting.get() == 0 {
                        t("plan-behind-done")
                    } else {
                        count("plan-behind-waiting", waiting.get())
                    }
                }}
            </p>
            {(1..=HOPS_MOST).map(|hops| view! { <Group hops=hops /> }).collect_view()}
        </section>
    }
}

/// The parts that lie so many parts from the damage; only the nearest group shows at once.
#[component]
fn Group(
    /// Parts passed on the way, the part itself included.
    hops: u32,
) -> impl IntoView {
    let desk = Desk::get();
    let rows = Memo::new(move |_| {
        desk.planned.plan.with(|plan| {
            let all = plan.as_ref().map(|plan| plan.look_behind.as_slice()).unwrap_or_default();
            let own = all.iter().filter(|one| one.hops.min(HOPS_MOST) == hops);
            own.map(|one| (one.part.clone(), one.state != Inspection::NotYet)).collect::<Vec<_>>()
        })
    });
    let unfolded = RwSignal::new(hops == 1);
    let seen = move || rows.with(|rows| rows.iter().filter(|row| row.1).count()).to_string();
    let name = move || {
        let all = rows.with(Vec::len).to_string();
        tf("plan-behind-group", &[("name", &t(&format!("plan-behind-{hops}"))), ("seen", &seen()), ("count", &all)])
    };
    view! {
        <Show when=move || !rows.with(Vec::is_empty)>
            <div class="behind-group" data-hops=hops.to_string()>
                <h3>
                    <button
                        type="button"
                        class="key disclose"
                        aria-expanded=move || unfolded.get().to_string()
                        on:click=move |_| unfolded.update(|open| *open = !*open)
                    >
                        <span>{name}</span>
                        <Icon name="open" />
                    </button>
                </h3>
                <ol class="behind-rows" data-folded=move || (!unfolded.get()).to_string()>
                    <For each=move || rows.get() key=|row| row.0.clone() let:row>
                        <Row part=row.0 />
                    </For>
                </ol>
            </div>
        </Show>
    }
}

#[component]
fn Row(
    /// The part to look at.
    part: PartId,
) -> impl IntoView {
    let desk = Desk::get();
    let own = part.clone();
    let look = Memo::new(move |_| {
        desk.planned.plan.with(|plan| plan.as_ref()?.look_behind.iter().find(|one| one.part == own).cloned())
    });
    let name = desk.name(&part);
    let picks: Vec<Pick> =
        Inspection::ALL.iter().map(|state| Pick::plain(state.word(), cap(&format!("plan-{}", state.key())))).collect();
    let (to_write, to_show) = (part.clone(), part.clone());
    let damaged =
        Memo::new(move |_| look.with(|look| look.as_ref().is_some_and(|look| look.state == Inspection::Damaged)));
    view! {
        <li class="behind-row" data-part=part.to_string() data-state=move || look.with(|look| look.as_ref().map(|look| look.state.word()))>
            <div class="behind-text">
                <h4>{name.clone()}</h4>
                <p>{move || look.with(|look| look.as_ref().map(|look| look.reason(desk.planned.book.get())))}</p>
                <p class="behind-far">
                    {move || {
                        look.with(|look| {
                            look.as_ref().map(|look| tf("plan-behind-far", &[("distance", &length(look.distance_mm, desk.imperial()))]))
                        })
                    }}
                </p>
                <p class="paper">
                    {move || look.with(|look| look.as_ref().map(|look| cap(look.state.key())))}
                </p>
            </div>
            <div class="behind-answer">
                <Choices
                    label=tf("plan-behind-found", &[("part", &name)])
                    quiet=true
                    picks=Signal::stored(picks)
                    value=Signal::derive(move || look.with(|look| look.as_ref().map(|look| look.state.word().to_owned())).unwrap_or_default())
                    on_pick=move |word: String| {
                        let Some(state) = Inspection::from_word(&word) else { return };
                        desk.app.dispatch(Command::Inspect { part: to_write.clone(), state });
                        if state == Inspection::Damaged {
                            desk.walk_to(&to_write);
                        }
                    }
                />
                <Show when=move || damaged.get()>
                    <button type="button" class="key" on:click={
                        let to_show = to_show.clone();
                        move |_| desk.walk_to(&to_show)
                    }>
                        <Icon name="open" />
                        {t("plan-behind-mark")}
                    </button>
                </Show>
            </div>
        </li>
    }
}
