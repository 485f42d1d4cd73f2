//! What else may be done to a part: each permitted option with what it would change, held to or let go by one press, and
//! the actions that are not permitted with the reason.
//!
//! Reports a choice as one command. Never offers what the model does not permit.

use super::Desk;
use super::best::pick_title;
use super::figures::{Coin, days_differ, hours_differ};
use crate::verdict;
use crate::widgets::{Icon, Sign};
use crate::words::{count, t, tf};
use leptos::prelude::*;
use model::decide::{CutUse, Decision, Pick, section};
use model::ids::PartId;
use model::job::{Command, Job, OptionHold};
use model::terms::{Action, Aim};
use std::sync::Arc;

/// One permitted option, and what it would change while all other parts stay as they are.
#[derive(Clone, Debug, PartialEq)]
pub struct Alternative {
    /// What is done.
    pub pick: Pick,
    /// Whether the plan does it.
    pub chosen: bool,
    /// Whether it was weighed: to refer is, only where nothing else is permitted or a person holds to it.
    pub weighed: bool,
    /// Whether it cannot stand beside what is picked for another part.
    pub clashes: bool,
    /// More money, minor units.
    pub money: i64,
    /// More work, seconds.
    pub seconds: i64,
    /// More days: numerator; the denominator is that of the plan.
    pub days: i64,
    /// Service parts without a price.
    pub unpriced: Vec<String>,
}

/// How many options show before the rest is asked for.
const FIRST: usize = 6;

impl Alternative {
    /// What it would change in what the plan aims at.
    fn by(&self, aim: Aim) -> i64 {
        match aim {
            Aim::Money => self.money,
            Aim::Hours => self.seconds,
            Aim::Days => self.days,
        }
    }
}

/// The options of a part.
#[component]
pub fn Alternatives(
    /// The part.
    part: PartId,
    /// Its decision.
    decision: Arc<Decision>,
) -> impl IntoView {
    let desk = Desk::get();
    let own = part.clone();
    let list = Memo::new(move |_| desk.alternatives(&own));
    let forbidden = (*decision).clone();
    let all = RwSignal::new(false);
    view! {
        <div class="options">
            <h5 class="options-title">{t("plan-options")}</h5>
            <p class="form-note">{t("plan-options-note")}</p>
            <ul class="option-list">
                {move || {
                    let (Some(plan), Some(job)) = (desk.current.get(), desk.planned.job.get()) else { return Vec::new() };
                    let coin = Coin::of(&plan);
                    let mut shown = list.get();
                    // The plan's own first, then the nearest by the aim; equals stay in their order.
                    let aim = desk.aim.get();
                    shown.sort_by_key(|one| (!one.chosen, !one.weighed, one.by(aim)));
                    let most = if all.get() { shown.len() } else { FIRST };
                    shown
                        .into_iter()
                        .take(most)
                        .map(|one| row(desk, &part, one, &job, &coin, plan.days[1]).into_any())
                        .collect::<Vec<_>>()
                }}
            </ul>
            <Show when=move || !all.get() && list.with(|list| list.len() > FIRST)>
                <button type="button" class="key disclose" data-act="all-options" on:click=move |_| all.set(true)>
                    <span>
                        {move || count("plan-options-more", list.with(|list| list.len() - FIRST))}
                    </span>
                    <Icon name="open" />
                </button>
            </Show>
            <verdict::Forbidden decision=forbidden />
        </div>
    }
}

fn row(desk: Desk, part: &PartId, one: Alternative, job: &Job, coin: &Coin, per_day: u64) -> impl IntoView + use<> {
    let held = is_held(job, part, &one.pick);
    let title = pick_title(desk.planned.book.get_untracked(), &one.pick);
    let name = desk.name(part);
    let sums = [
        (one.money, coin.differ(one.money)),
        (one.seconds, hours_differ(one.seconds)),
        (one.days, days_differ(one.days, per_day)),
    ];
    let sums = sums.into_iter().filter(|(number, _)| *number != 0).map(|(_, text)| text).collect::<Vec<_>>().join(", ");
    let words = match (one.chosen, one.weighed, sums.is_empty()) {
        (true, ..) => t("plan-option-chosen"),
        (false, false, _) => t("plan-option-refer"),
        (false, true, true) => t("plan-option-same"),
        (false, true, false) => sums,
    };
    let cuts = one.pick.section.as_ref().filter(|_| one.pick.action == Action::Section).map(|plan| {
        let share = format!("{:.0}", plan.share * 100.0);
        let named = |cut: &CutUse| {
            desk.part(part).map_or_else(|| cut.cut.to_string(), |part| section::cut_name(part, &cut.cut))
        };
        let list = plan.cuts.iter().map(named).collect::<Vec<_>>().join(", ");
        tf("plan-option-cuts", &[("share", &share), ("cuts", &list)])
    });
    let unpriced =
        (!one.unpriced.is_empty()).then(|| tf("plan-option-unpriced", &[("list", &one.unpriced.join(", "))]));
    let command = if held { release(part) } else { hold(part, &one.pick) };
    let (key, act) = if held { ("plan-release", "let-go") } else { ("plan-hold", "hold") };
    let label = tf(if held { "plan-release-named" } else { "plan-hold-named" }, &[("option", &title), ("part", &name)]);
    let action = one.pick.action.word();
    let route = one.pick.route.map(model::terms::Route::word);
    view! {
        <li
            class="option-row"
            data-action=action
            data-route=route
            data-chosen=one.chosen.to_string()
            data-held=held.to_string()
            data-money=one.money.to_string()
        >
            <Sign state=action />
            <div class="option-text">
                <p class="option-name">{title}</p>
                {held.then(|| view! { <p class="verdict-held"><Icon name="hold" />{t("plan-held")}</p> })}
                <p class="option-sums">{words}</p>
                {cuts.map(|text| view! { <p class="option-cuts">{text}</p> })}
                {one.clashes
                    .then(|| view! { <p class="option-cuts"><Icon name="caution" />{t("plan-option-clashes")}</p> })}
                {unpriced.map(|text| view! { <p class="option-cuts"><Icon name="caution" />{text}</p> })}
            </div>
            <button
                type="button"
                class="key"
                data-act=act
                aria-label=label
                on:click=move |_| desk.keep_in(command.clone())
            >
                {t(key)}
            </button>
        </li>
    }
}

/// Holds to exactly this: the action, the way to join, and for section the pieces.
fn hold(part: &PartId, pick: &Pick) -> Command {
    let cells = pick.section.as_ref().filter(|_| pick.action == Action::Section).map(|plan| plan.cells.clone());
    let option = OptionHold { route: pick.route, cells: cells.unwrap_or_default(), ..OptionHold::default() };
    Command::HoldOption { part: part.clone(), action: Some(pick.action), option: Some(option) }
}

fn release(part: &PartId) -> Command {
    Command::HoldOption { part: part.clone(), action: None, option: None }
}

/// Whether a person holds to this option, as far as they said.
fn is_held(job: &Job, part: &PartId, pick: &Pick) -> bool {
    let (action, option) = (job.holds.get(part), job.options.get(part));
    if action.is_none() && option.is_none() {
        return false;
    }
    let cells = |cells: &[model::ids::CellId]| {
        let mut own: Vec<_> = pick.section.iter().flat_map(|plan| plan.cells.iter().cloned()).collect();
        own.sort();
        cells.is_empty() || own == cells
    };
    action.is_none_or(|action| *action == pick.action)
        && option.is_none_or(|option| {
            option.route.is_none_or(|route| pick.route == Some(route))
                && (pick.action != Action::Section || cells(&option.cells))
        })
}
