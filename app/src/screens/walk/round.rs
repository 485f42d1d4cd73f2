//! Where the person stands and what is peeled away: a small plan of the truck with ten places, and three layers.
//!
//! The plan lies as the truck does from above, front to the left, so that it agrees with the view from above. Shows and
//! sets the route; holds no state.

use super::state::Walk;
use crate::widgets::Icon;
use crate::words::{cap, t};
use leptos::prelude::*;
use model::scene::{self, Place};
use model::terms::{Layer, View};

/// Places in reading order, each with the name of its area on the grid and the direction in which one looks from there,
/// degrees clockwise from "to the right".
const PLACES: [(Place, &str, i32); 8] = [
    (Place::FrontRight, "fr", 30),
    (Place::Right, "r", 90),
    (Place::RearRight, "rr", 150),
    (Place::Front, "f", 0),
    (Place::Rear, "e", 180),
    (Place::FrontLeft, "fl", -30),
    (Place::Left, "l", -90),
    (Place::RearLeft, "rl", -150),
];

/// Places and layers: what is used while walking, at the lower edge on the holding side.
#[component]
pub fn Round() -> impl IntoView {
    let walk = Walk::get();
    let shows = move |layer: Layer| scene::has_layer(walk.planned.book.get(), walk.place.get(), layer);
    view! {
        <div class="round">
            <div class="peel" role="group" aria-label=t("ui-peel")>
                {Layer::ALL
                    .iter()
                    .map(|layer| {
                        let layer = *layer;
                        view! {
                            <button
                                type="button"
                                class="key peel-key"
                                data-layer=layer.word()
                                aria-pressed=move || (walk.layer.get() == layer).to_string()
                                disabled=move || !shows(layer)
                                on:click=move |_| walk.peel(layer)
                            >
                                <PeelIcon layer=layer />
                                <span>{cap(layer.key())}</span>
                            </button>
                        }
                    })
                    .collect_view()}
            </div>
            <div class="around">
                <div class="places" role="group" aria-label=t("ui-places")>
                    {move || plan_of(walk)}
                    {PLACES.iter().map(|(place, area, turn)| key(walk, *place, area, Some(*turn))).collect_view()}
                </div>
                <div class="heights">
                    {key(walk, Place::Above, "auto", None)}
                    {key(walk, Place::Below, "auto", None)}
                </div>
            </div>
        </div>
    }
}

/// One place to stand: its word, and an arrow that shows where one looks from there.
fn key(walk: Walk, place: Place, area: &'static str, turn: Option<i32>) -> impl IntoView {
    view! {
        <button
            type="button"
            class="key place-key"
            style=format!("grid-area:{area}")
            data-place=place.word()
            aria-pressed=move || (walk.place.get() == place).to_string()
            aria-label=t(&format!("ui-place-{}", place.word()))
            on:click=move |_| walk.stand(place)
        >
            {match turn {
                Some(turn) => view! {
                    <svg class="arrow" viewBox="0 0 24 24" aria-hidden="true">
                        <path transform=format!("rotate({turn} 12 12)") d="M5 12H19M13 6L19 12L13 18"></path>
                    </svg>
                }
                .into_any(),
                None => view! { <Icon name=place.word() /> }.into_any(),
            }}
            <span aria-hidden="true">{t(&format!("ui-place-short-{}", place.word()))}</span>
        </button>
    }
}

/// The truck from above as the body book draws it, in the middle of its places.
fn plan_of(walk: Walk) -> impl IntoView {
    let book = walk.planned.book.get();
    let scene = scene::scene(book, Place::Above, Layer::Skin);
    let bounds = scene.bounds;
    let outlines: String = scene
        .panels
        .iter()
        .filter(|panel| panel.view == View::Top)
        .flat_map(|panel| panel.items.iter())
        .filter(|item| item.bounds.width() > 300.0 && item.bounds.height() > 60.0)
        .map(|item| &*item.path)
        .collect();
    view! {
        <svg
            class="places-truck"
            aria-hidden="true"
            viewBox=format!("{:.0} {:.0} {:.0} {:.0}", bounds.low.a - 40.0, bounds.low.b - 40.0, bounds.width() + 80.0, bounds.height() + 80.0)
        >
            <path d=outlines></path>
        </svg>
    }
}

/// A peel step as a stack of three sheets of which the named one is filled.
#[component]
fn PeelIcon(
    /// The layer.
    layer: Layer,
) -> impl IntoView {
    let sheet = |own: Layer, d: &'static str| {
        view! { <path d=d class:filled=own == layer></path> }
    };
    view! {
        <svg class="icon peel-icon" viewBox="0 0 24 24" aria-hidden="true">
            {sheet(Layer::Frame, "M3 17L12 21L21 17L12 13Z")}
            {sheet(Layer::Structure, "M3 12L12 16L21 12L12 8Z")}
            {sheet(Layer::Skin, "M3 7L12 11L21 7L12 3Z")}
        </svg>
    }
}
