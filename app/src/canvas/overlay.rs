//! What lies over the truck: states of parts as hatch, line style and word, cut lines, and marks.
//!
//! Redraws only the rows that changed: each row's key is its content. Takes no pointer events; the map's root has them.

use crate::widgets::Hatch;
use leptos::prelude::*;
use leptos::reactive::computed::Selector;
use model::scene::Overlay;
use model::terms::Action;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

/// The hatches of the map. They undo the zoom, so that a hatch keeps its size on the screen.
#[component]
pub fn Patterns(
    /// Pixels for each millimetre.
    #[prop(into)]
    scale: Signal<f64>,
) -> impl IntoView {
    let transform = Signal::derive(move || format!("scale({:.6})", 1.0 / scale.get().max(1e-6)));
    view! {
        <defs>
            <Hatch id="map-refinish" state="refinish" transform=transform />
            <Hatch id="map-repair" state="repair" transform=transform />
            <Hatch id="map-section" state="section" transform=transform />
            <Hatch id="map-replace" state="replace" transform=transform />
            <Hatch id="map-refer" state="refer" transform=transform />
        </defs>
    }
}

/// The area of one part. A whole outline is the scene's own text, which is told by its place: the texts are long, and an edit
/// changes one of many. A row holds on to its text, so that no other can take its place.
#[derive(Clone)]
struct Row {
    part: String,
    action: Action,
    path: Arc<str>,
}

impl PartialEq for Row {
    fn eq(&self, other: &Self) -> bool {
        let same = match self.action {
            Action::Section => self.path == other.path,
            _ => Arc::ptr_eq(&self.path, &other.path),
        };
        same && self.action == other.action && self.part == other.part
    }
}

impl Eq for Row {}

impl Hash for Row {
    fn hash<H: Hasher>(&self, state: &mut H) {
        (&self.part, self.action.word()).hash(state);
    }
}

/// States of damaged parts, and the cut lines of those that are sectioned.
#[component]
pub fn States(
    /// What to lay over the truck.
    #[prop(into)]
    overlay: Signal<Arc<Overlay>>,
) -> impl IntoView {
    let areas = move || {
        let overlay = overlay.get();
        let rows = overlay.parts.iter();
        rows.map(|part| Row { part: part.part.to_string(), action: part.action, path: Arc::clone(&part.path) })
            .collect::<Vec<_>>()
    };
    let cuts = move || {
        let overlay = overlay.get();
        let cut = overlay.parts.iter().filter(|part| !part.cuts.is_empty());
        cut.map(|part| part.cuts.clone()).collect::<Vec<_>>()
    };
    view! {
        <g class="states">
            <For each=areas key=Row::clone let:row>
                {
                    let action = row.action.word();
                    let fill = if action == "leave" { "none".to_owned() } else { format!("url(#map-{action})") };
                    view! {
                        <path
                            class=format!("state-area state-{action}")
                            fill=fill
                            data-state-of=row.part
                            data-action=action
                            d=row.path
                        ></path>
                    }
                }
            </For>
            <For each=cuts key=sum let:path>
                <path class="cut-under" d=path.clone()></path>
                <path class="cut" d=path></path>
            </For>
        </g>
    }
}

/// Marks but the selected one, which the handles draw.
#[component]
pub fn Marks(
    /// What to lay over the truck.
    #[prop(into)]
    overlay: Signal<Arc<Overlay>>,
    /// The selected mark's id, or empty.
    #[prop(into)]
    selected: Signal<String>,
) -> impl IntoView {
    let rows = move || {
        let overlay = overlay.get();
        overlay.marks.iter().map(|mark| (mark.mark.to_string(), mark.path.clone())).collect::<Vec<_>>()
    };
    // It may outlive what it listens to.
    let selected = Selector::new(move || selected.try_get().unwrap_or_default());
    view! {
        <g class="marks">
            <For each=rows key=sum let:row>
                {
                    let (id, path) = row;
                    let (own, selected) = (id.clone(), selected.clone());
                    view! {
                        <g class="mark" data-mark=id class:selected=move || selected.selected(&own)>
                            <path class="mark-under" d=path.clone()></path>
                            <path class="mark-line" d=path></path>
                        </g>
                    }
                }
            </For>
        </g>
    }
}

/// The words of state, in screen pixels: place (pixels before the shift), word, state, and sign.
#[component]
pub fn Labels(
    /// The words that fit: x, y, word, state.
    #[prop(into)]
    labels: Signal<Vec<(f64, f64, String, &'static str)>>,
) -> impl IntoView {
    view! {
        <g class="labels" aria-hidden="true">
            <For
                each=move || labels.get()
                key=|label| sum(&(label.0.to_bits(), label.1.to_bits(), &label.2, label.3))
                let:label
            >
                {
                    let (x, y, word, state) = label;
                    view! {
                        <text class=format!("label label-{state}") x=format!("{x:.1}") y=format!("{y:.1}") text-anchor="middle">
                            {word}
                        </text>
                    }
                }
            </For>
        </g>
    }
}

/// A sum of a row's content, the same for the same content.
fn sum(content: &impl Hash) -> u64 {
    let mut hasher = DefaultHasher::new();
    content.hash(&mut hasher);
    hasher.finish()
}
