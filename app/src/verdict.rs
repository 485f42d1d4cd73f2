//! What the model decided for a part, as every screen shows it: the sentence that tells most, cut lines in words, and
//! all options with the rules that permitted or forbade them.
//!
//! Shows the model's trace as it is and never words a reason of its own. Holds nothing; a choice is reported.

use crate::widgets::{Icon, Sign};
use crate::words::{length, raised, t, tf};
use leptos::prelude::*;
use model::catalogue::Part;
use model::decide::section::{cell_name, cut_name};
use model::decide::{Choice, CutUse, Decision, Effect, NoSection, RouteChoice, SectionPlan, Trace};
use model::ids::RuleId;
use model::terms::Action;

/// The sentence that tells most: why nothing less intrusive will do, or else why the action is permitted.
#[must_use]
pub fn why(decision: &Decision) -> String {
    // That a part is not made to be divided tells nothing about this damage; the next less intrusive action does.
    let undivided = decision.no_section == Some(NoSection::NotDivided);
    let less = decision
        .options
        .iter()
        .filter(|option| option.action < decision.chosen && !option.permitted)
        .filter(|option| !(undivided && option.action == Action::Section))
        .rev()
        .find_map(|option| option.trace.iter().find(|trace| trace.effect == Effect::Forbids));
    let own =
        decision.chosen_option().and_then(|option| option.trace.iter().find(|trace| trace.effect == Effect::Permits));
    let strong = matches!(decision.chosen, Action::Section | Action::Replace | Action::Refer);
    let found = if strong { less.or(own) } else { own.or(less) };
    found.map(|trace| trace.reason.to_string()).unwrap_or_default()
}

/// The rules that ask for more work with an option. One that permits it as well has said its reason already.
pub fn further(option: &Choice) -> impl Iterator<Item = &Trace> {
    let permits =
        |rule: &RuleId| option.trace.iter().any(|trace| trace.effect == Effect::Permits && trace.rule == *rule);
    option.trace.iter().filter(move |trace| trace.effect == Effect::Requires && !permits(&trace.rule))
}

/// Where to cut, in words: each line with its length, its distances, and how far it may move.
#[component]
pub fn SectionWords(
    /// The part.
    part: &'static Part,
    /// Where to cut.
    plan: SectionPlan,
    /// Whether lengths are in inches.
    imperial: bool,
) -> impl IntoView {
    let share = format!("{:.0}", plan.share * 100.0);
    let pieces = plan.cells.iter().map(|cell| cell_name(part, cell)).collect::<Vec<_>>().join(", ");
    let lines: Vec<String> = plan.cuts.iter().map(|cut| cut_words(part, cut, imperial)).collect();
    view! {
        <div class="cuts">
            <p>
                <Icon name="cut" />
                {tf("verdict-section", &[("share", &share), ("pieces", &pieces)])}
            </p>
            <ul>{lines.into_iter().map(|line| view! { <li>{line}</li> }).collect_view()}</ul>
        </div>
    }
}

fn cut_words(part: &Part, cut: &CutUse, imperial: bool) -> String {
    let join = t(cut.join.key());
    let (long, sleeve) = (length(cut.length_mm, imperial), length(cut.sleeve_mm, imperial));
    let mut text = tf(
        "verdict-cut",
        &[("line", &raised(&cut_name(part, &cut.cut))), ("join", &join), ("length", &long), ("sleeve", &sleeve)],
    );
    let mut more = |key: &str, arguments: &[(&str, &str)]| {
        text.push(' ');
        text.push_str(&tf(key, arguments));
    };
    if cut.to_damage_mm.is_finite() {
        more("verdict-cut-damage", &[("distance", &length(cut.to_damage_mm, imperial))]);
    }
    if let Some((kind, distance)) = &cut.nearest_no_cut {
        more("verdict-cut-clear", &[("what", &t(kind.key())), ("distance", &length(*distance, imperial))]);
    }
    let room = cut.range_mm.1 - cut.range_mm.0;
    if room >= 1.0 {
        more("verdict-cut-room", &[("room", &length(room, imperial))]);
    }
    text
}

/// All six actions, each permitted or not with every rule that spoke, its ways to join, and the key that holds it.
#[component]
pub fn Options(
    /// The part.
    part: &'static Part,
    /// The decision.
    decision: Decision,
    /// The permitted action to which the person holds the part.
    held: Option<Action>,
    /// Whether lengths are in inches.
    imperial: bool,
    /// Told the action that the person insists on; `None` lets it go.
    on_hold: Callback<Option<Action>>,
) -> impl IntoView {
    let (chosen, recommended) = (decision.chosen, decision.recommended);
    let held = decision.refused_hold.or(held);
    decision
        .options
        .into_iter()
        .map(|option| {
            let action = option.action;
            view! {
                <article class="option" data-action=action.word() data-permitted=option.permitted.to_string()>
                    <header>
                        <Sign state=action.word() />
                        <h4>{t(action.key())}</h4>
                        <p class="option-state">
                            {t(if option.permitted { "verdict-permitted" } else { "verdict-forbidden" })}
                            {(action == recommended).then(|| t("verdict-recommended"))}
                            {(held == Some(action)).then(|| t("verdict-held"))}
                            {(held.is_none() && action == chosen && chosen != recommended).then(|| t("verdict-planned"))}
                        </p>
                    </header>
                    <Traces option=option.clone() />
                    {option.permitted.then(|| option.section.clone().map(|plan| view! { <SectionWords part plan imperial /> }))}
                    <Routes routes=option.routes.clone() />
                    {(held == Some(action))
                        .then(|| {
                            view! {
                                <button type="button" class="key" data-act="let-go" on:click=move |_| on_hold.run(None)>
                                    {t("verdict-let-go")}
                                </button>
                            }
                        })}
                    {(option.permitted && action != chosen && held != Some(action))
                        .then(|| {
                            view! {
                                <button type="button" class="key" data-act="hold" on:click=move |_| {
                                    on_hold.run(Some(action));
                                }>
                                    <Icon name="hold" />
                                    {tf("verdict-hold", &[("action", &t(action.key()))])}
                                </button>
                            }
                        })}
                </article>
            }
        })
        .collect_view()
}

/// The actions that are not permitted, each with the rules that forbid it, folded together; nothing where all are.
#[component]
pub fn Forbidden(
    /// The decision.
    decision: Decision,
) -> impl IntoView {
    let options: Vec<Choice> = decision.options.into_iter().filter(|option| !option.permitted).collect();
    (!options.is_empty()).then(|| {
        let rows = options
            .into_iter()
            .map(|option| {
                let action = option.action;
                view! {
                    <article class="option" data-action=action.word() data-permitted="false">
                        <header>
                            <Sign state=action.word() />
                            <h4>{t(action.key())}</h4>
                            <p class="option-state">{t("verdict-forbidden")}</p>
                        </header>
                        <Traces option=option />
                    </article>
                }
            })
            .collect_view();
        view! { <div class="options-forbidden">{rows}</div> }
    })
}

/// The rules that spoke. What would also be needed says nothing about an action that is not permitted and is left out.
#[component]
fn Traces(option: Choice) -> impl IntoView {
    let settles = option.trace.iter().filter(|trace| trace.effect != Effect::Requires);
    let more = further(&option).filter(|_| option.permitted);
    view! {
        <ul class="traces">{settles.chain(more).map(trace_view).collect_view()}</ul>
        {option.trace.is_empty().then(|| view! { <p class="trace-none">{t("verdict-no-rule")}</p> })}
    }
}

/// Ways to join, permitted ones first, each with the rules that spoke of it.
#[component]
pub fn Routes(
    /// The ways of one option.
    routes: Vec<RouteChoice>,
) -> impl IntoView {
    let (yes, no): (Vec<_>, Vec<_>) = routes.into_iter().partition(|route| route.permitted);
    (!yes.is_empty() || !no.is_empty()).then(|| {
        view! {
            <div class="routes">
                <p class="routes-title">{t("verdict-joined")}</p>
                <ul class="traces">{yes.iter().chain(&no).map(route_view).collect_view()}</ul>
            </div>
        }
    })
}

fn route_view(route: &RouteChoice) -> impl IntoView + use<> {
    let state = if route.permitted { "verdict-permitted" } else { "verdict-forbidden" };
    let name = t(route.route.key());
    // Where several rules speak, the one that settles it is the last word: a prohibition if there is one.
    let settles = route
        .trace
        .iter()
        .find(|trace| (trace.effect == Effect::Permits) == route.permitted)
        .map(|trace| (trace.reason.to_string(), trace.basis.words(), trace.rule.0.clone()));
    view! {
        <li class=format!("trace trace-{}", if route.permitted { "permits" } else { "forbids" })>
            <p>
                <b>{name}</b>
                ": "
                {t(state)}
                {settles.as_ref().map(|settles| format!(". {}", settles.0))}
            </p>
            {settles.map(|(_, basis, rule)| view! { <p class="trace-basis">{basis}" · "<code>{rule}</code></p> })}
        </li>
    }
}

fn trace_view(trace: &Trace) -> impl IntoView + use<> {
    view! {
        <li class=format!("trace trace-{}", trace.effect.word())>
            <p>
                <b>{t(&format!("verdict-{}", trace.effect.word()))}</b>
                " "
                {trace.reason.to_string()}
            </p>
            <p class="trace-basis">{trace.basis.words()}" · "<code>{trace.rule.0.clone()}</code></p>
        </li>
    }
}
