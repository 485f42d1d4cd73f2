//! The truck as drawn from the body book: ghost, outlines, feature lines, details. Static for one place and layer.
//!
//! Every part is a named button for the keyboard and the screen reader; which of them is in the tab order moves with
//! the focus. Nothing here changes when a mark is made, so a tap never redraws the truck.

use leptos::prelude::*;
use leptos::reactive::computed::Selector;
use model::scene::Scene;
use std::sync::Arc;

/// The drawing of a scene. `focus` names the part in the tab order.
#[component]
pub fn Truck(
    /// What to draw.
    scene: Arc<Scene>,
    /// The part in the tab order.
    #[prop(into)]
    focus: Signal<String>,
) -> impl IntoView {
    // Only the part that gains the focus and the one that loses it hear of it. It may outlive what it listens to.
    let focus = Selector::new(move || focus.try_get().unwrap_or_default());
    let panels = scene.panels.iter().map(|panel| {
        let ghost: String = panel.ghost.concat();
        let items = panel
            .items
            .iter()
            .map(|item| {
                let (id, focus) = (item.part.to_string(), focus.clone());
                view! {
                    <g class=format!("part look-{}", item.look.word())>
                        <path
                            class="outline"
                            role="button"
                            data-part=item.part.to_string()
                            aria-label=item.name.clone()
                            tabindex=move || if focus.selected(&id) { "0" } else { "-1" }
                            d=item.path.clone()
                        ></path>
                        {(!item.lines.is_empty()).then(|| view! { <path class="line" d=item.lines.clone()></path> })}
                        {(!item.details.is_empty())
                            .then(|| view! { <path class="detail" d=item.details.clone()></path> })}
                    </g>
                }
            })
            .collect_view();
        view! {
            <g class="panel" data-view=panel.view.word()>
                {(!ghost.is_empty()).then(|| view! { <path class="ghost" d=ghost></path> })}
                {items}
            </g>
        }
    });
    view! { <g class="truck">{panels.collect_view()}</g> }
}
