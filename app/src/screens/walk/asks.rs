//! Questions that the map asks: which of two parts, and what to do after a long press. Two large answers, never a guess.
//!
//! Carries out the answer through [`Walk`]; decides nothing.

use super::defaults;
use super::state::{Ask, Walk};
use crate::widgets::Icon;
use crate::words::t;
use leptos::prelude::*;
use model::damage::{Mark, MarkShape};
use model::ids::PartId;
use model::terms::{MarkKind, View};

/// The open question, if there is one.
#[component]
pub fn Asks() -> impl IntoView {
    let walk = Walk::get();
    view! {
        {move || match walk.ask.get() {
            None => ().into_any(),
            Some(Ask::Which(parts, at)) => which(walk, parts, at).into_any(),
            Some(Ask::Menu(part, view, at)) => menu(walk, part, view, at).into_any(),
        }}
    }
}

fn which(walk: Walk, parts: Vec<(PartId, View)>, at: (f64, f64)) -> impl IntoView {
    view! {
        <section class="ask" role="dialog" aria-label=t("ui-which")>
            <header class="sheet-head">
                <h2>{t("ui-which")}</h2>
                <CloseAsk />
            </header>
            <div class="ask-keys">
                {parts
                    .into_iter()
                    .map(|(part, view)| {
                        let name = part_name(walk, &part);
                        view! {
                            <button
                                type="button"
                                class="key wide"
                                data-answer=part.to_string()
                                on:click=move |_| walk.put(&part, view, at)
                            >
                                {name}
                            </button>
                        }
                    })
                    .collect_view()}
            </div>
        </section>
    }
}

fn menu(walk: Walk, part: PartId, view: View, at: (f64, f64)) -> impl IntoView {
    let name = part_name(walk, &part);
    let key = |act: &'static str, icon: &'static str, text: &'static str, run: Box<dyn Fn() + Send + Sync>| {
        view! {
            <button type="button" class="key wide" data-act=act on:click=move |_| run()>
                <Icon name=icon />
                <span>{t(text)}</span>
            </button>
        }
    };
    let title = name.clone();
    let (p1, p2, p3, p4) = (part.clone(), part.clone(), part.clone(), part);
    view! {
        <section class="ask" role="dialog" aria-label=name>
            <header class="sheet-head">
                <h2>{title}</h2>
                <CloseAsk />
            </header>
            <div class="ask-keys">
                {key("look", "look-behind", "ui-menu-look", Box::new(move || walk.open(p1.clone())))}
                {key("scratch", "scratch", "ui-menu-scratch", Box::new(move || stroke(walk, &p2, view, at)))}
                {key("hail", "hail-field", "ui-menu-hail", Box::new(move || walk.put_over(&p3, view, MarkKind::HailField)))}
                {key("missing", "missing", "ui-menu-missing", Box::new(move || walk.put_over(&p4, view, MarkKind::Missing)))}
            </div>
        </section>
    }
}

/// A scratch as a level line through the point, to be drawn out by its ends.
fn stroke(walk: Walk, part: &PartId, view: View, at: (f64, f64)) {
    let Some(found) = walk.book_part(part) else { return };
    let first = defaults::mark(found, view, at);
    #[allow(clippy::cast_possible_truncation)] // millimetres of a vehicle fit
    let (x, y) = (at.0.round() as i32, at.1.round() as i32);
    let shape = MarkShape::Stroke { points: vec![[x - 120, y], [x + 120, y]], width: 10 };
    walk.add(defaults::with_kind(Mark { shape, ..first }, MarkKind::Scratch, found));
}

#[component]
fn CloseAsk() -> impl IntoView {
    let walk = Walk::get();
    view! {
        <button type="button" class="key" aria-label=t("ui-close") on:click=move |_| walk.ask.set(None)>
            <Icon name="close" />
        </button>
    }
}

fn part_name(walk: Walk, part: &PartId) -> String {
    walk.book_part(part).map_or_else(|| part.to_string(), model::catalogue::Part::name)
}
