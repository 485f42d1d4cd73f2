//! The map of a part's joints: looked at by pan and zoom, read by tapping a fastener or a stitch or by going from one to the
//! next in the order of work.
//!
//! The drawing is the model's own, written into the page as it stands; nothing is drawn here but what is selected.

use super::Bench;
use super::spot::Sheet;
use crate::canvas::camera::Frame;
use crate::canvas::{Board, Viewer, frame};
use crate::widgets::{Choices, Pick};
use crate::words::{cap, t, tf};
use leptos::ev::KeyboardEvent;
use leptos::prelude::*;
use model::geometry::{Bounds, Point};
use model::ids::PartId;
use model::joints::draw::{Drawing, Ink, Map as Joined, Spot, drawing, maps, nearest};
use model::joints::ink;
use model::terms::View;
use std::sync::Arc;

/// It zooms in at least until a millimetre is so many pixels.
const REACH: f64 = 4.0;
/// Free edge round a joint that is shown alone, pixels.
const EDGE_PX: f64 = 70.0;

/// The drawing, as it stands on the page.
struct Drawn {
    drawing: Drawing,
    inside: String,
}

/// The map of a part, with a choice of views where its joints lie in several.
#[component]
pub fn Map(
    /// The part.
    part: PartId,
) -> impl IntoView {
    let bench = Bench::get();
    let own = StoredValue::new(part);
    let views = Memo::new(move |_| {
        let all = bench.with(|built| {
            let maps = own.with_value(|part| maps(built.book, &built.joints, Some(part)));
            maps.iter().map(|map| map.view).collect::<Vec<View>>()
        });
        all.unwrap_or_default()
    });
    let picked = RwSignal::new(None::<View>);
    let view = Memo::new(move |_| {
        let views = views.get();
        picked.get().filter(|view| views.contains(view)).or_else(|| views.first().copied())
    });
    let with_map = move |ink: Ink| {
        let view = view.get()?;
        bench.with(|built| {
            let maps = own.with_value(|part| maps(built.book, &built.joints, Some(part)));
            maps.iter().find(|map: &&Joined<'_>| map.view == view).map(|map| drawing(map, ink))
        })?
    };
    let whole = Memo::new(move |_| with_map(Ink::TRUE).map(|drawing| frame(&drawing.bounds)).unwrap_or_default());
    let board = Board::new(Signal::derive(move || whole.get()), REACH);
    let drawn = Memo::new_with_compare(
        move |_| {
            let drawing = with_map(Ink::screen(board.rest.get()))?;
            let inside = ink::inside(&drawing, None);
            Some(Arc::new(Drawn { drawing, inside }))
        },
        |_, _| true,
    );
    let spot = RwSignal::new(None::<usize>);
    Effect::new(move |_| {
        view.track();
        spot.set(None);
    });
    // A card asks for its joint: the view that shows it, as large as it goes.
    Effect::new(move |_| {
        let Some(number) = bench.shown.get() else { return };
        let at = bench.with(|built| {
            let maps = own.with_value(|part| maps(built.book, &built.joints, Some(part)));
            maps.iter().find(|map| map.joints.iter().any(|(known, _)| *known == number)).map(|map| map.view)
        });
        let Some(Some(at)) = at else { return };
        picked.set(Some(at));
        let reach = drawn.with_untracked(|drawn| drawn.as_ref().and_then(|drawn| drawn.drawing.reach(number)));
        if let Some(bounds) = reach {
            board.show(frame(&bounds), EDGE_PX);
        }
        bench.shown.set(None);
    });
    let go_to = move |at: usize| {
        let Some(place) = drawn.with_untracked(|drawn| drawn.as_ref()?.drawing.spots.get(at).map(|spot| spot.at))
        else {
            return;
        };
        spot.set(Some(at));
        board.bring(place);
    };
    let step = move |by: isize| {
        let number = drawn.with_untracked(|drawn| drawn.as_ref().map_or(0, |drawn| drawn.drawing.spots.len()));
        if number > 0 {
            let next = spot.get_untracked().map_or(0, |at| at.saturating_add_signed(by).min(number - 1));
            go_to(next);
        }
    };
    let open = RwSignal::new(false);
    let tapped = move |(at, reach): ((f64, f64), f64)| {
        let found = drawn.with_untracked(|drawn| {
            drawn.as_ref().and_then(|drawn| nearest(&drawn.drawing.spots, Point::new(at.0, at.1), reach))
        });
        spot.set(found);
        open.set(found.is_some());
    };
    let pressed = move |event: KeyboardEvent| {
        match event.key().as_str() {
            "ArrowRight" | "ArrowDown" => step(1),
            "ArrowLeft" | "ArrowUp" => step(-1),
            "+" | "=" => board.zoom(1.6),
            "-" => board.zoom(1.0 / 1.6),
            "0" => board.show_whole(),
            "Enter" | " " => {
                if spot.get_untracked().is_none() {
                    step(1);
                }
                open.set(true);
            }
            "Escape" if open.get_untracked() => open.set(false),
            _ => return,
        }
        event.prevent_default();
    };
    let current = Memo::new(move |_| {
        let at = spot.get()?;
        drawn.with(|drawn| drawn.as_ref()?.drawing.spots.get(at).cloned())
    });
    let label = Signal::derive(move || {
        let view = view.get().map(|view| t(view.key())).unwrap_or_default();
        let part = bench.with(|built| own.with_value(|part| super::said::name(built.book, part))).unwrap_or_default();
        let count = drawn.with(|drawn| drawn.as_ref().map_or(0, |drawn| drawn.drawing.spots.len()));
        tf("joints-map-name", &[("part", &part), ("view", &view), ("count", &count.to_string())])
    });
    let picks = Signal::derive(move || {
        views.get().iter().map(|view| Pick::plain(view.word(), cap(view.key()))).collect::<Vec<_>>()
    });
    view! {
        <div class="joints-map" tabindex="-1">
            <Show when=move || { views.with(Vec::len) > 1 }>
                <Choices
                    label=t("joints-views")
                    quiet=true
                    picks=picks
                    value=Signal::derive(move || view.get().map(|view| view.word().to_owned()).unwrap_or_default())
                    on_pick=move |word: String| picked.set(View::from_word(&word))
                />
            </Show>
            <Viewer board=board label=label on_tap=tapped on_key=pressed keys="joints-keys">
                <g
                    class="jm"
                    inner_html=move || drawn.with(|drawn| drawn.as_ref().map(|drawn| drawn.inside.clone()).unwrap_or_default())
                ></g>
                {move || current.get().map(|spot| ring(&spot, board.rest.get()))}
            </Viewer>
            <p class="spoken" role="status">{move || current.get().map(|spot| spot.label)}</p>
            <Show when=move || open.get() && current.with(Option::is_some)>
                {move || {
                    current
                        .get()
                        .map(|spot| {
                            view! {
                                <Sheet
                                    part=own.get_value()
                                    spot=spot
                                    on_step=move |by: isize| step(by)
                                    on_close=move |()| open.set(false)
                                />
                            }
                        })
                }}
            </Show>
            <Legend drawn=drawn />
            <p id="joints-keys" class="form-note">{t("joints-keys")}</p>
        </div>
    }
}

/// The ring round what is selected.
fn ring(spot: &Spot, scale: f64) -> impl IntoView + use<> {
    let at = |value: f64| format!("{value:.1}");
    let (x, y) = (at(spot.at.a), at(spot.at.b));
    // Close round the mark, so that the word beside it can be read.
    let radius = format!("{:.2}", 11.5 / scale);
    let width = |px: f64| format!("{:.3}", px / scale);
    view! {
        <circle class="jm-ring-under" cx=x.clone() cy=y.clone() r=radius.clone() stroke-width=width(5.5)></circle>
        <circle class="jm-ring" cx=x cy=y r=radius stroke-width=width(3.0)></circle>
    }
}

/// What the shapes mean, only those that the map holds.
#[component]
fn Legend(drawn: Memo<Option<Arc<Drawn>>>) -> impl IntoView {
    const ROWS: [(&str, &str); 10] = [
        ("jm-cut", "joints-legend-cut"),
        ("jm-factory", "joints-legend-factory"),
        ("self-piercing-rivet", "fastener-self-piercing-rivet"),
        ("structural-blind-rivet", "fastener-structural-blind-rivet"),
        ("solid-rivet", "fastener-solid-rivet"),
        ("bolt", "fastener-bolt"),
        ("jm-bead", "joints-legend-bead"),
        ("jm-stitch", "joints-legend-stitch"),
        ("jm-bonded", "joints-legend-bonded"),
        ("jm-heated", "joints-legend-heated"),
    ];
    let kinds = Memo::new(move |_| {
        drawn.with(|drawn| {
            let text = drawn.as_ref().map_or("", |drawn| drawn.inside.as_str());
            ROWS.iter().filter(|(what, _)| text.contains(&format!("\"{what}\""))).copied().collect::<Vec<_>>()
        })
    });
    view! {
        <ul class="joints-legend">
            {move || kinds.get().into_iter().map(|(what, key)| view! { <li><Sample what=what />{cap(key)}</li> }).collect_view()}
        </ul>
    }
}

/// One shape of the map, small.
#[component]
fn Sample(what: &'static str) -> impl IntoView {
    let inside = ink::sample(what);
    view! {
        <svg class="jm jm-sample" viewBox="0 0 28 16" aria-hidden="true">
            <g inner_html=inside></g>
        </svg>
    }
}

impl Board {
    /// Moves the drawing so that a place is well in sight.
    fn bring(self, place: Point) {
        let (camera, size) = (self.camera.get_untracked(), self.size.get_untracked());
        let at = camera.to_px((place.a, place.b));
        let edge = 60.0;
        if at.0 < edge || at.1 < edge || at.0 > size.0 - edge || at.1 > size.1 - edge {
            let half = (size.0 / camera.scale / 2.0, size.1 / camera.scale / 2.0);
            let window = Bounds {
                low: Point::new(place.a - half.0, place.b - half.1),
                high: Point::new(place.a + half.0, place.b + half.1),
            };
            let window: Frame = frame(&window);
            self.show(window, 0.0);
        }
    }
}
