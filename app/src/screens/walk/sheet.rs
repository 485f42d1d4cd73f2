//! The sheet of one part: its decision at once, and the mark that led to it, to be said more exactly in two more taps.
//!
//! Every control is one edit of the job. Judges nothing.

use super::decision::{Reasons, Verdict, standing};
use super::defaults;
use super::state::Walk;
use crate::canvas::handles;
use crate::platform::page;
use crate::widgets::{Choices, Icon, Pick, Stepper};
use crate::words::{cap, count, length, t, tf};
use leptos::prelude::*;
use model::damage::DEPTH_MAX_MM;
use model::ids::PartId;
use model::job::MarkField;
use model::terms::{Coat, MarkKind};

/// How many kinds of damage show before "more".
const FIRST_KINDS: usize = 5;

/// The sheet of a part.
#[component]
pub fn Sheet(
    /// The part.
    part: PartId,
) -> impl IntoView {
    let walk = Walk::get();
    let name = walk.book_part(&part).map_or_else(|| part.0.clone(), model::catalogue::Part::name);
    let material = walk.book_part(&part).map(|part| {
        tf("ui-made-of", &[("material", &cap(part.family.key())), ("thickness", &length_of(part.thickness_mm))])
    });
    let (own, to_mark, to_edit, title, id) = (part.clone(), part.clone(), part.clone(), name.clone(), part.0.clone());
    let marks = Memo::new(move |_| {
        walk.planned.job.with(|job| {
            job.as_ref().map_or_else(Vec::new, |job| {
                job.marks
                    .iter()
                    .filter(|(_, mark)| mark.part == own)
                    .map(|(id, mark)| (id.clone(), mark.kind))
                    .collect::<Vec<_>>()
            })
        })
    });
    // An undo may take the selected mark away.
    let selected = Memo::new(move |_| walk.mark().is_some());
    let decision = standing(walk, part);
    view! {
        <section class="sheet" aria-label=name data-part-sheet=id>
            <header class="sheet-head">
                <div>
                    <h2>{title}</h2>
                    {material.map(|text| view! { <p class="sheet-material">{text}</p> })}
                </div>
                <button type="button" class="key" aria-label=t("ui-close") on:click=move |_| walk.leave()>
                    <Icon name="close" />
                </button>
            </header>
            <div class="sheet-body">
                <Show when=move || decision.with(Option::is_some)>
                    <Verdict decision=decision />
                </Show>
                <Show when=move || marks.with(Vec::is_empty)>
                    <p class="sheet-none">{t("ui-part-unmarked")}</p>
                    <button
                        type="button"
                        class="key wide"
                        on:click={
                            let part = to_mark.clone();
                            move |_| walk.put_inside(&part)
                        }
                    >
                        {t("ui-mark-here")}
                    </button>
                </Show>
                <Show when=move || marks.with(|marks| marks.len() > 1)>
                    <div class="mark-picks" role="group" aria-label=t("ui-marks-of-part")>
                        <For each=move || marks.get() key=|mark| mark.clone() let:mark>
                            {
                                let (id, own) = (mark.0.clone(), mark.0.clone());
                                view! {
                                    <button
                                        type="button"
                                        class="key"
                                        aria-pressed=move || walk.selected.with(|s| s.as_ref() == Some(&own)).to_string()
                                        on:click=move |_| walk.select(&id)
                                    >
                                        <Icon name=mark.1.word() />
                                        <span>{cap(mark.1.key())}</span>
                                    </button>
                                }
                            }
                        </For>
                    </div>
                </Show>
                <Show when=move || selected.get()>
                    <MarkEditor part=to_edit.clone() />
                </Show>
                <Show when=move || decision.with(Option::is_some)>
                    <Reasons decision=decision />
                </Show>
            </div>
        </section>
    }
}

fn length_of(mm: f64) -> String {
    tf("ui-millimetres", &[("value", &format!("{mm}"))])
}

/// The selected mark's kind, depth, paint, edge and size.
#[component]
fn MarkEditor(
    /// The part that it is on.
    part: PartId,
) -> impl IntoView {
    let walk = Walk::get();
    let kinds = walk.book_part(&part).map_or(MarkKind::ALL, defaults::kinds);
    let painted = walk.book_part(&part).is_some_and(|part| part.has("painted"));
    let mark = Memo::new(move |_| walk.mark());
    let more_kinds = RwSignal::new(false);
    let more = RwSignal::new(false);
    let kind = Signal::derive(move || mark.get().map_or("", |mark| mark.kind.word()).to_owned());
    let kind_is = move |test: fn(MarkKind) -> bool| mark.with(|mark| mark.as_ref().is_some_and(|mark| test(mark.kind)));
    let picks = Signal::derive(move || {
        let now = mark.with(|mark| mark.as_ref().map(|mark| mark.kind));
        let all = kinds.iter().chain(MarkKind::ALL.iter().filter(|kind| !kinds.contains(kind)));
        all.enumerate()
            .filter(|(at, kind)| more_kinds.get() || *at < FIRST_KINDS || Some(**kind) == now)
            .map(|(_, kind)| Pick { value: kind.word().into(), label: cap(kind.key()), icon: kind.word() })
            .chain((!more_kinds.get()).then(|| Pick { value: "more".into(), label: t("ui-kinds-more"), icon: "open" }))
            .collect::<Vec<_>>()
    });
    let depth = Signal::derive(move || mark.get().map_or(0, |mark| i32::from(mark.depth_mm)));
    let depth_step = Signal::derive(move || {
        let now = depth.get();
        let step = defaults::DEPTHS_MM.iter().position(|most| now <= i32::from(*most)).unwrap_or(3);
        step.to_string()
    });
    let depth_picks = Signal::derive(move || {
        let imperial = walk.imperial();
        let text = |mm: u16| length(f64::from(mm), imperial);
        let [a, b, c, _] = defaults::DEPTHS_MM;
        vec![
            Pick::plain("0", text(a)),
            Pick::plain("1", text(b)),
            Pick::plain("2", text(c)),
            Pick::plain("3", t("ui-depth-more")),
        ]
    });
    let coat = Signal::derive(move || mark.get().map_or("", |mark| mark.coat.word()).to_owned());
    let coats = Signal::derive(move || {
        Coat::ALL.iter().map(|coat| Pick::plain(coat.word(), cap(coat.key()))).collect::<Vec<_>>()
    });
    let edge = Signal::derive(move || mark.get().map_or("", |mark| if mark.sharp { "sharp" } else { "soft" }).to_owned());
    let edges =
        Signal::derive(move || vec![Pick::plain("soft", t("ui-edge-soft")), Pick::plain("sharp", t("ui-edge-sharp"))]);

    view! {
        <div class="editor">
            <Choices
                label=t("ui-kind")
                form="grid"
                picks=picks
                value=kind
                on_pick=Callback::new(move |word: String| {
                    match MarkKind::from_word(&word) {
                        Some(kind) => walk.set_kind(kind),
                        None => more_kinds.set(true),
                    }
                })
            />
            <Show when=move || kind_is(defaults::has_depth)>
                <Choices
                    label=t("ui-depth")
                    form="row"
                    picks=depth_picks
                    value=depth_step
                    on_pick=Callback::new(move |step: String| {
                        let at = step.parse::<usize>().unwrap_or(0).min(3);
                        walk.edit(vec![MarkField::DepthMm(defaults::DEPTHS_MM[at])]);
                    })
                />
            </Show>
            <Show when=move || painted>
                <Choices
                    label=t("ui-coat")
                    form="row"
                    picks=coats
                    value=coat
                    on_pick=Callback::new(move |word: String| {
                        if let Some(coat) = Coat::from_word(&word) {
                            walk.edit(vec![MarkField::Coat(coat)]);
                        }
                    })
                />
            </Show>
            <Show when=move || kind_is(defaults::has_edge)>
                <Choices
                    label=t("ui-edge")
                    form="row"
                    picks=edges
                    value=edge
                    on_pick=Callback::new(move |word: String| walk.edit(vec![MarkField::Sharp(word == "sharp")]))
                />
            </Show>
            <div class="editor-acts">
                <button type="button" class="key" data-act="remove" on:click=move |_| walk.remove()>
                    <Icon name="delete" />
                    <span>{t("ui-remove-mark")}</span>
                </button>
                <button type="button" class="key" data-act="add" on:click=move |_| walk.adding.set(true)>
                    <Icon name="finger" />
                    <span>{t("ui-another-mark")}</span>
                </button>
                <button
                    type="button"
                    class="key"
                    data-act="more"
                    aria-expanded=move || more.get().to_string()
                    on:click=move |_| more.update(|more| *more = !*more)
                >
                    <span>{move || if more.get() { t("ui-less") } else { t("ui-more") }}</span>
                </button>
            </div>
            <Show when=move || more.get()>
                <Measures />
            </Show>
        </div>
    }
}

/// Exact size and depth without a drag, the number of hail dents, and a note.
#[component]
fn Measures() -> impl IntoView {
    let walk = Walk::get();
    let mark = Memo::new(move |_| walk.mark());
    let size = move |axis: usize| {
        mark.with(|mark| {
            mark.as_ref().map_or(0, |mark| {
                let size = handles::size(&mark.shape);
                if axis == 0 { size.0 } else { size.1 }
            })
        })
    };
    let shown = move |mm: i32| length(f64::from(mm), walk.imperial());
    let depth = Signal::derive(move || mark.with(|mark| mark.as_ref().map_or(0, |mark| i32::from(mark.depth_mm))));
    let dents = Signal::derive(move || mark.with(|mark| mark.as_ref().map_or(0, |mark| i32::from(mark.count))));
    let kind_is = move |test: fn(MarkKind) -> bool| mark.with(|mark| mark.as_ref().is_some_and(|mark| test(mark.kind)));
    let whole = |value: i32| u16::try_from(value).unwrap_or(0);
    view! {
        <div class="measures">
            <Stepper
                label=t("ui-length")
                value=Signal::derive(move || size(0))
                shown=Signal::derive(move || shown(size(0)))
                least=4
                most=6000
                step=size_step
                less=t("ui-shorter")
                more=t("ui-longer")
                on_change=Callback::new(move |mm| walk.set_size(0, mm))
            />
            <Stepper
                label=t("ui-width")
                value=Signal::derive(move || size(1))
                shown=Signal::derive(move || shown(size(1)))
                least=4
                most=6000
                step=size_step
                less=t("ui-narrower")
                more=t("ui-wider")
                on_change=Callback::new(move |mm| walk.set_size(1, mm))
            />
            <Show when=move || kind_is(defaults::has_depth)>
                <Stepper
                    label=t("ui-depth-exact")
                    value=depth
                    shown=Signal::derive(move || shown(depth.get()))
                    least=0
                    most=i32::from(DEPTH_MAX_MM)
                    step=depth_step
                    less=t("ui-shallower")
                    more=t("ui-deeper")
                    on_change=Callback::new(move |mm| walk.edit(vec![MarkField::DepthMm(whole(mm))]))
                />
            </Show>
            <Show when=move || kind_is(|kind| kind == MarkKind::HailField)>
                <Stepper
                    label=t("ui-dents")
                    value=dents
                    shown=Signal::derive(move || count("ui-dents-count", usize::try_from(dents.get()).unwrap_or(0)))
                    least=1
                    most=2000
                    step=count_step
                    less=t("ui-fewer")
                    more=t("ui-more-dents")
                    on_change=Callback::new(move |number| walk.edit(vec![MarkField::Count(whole(number))]))
                />
            </Show>
            <label class="note">
                <span>{t("ui-note")}</span>
                <textarea
                    rows="2"
                    maxlength="2000"
                    prop:value=move || mark.with(|mark| mark.as_ref().map(|mark| mark.note.clone()).unwrap_or_default())
                    on:change=move |event| walk.edit(vec![MarkField::Note(page::value_of_target(&event))])
                ></textarea>
            </label>
        </div>
    }
}

/// Sizes move by about a tenth.
fn size_step(now: i32, up: bool) -> i32 {
    let now = if up { now } else { now - 1 };
    match now {
        ..50 => 5,
        50..200 => 10,
        200..600 => 25,
        600..1500 => 50,
        _ => 100,
    }
}

/// Depths move by single millimetres where it matters.
fn depth_step(now: i32, up: bool) -> i32 {
    match if up { now } else { now - 1 } {
        ..30 => 1,
        30..100 => 5,
        _ => 20,
    }
}

fn count_step(now: i32, up: bool) -> i32 {
    match if up { now } else { now - 1 } {
        ..20 => 1,
        20..100 => 5,
        _ => 20,
    }
}
