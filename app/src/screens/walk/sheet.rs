//! The sheet of one part: its decision at once, and the mark that led to it, to be said more exactly in two more taps.
//!
//! Every control is one edit of the job. Judges nothing.

use super::decision::{Reasons, Verdict, seen, standing};
use super::defaults;
use super::state::Walk;
use crate::canvas::handles;
use crate::capture::CameraKey;
use crate::platform::page;
use crate::route::{Route, Router};
use crate::state::Size;
use crate::thumb::{Thumb, latest, name};
use crate::widgets::{Choices, Icon, Pick, Stepper};
use crate::words::{cap, count, length, t, tf};
use leptos::html;
use leptos::prelude::*;
use model::catalogue::Part;
use model::damage::{DEPTH_MAX_MM, Mark};
use model::ids::{PartId, PhotoId};
use model::job::MarkField;
use model::terms::{Coat, MarkKind};

/// How many kinds of damage show before "more".
const FIRST_KINDS: usize = 5;

/// The sheet of the part that is looked at. It stays in the page and only changes its words, so that a tap builds
/// nothing.
#[component]
pub fn Sheet() -> impl IntoView {
    let walk = Walk::get();
    // After the sheet closes it still holds the last part, out of sight.
    let part = Memo::new(move |last: Option<&Option<PartId>>| walk.part.get().or_else(|| last.cloned().flatten()));
    let found = Memo::new_with_compare(
        move |_| {
            let book = walk.planned.book.get();
            part.with(|part| book.part(part.as_ref()?))
        },
        |_, _| true,
    );
    let name = Memo::new(move |_| found.get().map(model::catalogue::Part::name).unwrap_or_default());
    let material = Memo::new(move |_| {
        found.get().map_or_else(String::new, |part| {
            let thickness = tf("ui-millimetres", &[("value", &part.thickness_mm.to_string())]);
            tf("ui-made-of", &[("material", &cap(part.family.key())), ("thickness", &thickness)])
        })
    });
    let decision = standing(walk, part);
    // A sheet is read from its beginning; it must be in view to be scrolled. Asking the browser makes it lay out the page,
    // so it is asked only where somebody has scrolled.
    let scrolled = StoredValue::new(false);
    Effect::new(move |_| {
        if walk.part.with(Option::is_some) && scrolled.get_value() {
            scrolled.set_value(false);
            page::next_frame(|| page::scroll_to_top(".sheet-body"));
        }
    });
    view! {
        <section
            class="sheet"
            aria-label=move || name.get()
            data-part-sheet=move || part.get().map(|part| part.to_string())
            data-away=move || walk.part.with(Option::is_none).then_some("")
        >
            <header class="sheet-head">
                <div>
                    <h2>{move || name.get()}</h2>
                    <p class="sheet-material">{move || material.get()}</p>
                </div>
                <button type="button" class="key" aria-label=t("ui-close") on:click=move |_| walk.leave()>
                    <Icon name="close" />
                </button>
            </header>
            <div class="sheet-body" on:scroll=move |_| scrolled.set_value(true)>
                <Verdict decision=decision />
                <Details />
            </div>
        </section>
    }
}

/// What follows the decision one frame later: the marks of the part, the selected one to be said more exactly, the reasons.
#[component]
fn Details() -> impl IntoView {
    let walk = Walk::get();
    // After the sheet closes it still holds the last part, out of sight.
    let part = Memo::new(move |last: Option<&Option<PartId>>| {
        walk.seen.with(|seen| seen.part.clone()).or_else(|| last.cloned().flatten())
    });
    let behind = Memo::new(move |_| walk.part.with(|now| now.is_some() && part.with(|seen| seen != now)));
    let found = Memo::new_with_compare(
        move |_| {
            let book = walk.planned.book.get();
            part.with(|part| book.part(part.as_ref()?))
        },
        |_, _| true,
    );
    let marks = Memo::new(move |_| {
        walk.seen.with(|seen| {
            part.with(|part| {
                let (Some(job), Some(part)) = (&seen.job, part) else { return Vec::new() };
                let own = job.marks.iter().filter(|(_, mark)| mark.part == *part);
                own.map(|(id, mark)| (id.clone(), mark.kind)).collect::<Vec<_>>()
            })
        })
    });
    let selected = Memo::new(move |_| walk.seen.with(|seen| seen.selected.clone()));
    view! {
        <div class="sheet-details" data-behind=move || behind.get().then_some("")>
            <div class="sheet-none" hidden=move || marks.with(|marks| !marks.is_empty())>
                <p>{t("ui-part-unmarked")}</p>
                <button
                    type="button"
                    class="key wide"
                    data-act="mark"
                    on:click=move |_| {
                        if let Some(part) = walk.part.get_untracked() {
                            walk.put_inside(&part);
                        }
                    }
                >
                    {t("ui-mark-here")}
                </button>
            </div>
            <div
                class="mark-picks"
                role="group"
                aria-label=t("ui-marks-of-part")
                hidden=move || marks.with(|marks| marks.len() < 2)
            >
                <For each=move || marks.get() key=|mark| mark.clone() let:mark>
                    {
                        let (id, own) = (mark.0.clone(), mark.0.clone());
                        view! {
                            <button
                                type="button"
                                class="key"
                                aria-pressed=move || selected.with(|s| s.as_ref() == Some(&own)).to_string()
                                on:click=move |_| walk.select(&id)
                            >
                                <Icon name=mark.1.word() />
                                <span>{cap(mark.1.key())}</span>
                            </button>
                        }
                    }
                </For>
            </div>
            <MarkEditor part=found />
            <Reasons decision=seen(walk, part) />
        </div>
    }
}

/// The selected mark's kind, depth, paint, edge and size.
#[component]
fn MarkEditor(
    /// The part that it is on.
    part: Memo<Option<&'static Part>>,
) -> impl IntoView {
    let walk = Walk::get();
    let kinds = Memo::new(move |_| part.get().map_or(MarkKind::ALL, defaults::kinds));
    let painted = Memo::new(move |_| part.get().is_some_and(|part| part.has("painted")));
    // The last mark stays in view, out of sight, while none is selected; an undo may take the selected one away.
    let here = Memo::new(move |_| walk.seen.with(|seen| seen.mark().is_some()));
    let mark = Memo::new(move |last: Option<&Option<Mark>>| {
        walk.seen.with(|seen| seen.mark().cloned()).or_else(|| last.cloned().flatten())
    });
    // More kinds and measures stay open only for the part for which they were opened.
    let (wide, deep) = (RwSignal::new(None::<PartId>), RwSignal::new(None::<PartId>));
    let opened = move |signal: RwSignal<Option<PartId>>| {
        Memo::new(move |_| {
            let own = part.get().map(|part| &part.id);
            own.is_some() && signal.with(|open| open.as_ref() == own)
        })
    };
    let (more_kinds, more) = (opened(wide), opened(deep));
    let own_id = move || part.get_untracked().map(|part| part.id.clone());
    let kind = Memo::new(move |_| mark.with(|mark| mark.as_ref().map(|mark| mark.kind)));
    let kind_word = Signal::derive(move || kind.get().map_or("", MarkKind::word).to_owned());
    let kind_is = move |test: fn(MarkKind) -> bool| kind.get().is_some_and(test);
    let shown = Memo::new(move |_| {
        let (now, first) = (kind.get(), kinds.get());
        let all = first.iter().chain(MarkKind::ALL.iter().filter(|kind| !first.contains(kind)));
        // One that is chosen beyond the first takes the last place of these: two rows of keys, and the depth in view.
        let beyond = all.clone().position(|kind| Some(*kind) == now).is_some_and(|at| at >= FIRST_KINDS);
        let most = FIRST_KINDS - usize::from(beyond);
        all.enumerate()
            .filter(|(at, kind)| more_kinds.get() || *at < most || Some(**kind) == now)
            .map(|(_, kind)| *kind)
            .collect::<Vec<_>>()
    });
    let picks = Signal::derive(move || {
        let all = shown.get().into_iter();
        all.map(|kind| Pick { value: kind.word().into(), label: cap(kind.key()), icon: kind.word() })
            .chain((!more_kinds.get()).then(|| Pick { value: "more".into(), label: t("ui-kinds-more"), icon: "open" }))
            .collect::<Vec<_>>()
    });
    let depth = Memo::new(move |_| mark.with(|mark| mark.as_ref().map_or(0, |mark| mark.depth_mm)));
    let depth_step = Signal::derive(move || {
        let now = depth.get();
        defaults::DEPTHS_MM.iter().position(|most| now <= *most).unwrap_or(3).to_string()
    });
    let depth_picks = Signal::derive(move || {
        let imperial = walk.imperial();
        let [a, b, c, _] = defaults::DEPTHS_MM.map(|mm| length(f64::from(mm), imperial));
        vec![Pick::plain("0", a), Pick::plain("1", b), Pick::plain("2", c), Pick::plain("3", t("ui-depth-more"))]
    });
    let coat = Signal::derive(move || mark.with(|mark| mark.as_ref().map_or("", |mark| mark.coat.word())).to_owned());
    let coats = Signal::derive(move || {
        Coat::ALL.iter().map(|coat| Pick::plain(coat.word(), cap(coat.key()))).collect::<Vec<_>>()
    });
    let edge = Signal::derive(move || {
        mark.with(|mark| mark.as_ref().map_or("", |mark| if mark.sharp { "sharp" } else { "soft" })).to_owned()
    });
    let edges =
        Signal::derive(move || vec![Pick::plain("soft", t("ui-edge-soft")), Pick::plain("sharp", t("ui-edge-sharp"))]);

    view! {
        <div class="editor" hidden=move || !here.get()>
            <Choices
                label=t("ui-kind")
                form="grid"
                picks=picks
                value=kind_word
                on_pick=Callback::new(move |word: String| match MarkKind::from_word(&word) {
                    Some(kind) => walk.set_kind(kind),
                    None => wide.set(own_id()),
                })
            />
            <div hidden=move || !kind_is(defaults::has_depth)>
                <Choices
                    label=t("ui-depth")
                    picks=depth_picks
                    value=depth_step
                    on_pick=Callback::new(move |step: String| {
                        let at = step.parse::<usize>().unwrap_or(0).min(3);
                        walk.edit(vec![MarkField::DepthMm(defaults::DEPTHS_MM[at])]);
                    })
                />
            </div>
            <div hidden=move || !painted.get()>
                <Choices
                    label=t("ui-coat")
                    picks=coats
                    value=coat
                    on_pick=Callback::new(move |word: String| {
                        if let Some(coat) = Coat::from_word(&word) {
                            walk.edit(vec![MarkField::Coat(coat)]);
                        }
                    })
                />
            </div>
            <div hidden=move || !kind_is(defaults::has_edge)>
                <Choices
                    label=t("ui-edge")
                    picks=edges
                    value=edge
                    on_pick=Callback::new(move |word: String| walk.edit(vec![MarkField::Sharp(word == "sharp")]))
                />
            </div>
            <MarkPhotos />
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
                    on:click=move |_| deep.set(if more.get_untracked() { None } else { own_id() })
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

/// The photos of the selected mark, and the key for another.
#[component]
fn MarkPhotos() -> impl IntoView {
    let (walk, router) = (Walk::get(), Router::get());
    let mine = Memo::new(move |_| {
        walk.seen.with(|seen| {
            let (Some(job), Some(mark)) = (&seen.job, &seen.selected) else { return Vec::new() };
            latest(job, |photo| photo.mark.as_ref() == Some(mark))
        })
    });
    let spoken = move |id: &PhotoId| {
        walk.seen.with(|seen| {
            let photo = seen.job.as_ref().and_then(|job| Some((job, job.photos.get(id)?)));
            photo.map(|(job, photo)| name(walk.planned, job, photo)).unwrap_or_default()
        })
    };
    let open = move |id: &PhotoId| {
        if let Route::Walk { job, .. } = router.peek() {
            router.go(Route::Photos { job, photo: Some(id.to_string()) });
        }
    };
    view! {
        <div class="mark-photos" role="group" aria-label=t("photos-of-mark")>
            <CameraKey label=t("photo-take") camera=true mark=walk.selected act="camera-mark" />
            <ul class="photo-row">
                <For each=move || mine.get() key=|id| id.clone() let:id>
                    {
                        let place = NodeRef::<html::Li>::new();
                        let (said, opened) = (id.clone(), id.clone());
                        view! {
                            <li node_ref=place>
                                <button
                                    type="button"
                                    class="photo-open"
                                    aria-label=move || spoken(&said)
                                    on:click=move |_| open(&opened)
                                >
                                    // The row lies below what shows of the sheet at first, and a mark has few photos.
                                    <Thumb id=id place=place wanted=Signal::stored(Some(Size::Thumb)) />
                                </button>
                            </li>
                        }
                    }
                </For>
            </ul>
        </div>
    }
}

/// Exact size and depth without a drag, the number of hail dents, and a note.
#[component]
fn Measures() -> impl IntoView {
    let walk = Walk::get();
    let mark = Memo::new(move |_| walk.seen.with(|seen| seen.mark().cloned()));
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
