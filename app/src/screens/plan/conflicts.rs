//! What two people wrote at the same time: both values, and the person decides which one stands.
//!
//! One value stands meanwhile, the same on every device. Never decides by itself and never hides what lost.

use super::Desk;
use crate::vehicle::day;
use crate::widgets::Icon;
use crate::words::{count, length, t, tf};
use leptos::prelude::*;
use model::damage::Mark;
use model::decide::section::{cell_name, cut_name};
use model::ids::{CellId, CutId, MarkId, PartId};
use model::job::{Command, Conflict, Field, MarkField, OptionHold, PhotoField, Write};
use model::money::{Currency, Money};
use model::terms::Aim;

/// One value of a field, and what makes it stand.
struct Value {
    words: String,
    settle: Option<Write>,
}

/// The list; empty where everybody agrees.
#[component]
pub fn Conflicts() -> impl IntoView {
    let desk = Desk::get();
    let rows = Memo::new(move |_| desk.app.conflicts());
    view! {
        <Show when=move || !rows.with(Vec::is_empty)>
            <section class="conflicts" aria-labelledby="plan-conflicts">
                <h2 id="plan-conflicts" class="plan-heading">{t("plan-conflicts")}</h2>
                <ul>{move || rows.get().iter().map(|conflict| row(desk, conflict)).collect_view()}</ul>
            </section>
        </Show>
    }
}

fn row(desk: Desk, conflict: &Conflict) -> impl IntoView + use<> {
    let name = field_words(desk, &conflict.field);
    let stands = conflict.kept.as_ref().map_or_else(
        || {
            let again = conflict.mark().and_then(|id| {
                with_mark(desk, id, |mark| Write::Mark { id: id.clone(), set: MarkField::Kind(mark.kind) })
            });
            Value { words: t("plan-conflict-kept"), settle: again }
        },
        |write| Value { words: value_words(desk, write), settle: Some(write.clone()) },
    );
    let others = conflict
        .lost
        .iter()
        .map(|lost| {
            let value = Value { words: value_words(desk, &lost.write), settle: Some(lost.write.clone()) };
            let when = day(&lost.at.day());
            answer(desk, &name, value, tf("plan-conflict-lost", &[("day", &when)]))
        })
        .collect_view();
    let first = answer(desk, &name, stands, t("plan-conflict-stands"));
    view! {
        <li class="plan-notice">
            <Icon name="caution" />
            <div class="conflict" role="group" aria-label=name.clone()>
                <p>{tf("plan-conflict", &[("what", &name)])}</p>
                {first}
                {others}
            </div>
        </li>
    }
}

/// A value with its state and the key that settles on it.
fn answer(desk: Desk, name: &str, value: Value, state: String) -> impl IntoView + use<> {
    let Value { words, settle } = value;
    let label = tf("plan-conflict-settle-on", &[("what", name), ("value", &words)]);
    view! {
        <div class="conflict-value">
            <p><b>{words}</b>" "<span>{state}</span></p>
            {settle
                .map(|write| {
                    view! {
                        <button
                            type="button"
                            class="key"
                            aria-label=label
                            on:click=move |_| desk.app.dispatch(Command::Settle(write.clone()))
                        >
                            {t("plan-conflict-settle")}
                        </button>
                    }
                })}
        </div>
    }
}

fn with_mark<T>(desk: Desk, id: &MarkId, look: impl FnOnce(&Mark) -> T) -> Option<T> {
    desk.planned.job.with_untracked(|job| job.as_ref().and_then(|job| job.marks.get(id)).map(look))
}

/// What the field is, in words.
fn field_words(desk: Desk, field: &Field) -> String {
    let plain = match field {
        Field::Title => "gate-title",
        Field::Owner => "gate-owner",
        Field::Received => "gate-received",
        Field::Cab => "vehicle-cab",
        Field::Bed => "vehicle-bed",
        Field::Vin => "vehicle-vin",
        Field::Colour => "vehicle-colour",
        Field::ColourFamily => "vehicle-colour-family",
        Field::RestraintsDeployed => "vehicle-restraints",
        Field::HighVoltage => "vehicle-high-voltage",
        Field::Frame => "plan-frame",
        Field::Note => "ui-note",
        Field::Archived => "gate-archive",
        Field::Aim => "plan-aim",
        Field::Value => "plan-value",
        Field::Freeze => "plan-revisions",
        Field::Photo(..) => "photos",
        Field::HoldOption(part) => return tf("plan-conflict-option", &[("part", &desk.name(part))]),
        Field::Hold(part) => return tf("plan-conflict-hold", &[("part", &desk.name(part))]),
        Field::Inspect(part) => return tf("plan-behind-found", &[("part", &desk.name(part))]),
        Field::Mark(id, _) | Field::MarkIsThere(id) => {
            let name = with_mark(desk, id, |mark| desk.name(&mark.part)).unwrap_or_else(|| id.to_string());
            return tf("plan-conflict-mark", &[("part", &name)]);
        }
    };
    t(plain)
}

/// A value in words.
fn value_words(desk: Desk, write: &Write) -> String {
    let yes = |yes: bool| t(if yes { "answer-yes" } else { "answer-no" });
    let text = |text: &str| {
        if text.is_empty() { t("plan-conflict-empty") } else { tf("plan-conflict-text", &[("text", text)]) }
    };
    match write {
        Write::Title(own) | Write::Owner(own) | Write::Vin(own) | Write::Colour(own) | Write::Note(own) => text(own),
        Write::Received(own) => text(&day(own)),
        Write::Cab(cab) => t(cab.key()),
        Write::ColourFamily(family) => {
            family.map_or_else(|| t("vehicle-colour-family-unknown"), |family| t(family.key()))
        }
        Write::Bed(bed) => t(bed.key()),
        Write::RestraintsDeployed(own) | Write::HighVoltage(own) | Write::Archived(own) => yes(*own),
        Write::Frame(state) => t(state.key()),
        Write::Hold { action, .. } => action.map_or_else(|| t("plan-conflict-no-hold"), |action| t(action.key())),
        Write::Inspect { state, .. } => t(state.key()),
        Write::RemoveMark(_) => t("plan-conflict-removed"),
        Write::Aim(aim) => t(aim.unwrap_or(Aim::Money).key()),
        Write::Value(None) | Write::HoldOption { option: None, .. } => t("plan-conflict-empty"),
        Write::Value(Some(value)) => Currency::from_code(&value.currency).map_or_else(
            |_| format!("{} {}", value.minor, value.currency),
            |currency| Money { minor: value.minor, currency }.to_string(),
        ),
        Write::HoldOption { part, option: Some(option) } => option_words(desk, part, option),
        Write::Freeze(revision) => text(&revision.name),
        Write::Photo { set, .. } => match set {
            PhotoField::Taken(taken) => text(&taken.at),
            PhotoField::Mark(None) => t("photo-of-job"),
            PhotoField::Mark(Some(mark)) => with_mark(desk, mark, |mark| desk.name(&mark.part)).unwrap_or_default(),
            PhotoField::Pins(pins) => count("photo-pins", pins.len()),
            PhotoField::Note(own) => text(own),
            PhotoField::Binned(day) => t(if day.is_some() { "photo-in-bin" } else { "photo-not-in-bin" }),
        },
        Write::Mark { set, .. } => match set {
            MarkField::Part(part) => desk.name(part),
            MarkField::Outline { view, .. } => tf("plan-conflict-outline", &[("view", &t(view.key()))]),
            MarkField::Kind(kind) => t(kind.key()),
            MarkField::DepthMm(mm) => {
                tf("plan-deep", &[("depth", &length(f64::from(*mm), untrack(|| desk.imperial())))])
            }
            MarkField::Coat(coat) => t(coat.key()),
            MarkField::Sharp(sharp) => t(if *sharp { "ui-edge-sharp" } else { "ui-edge-soft" }),
            MarkField::Count(count) => tf("ui-dents-count", &[("count", &count.to_string())]),
            MarkField::Note(own) => text(own),
        },
    }
}

/// What is held to beyond the action, in words.
fn option_words(desk: Desk, part: &PartId, option: &OptionHold) -> String {
    let part = desk.planned.book.get_untracked().part(part);
    let cell = |cell: &CellId| part.map_or_else(|| cell.to_string(), |part| cell_name(part, cell));
    let cells = option.cells.iter().map(cell).collect::<Vec<_>>().join(", ");
    let moved = |(cut, mm): (&CutId, &i32)| {
        let name = part.map_or_else(|| cut.to_string(), |part| cut_name(part, cut));
        format!("{name} {mm:+} mm")
    };
    let route = option.route.map(|route| t(route.key()));
    let pieces = route.into_iter().chain(Some(cells).filter(|cells| !cells.is_empty()));
    pieces.chain(option.moves.iter().map(moved)).collect::<Vec<_>>().join("; ")
}
