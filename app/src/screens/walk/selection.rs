//! The selected mark with its handles, drawn above everything; follows the finger while a drag lasts.
//!
//! Shows the outline it is given; the map decides what a drag means.

use super::state::Walk;
use crate::canvas::handles;
use leptos::prelude::*;
use model::geometry::Point;

/// The selected mark's outline and handles, in pixels.
#[component]
pub fn Selection() -> impl IntoView {
    let walk = Walk::get();
    let drawn = Memo::new(move |_| {
        let (view, shape) = walk.outline()?;
        let panel = walk.panel(view)?;
        let path = shape.area().ok()?.path(|p| panel.to_screen(p));
        let handles: Vec<(f64, f64)> = handles::handles(&shape)
            .into_iter()
            .map(|at| {
                let shown = panel.to_screen(Point::new(at.0, at.1));
                (shown.a, shown.b)
            })
            .collect();
        Some((path, handles))
    });
    let path = move || drawn.with(|drawn| drawn.as_ref().map(|(path, _)| path.clone()).unwrap_or_default());
    let spots = move || {
        let camera = walk.camera.get();
        drawn.with(|drawn| drawn.as_ref().map(|(_, spots)| spots.iter().map(|at| camera.to_px(*at)).collect::<Vec<_>>()))
    };
    view! {
        <g class="selection" aria-hidden="true">
            <g transform=move || walk.camera.get().transform()>
                <path class="selection-under" d=path></path>
                <path class="selection-line" d=path></path>
            </g>
            {move || {
                spots()
                    .unwrap_or_default()
                    .into_iter()
                    .map(|(x, y)| {
                        view! {
                            <circle class="handle" cx=format!("{x:.1}") cy=format!("{y:.1}") r="9"></circle>
                        }
                    })
                    .collect_view()
            }}
        </g>
    }
}
