//! The selected mark with its handles, drawn above everything; follows the finger while a drag lasts.
//!
//! Shows the outline it is given; the map decides what a drag means.

use super::state::Walk;
use crate::canvas::handles;
use leptos::prelude::*;
use model::damage::MarkShape;
use model::geometry::Point;
use model::scene::Panel;

/// How far outside of its edge a handle stands, pixels.
pub const HANDLE_OUT_PX: f64 = 22.0;

/// The middle of a shape on the screen, mm.
#[must_use]
pub fn middle(panel: &Panel, shape: &MarkShape) -> (f64, f64) {
    let at = shape.area().map_or_else(|_| Point::default(), |area| area.bounds().centre());
    let shown = panel.to_screen(at);
    (shown.a, shown.b)
}

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
        Some((path, middle(&panel, &shape), handles))
    });
    let path = move || drawn.with(|drawn| drawn.as_ref().map(|(path, ..)| path.clone()).unwrap_or_default());
    // Edge and handle of each, pixels.
    let spots = Memo::new(move |_| {
        let camera = walk.camera.get();
        drawn.with(|drawn| {
            drawn.as_ref().map_or_else(Vec::new, |(_, middle, spots)| {
                let middle = camera.to_px(*middle);
                let spot = |at: &(f64, f64)| {
                    let edge = camera.to_px(*at);
                    (edge, handles::pushed(middle, edge, HANDLE_OUT_PX))
                };
                spots.iter().map(spot).collect::<Vec<_>>()
            })
        })
    });
    let stems = move || {
        let stem =
            |(edge, at): &((f64, f64), (f64, f64))| format!("M{:.1} {:.1}L{:.1} {:.1}", edge.0, edge.1, at.0, at.1);
        spots.with(|spots| spots.iter().map(stem).collect::<String>())
    };
    // The handles stay in the page and only move, so that a tap builds none.
    let handle = move |number: usize| {
        let place = move || {
            let at = spots.with(|spots| spots.get(number).map(|spot| spot.1));
            at.map(|at| format!("translate({:.1} {:.1})", at.0, at.1))
        };
        let none = move || (spots.with(Vec::len) <= number).then_some("none");
        view! { <circle class="handle" r="9" display=none transform=place></circle> }
    };
    view! {
        <g class="selection" aria-hidden="true">
            <g transform=move || walk.camera.get().transform()>
                <path class="selection-under" d=path></path>
                <path class="selection-line" d=path></path>
            </g>
            <path class="handle-stem" d=stems></path>
            {handle(0)}
            {handle(1)}
        </g>
    }
}
