//! The truck with the state of each damaged part: look at it from any side and layer; a tap leads to the part's card.
//!
//! The same drawing as on the walk, at rest. Marks nothing.

use super::Desk;
use crate::canvas::{Labels, Marks, Patterns, States, Truck, frame, state_words};
use crate::platform::{page, paper};
use crate::shown::followed;
use crate::widgets::{Choices, Pick};
use crate::words::{cap, t, tf};
use leptos::html;
use leptos::prelude::*;
use model::decide::Decision;
use model::ids::PartId;
use model::plan::Plan;
use model::scene::{self, Overlay, Place};
use model::terms::Layer;
use std::sync::Arc;

/// Sides from which the picture is shown; the corners belong to the walk.
const PLACES: [Place; 6] = [Place::Left, Place::Right, Place::Front, Place::Rear, Place::Above, Place::Below];
/// Free edge round the truck, screen millimetres.
const EDGE_MM: f64 = 60.0;

/// Where one looks from, and what is peeled away.
type Looked = (Place, Layer);
/// Another look, made from the present one and the word of a pressed key.
type Turn = fn(Looked, &str) -> Option<Looked>;

/// The picture with its two rows of keys.
#[component]
pub fn Picture() -> impl IntoView {
    let desk = Desk::get();
    // Where most of the damage shows, until the person looks from elsewhere.
    let most = Memo::new(move |_| desk.planned.job.with(|job| job.as_ref().and_then(|job| busiest(desk, job))));
    let picked = RwSignal::new(None::<(Place, Layer)>);
    let looked = Memo::new(move |_| picked.get().or_else(|| most.get()).unwrap_or((Place::Left, Layer::Skin)));
    let scene = Memo::new_with_compare(
        move |_| {
            let (place, layer) = looked.get();
            Arc::new(scene::scene(desk.planned.book.get(), place, layer))
        },
        |_, _| true,
    );
    let overlay = Memo::new_with_compare(
        move |_| {
            let scene = scene.get();
            let plan = desk.planned.plan.get();
            let decisions = plan.as_deref().map(as_followed).unwrap_or_default();
            desk.planned.job.with(|job| {
                Arc::new(job.as_ref().map_or_else(Overlay::default, |job| {
                    scene::overlay(desk.planned.book.get(), &scene, job.marks.iter(), &decisions)
                }))
            })
        },
        |_, _| true,
    );
    let bounds = Memo::new(move |_| {
        let all = scene.with(|scene| frame(&scene.bounds));
        (all.left - EDGE_MM, all.top - EDGE_MM, all.width + 2.0 * EDGE_MM, all.height + 2.0 * EDGE_MM)
    });
    let shell = NodeRef::<html::Div>::new();
    let size = RwSignal::new((0.0, 0.0));
    let watch = StoredValue::new_local(None);
    Effect::new(move |_| {
        if let Some(element) = shell.get() {
            watch.set_value(page::watch_size(&element, move |width, height| {
                if size.try_get_untracked().is_some_and(|known| known != (width, height)) {
                    size.set((width, height));
                }
            }));
        }
    });
    // Pixels for each millimetre; the hatches and words undo it.
    let scale = Memo::new(move |_| {
        let ((width, height), (_, _, wide, high)) = (size.get(), bounds.get());
        let scale: f64 = (width / wide).min(height / high);
        if scale > 0.0 { scale } else { 0.1 }
    });
    let words = Signal::derive(move || scene.with(|scene| state_words(scene, &overlay.get(), scale.get(), None, &[])));
    let set = move |change: Turn, word: &str| {
        if let Some((place, layer)) = change(looked.get_untracked(), word) {
            let book = desk.planned.book.get_untracked();
            let shows = |layer: &Layer| scene::has_layer(book, place, *layer);
            let layer =
                if shows(&layer) { layer } else { Layer::ALL.iter().copied().find(|l| shows(l)).unwrap_or(layer) };
            picked.set(Some((place, layer)));
        }
    };
    let places: Vec<Pick> =
        PLACES.iter().map(|place| Pick::plain(place.word(), t(&format!("ui-place-{}", place.word())))).collect();
    let layers = Signal::derive(move || {
        let place = looked.get().0;
        let book = desk.planned.book.get();
        let shown = Layer::ALL.iter().filter(|layer| scene::has_layer(book, place, **layer));
        shown.map(|layer| Pick::plain(layer.word(), cap(layer.key()))).collect::<Vec<_>>()
    });
    view! {
        <figure class="picture">
            <div class="picture-map" node_ref=shell>
                <svg
                    class="map-svg picture-svg"
                    aria-hidden="true"
                    viewBox=move || {
                        let (left, top, width, height) = bounds.get();
                        format!("{left:.0} {top:.0} {width:.0} {height:.0}")
                    }
                    on:click=move |event| {
                        let Some(part) = page::attribute_of_target(&event, "data-part").map(PartId::from) else { return };
                        let known = desk.planned.plan.with_untracked(|plan| {
                            plan.as_ref().is_some_and(|plan| plan.decisions.iter().any(|decision| decision.part == part))
                        });
                        if known {
                            paper::go_to(&format!("#finding-{}", part.0));
                        }
                    }
                >
                    <Patterns scale=scale />
                    {move || view! { <Truck scene=scene.get() focus=Signal::stored(String::new()) /> }}
                    <States overlay=overlay />
                    <Marks overlay=overlay selected=Signal::stored(String::new()) />
                    <g transform=move || format!("scale({:.6})", 1.0 / scale.get())>
                        <Labels labels=words />
                    </g>
                </svg>
            </div>
            <figcaption class="spoken">{move || tf("plan-picture", &[("place", &t(&format!("ui-place-{}", looked.get().0.word())))])}</figcaption>
            <div class="picture-keys">
                <Choices
                    label=t("ui-places")
                    quiet=true
                    form="grid"
                    picks=Signal::stored(places)
                    value=Signal::derive(move || looked.get().0.word().to_owned())
                    on_pick=move |word: String| set(|(_, layer), word| Some((Place::from_word(word)?, layer)), &word)
                />
                <Choices
                    label=t("ui-peel")
                    quiet=true
                    picks=layers
                    value=Signal::derive(move || looked.get().1.word().to_owned())
                    on_pick=move |word: String| set(|(place, _), word| Some((place, Layer::from_word(word)?)), &word)
                />
            </div>
        </figure>
    }
}

/// The side and layer on which most marks lie; the first of equals in the order of [`PLACES`].
fn busiest(desk: Desk, job: &model::job::Job) -> Option<(Place, Layer)> {
    let book = desk.planned.book.get();
    let seen: Vec<(Place, Layer)> =
        job.marks.values().filter_map(|mark| Some((Place::of(mark.view), book.part(&mark.part)?.layer))).collect();
    let all = PLACES.iter().flat_map(|place| Layer::ALL.iter().map(move |layer| (*place, *layer)));
    let counted = all.map(|one| (seen.iter().filter(|known| **known == one).count(), one));
    counted
        .filter(|(number, _)| *number > 0)
        .fold(None, |best: Option<(usize, (Place, Layer))>, next| match best {
            Some(best) if best.0 >= next.0 => Some(best),
            _ => Some(next),
        })
        .map(|(_, one)| one)
}

/// The decisions as the plan follows them: the picked action in place of the chosen one, cut where the pick is cut.
fn as_followed(plan: &Plan) -> Vec<Decision> {
    plan.decisions.iter().zip(&plan.picks).map(|(decision, pick)| followed(decision, pick)).collect()
}
