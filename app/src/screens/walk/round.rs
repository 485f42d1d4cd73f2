//! Where the person stands and what is peeled away: a small plan of the truck with ten places, three layers, and zoom.
//!
//! The plan lies as the truck does from above, front to the left, so that it agrees with the view from above. Shows and
//! sets the route; holds no state.

use super::state::Walk;
use crate::widgets::{Icon};
use crate::words::{cap, t};
use leptos::prelude::*;
use model::scene::{self, Place};
use model::terms::Layer;

/// Places in reading order, each with the name of its area on the grid.
const PLACES: [(Place, &str); 10] = [
    (Place::FrontRight, "fr"),
    (Place::Right, "r"),
    (Place::RearRight, "rr"),
    (Place::Front, "f"),
    (Place::Above, "a"),
    (Place::Below, "b"),
    (Place::Rear, "e"),
    (Place::FrontLeft, "fl"),
    (Place::Left, "l"),
    (Place::RearLeft, "rl"),
];

/// Places, layers, zoom: everything used while walking, at the lower edge on the holding side.
#[component]
pub fn Round() -> impl IntoView {
    let walk = Walk::get();
    let shows =
        move |layer: Layer| scene::has_layer(walk.planned.book.get(), walk.place.get(), layer);
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
                    <svg class="places-truck" viewBox="0 0 280 208" aria-hidden="true" preserveAspectRatio="none">
                        <path d="M68 76C60 90 60 118 68 132L84 137H196C206 137 210 134 210 128V80C210 74 206 71 196 71H84Z"></path>
                        <path d="M96 78C90 92 90 116 96 130M140 74V134M140 78H204V130H140"></path>
                    </svg>
                    {PLACES
                        .iter()
                        .map(|(place, area)| {
                            let place = *place;
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
                                    <span aria-hidden="true">{t(&format!("ui-place-short-{}", place.word()))}</span>
                                </button>
                            }
                        })
                        .collect_view()}
                </div>
                <div class="zoom" role="group" aria-label=t("ui-zoom")>
                    <button type="button" class="key" aria-label=t("ui-zoom-in") on:click=move |_| walk.zoom(1.6)>
                        <Icon name="plus" />
                    </button>
                    <button type="button" class="key" aria-label=t("ui-zoom-out") on:click=move |_| walk.zoom(1.0 / 1.6)>
                        <Icon name="minus" />
                    </button>
                    <button type="button" class="key" aria-label=t("ui-zoom-whole") on:click=move |_| walk.show_whole()>
                        <Icon name="whole" />
                    </button>
                </div>
            </div>
        </div>
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
