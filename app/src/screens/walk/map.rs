//! The map: the truck as an SVG with one set of listeners on its root, and the keyboard's way round it.
//!
//! Lays the drawing, what lies over it and its controls on each other; fingers are in `hand.rs`, keys in `keys.rs`. Changes
//! no job.

use super::hand::Hand;
use super::keys;
use super::selection::{HANDLE_OUT_PX, Selection};
use super::state::Walk;
use crate::canvas::camera::{Camera, Frame};
use crate::canvas::{Labels, Marks, Patterns, States, Truck, state_words};
use crate::capture::{CameraKey, Captures};
use crate::platform::page;
use crate::widgets::Icon;
use crate::words::{t, tf};
use leptos::ev;
use leptos::html;
use leptos::prelude::*;
use leptos::svg;
use std::sync::Arc;

/// The truck, to be tapped, dragged, pinched and walked by keys.
#[component]
pub fn Map() -> impl IntoView {
    let walk = Walk::get();
    let root = NodeRef::<svg::Svg>::new();
    let shell = NodeRef::<html::Div>::new();
    let hand = Hand::new(walk);

    let watch = StoredValue::new_local(None);
    Effect::new(move |_| {
        if let Some(element) = shell.get() {
            let size = walk.size;
            watch.set_value(page::watch_size(&element, move |width, height| {
                if size.try_get_untracked().is_some_and(|known| known != (width, height)) {
                    size.set((width, height));
                }
            }));
        }
    });
    // A new place, body or size shows the whole again; peeling does not move the picture.
    Effect::new(move |_| {
        walk.place.track();
        walk.planned.book.track();
        walk.size.track();
        walk.show_whole();
    });

    let scale = Memo::new(move |_| walk.camera.get().scale);
    let focus = Memo::new(move |_| {
        let wanted = walk.focus.get();
        walk.scene.with(|scene| {
            let all = || scene.panels.iter().flat_map(|panel| panel.items.iter());
            if all().any(|item| item.part.as_str() == wanted) {
                return wanted.clone();
            }
            all().next().map(|item| item.part.to_string()).unwrap_or_default()
        })
    });
    let selected = Signal::derive(move || walk.selected.get().map(|id| id.to_string()).unwrap_or_default());
    // A new mark is the selected one, which the handles draw: its own drawing can wait for the paint.
    let marks = Memo::new_with_compare(
        move |_| {
            let scene = walk.scene.get();
            let seen = walk.seen.with(|seen| {
                let same = seen.scene.as_ref().is_some_and(|seen| Arc::ptr_eq(seen, &scene));
                same.then(|| Arc::clone(&seen.overlay))
            });
            seen.unwrap_or_else(|| walk.overlay.get())
        },
        |old, new| old.zip(new).is_none_or(|(old, new)| !Arc::ptr_eq(old, new)),
    );
    let words = Signal::derive(move || place_labels(walk, scale.get()));
    let name = move || tf("ui-map-name", &[("place", &t(&format!("ui-place-{}", walk.place.get().word())))]);

    view! {
        <div class="map" node_ref=shell data-zoomed=move || walk.camera.with(Camera::is_zoomed).to_string()>
            <svg
                class="map-svg"
                class:panning=move || hand.panning.get()
                node_ref=root
                role="group"
                aria-label=name
                aria-describedby="map-keys"
                on:pointerdown=move |event| hand.down(&event)
                on:pointermove=move |event| hand.moved(&event)
                on:pointerup=move |event| hand.up(&event)
                on:pointercancel=move |event| hand.cancelled(&event)
                on:contextmenu=move |event: ev::MouseEvent| event.prevent_default()
                on:wheel=move |event| hand.wheel(&event)
                on:click=move |event: ev::MouseEvent| hand.assisted(&event)
                on:keydown=move |event| keys::pressed(walk, &event)
                on:focusin=move |event: ev::FocusEvent| {
                    if let Some(part) = page::attribute_of_target(&event, "data-part") {
                        walk.focus.set(part);
                    }
                    walk.ring.set(page::is_target(&event, ".outline:focus-visible"));
                }
                on:focusout=move |_| walk.ring.set(false)
            >
                <Patterns scale=scale />
                <g transform=move || walk.camera.get().transform()>
                    {move || view! { <Truck scene=walk.scene.get() focus=focus /> }}
                    <States overlay=walk.overlay />
                    <Marks overlay=marks selected=selected />
                </g>
                <g transform=move || {
                    let camera = walk.camera.get();
                    format!("translate({:.2} {:.2})", camera.x, camera.y)
                }>
                    <Labels labels=words />
                </g>
                <FocusRing part=focus />
                <Selection />
                <Flash />
            </svg>
            <div class="shots">
                <div class="shots-keys">
                    <CameraKey label=t("photo-take") camera=true mark=walk.selected />
                </div>
                <Captures short=true />
            </div>
            <div class="zoom" role="group" aria-label=t("ui-zoom")>
                <Show when=move || walk.camera.with(Camera::is_zoomed)>
                    <button type="button" class="key" data-act="whole" aria-label=t("ui-zoom-whole") on:click=move |_| walk.show_whole()>
                        <Icon name="whole" />
                    </button>
                </Show>
                <button type="button" class="key" aria-label=t("ui-zoom-in") on:click=move |_| walk.zoom(1.6)>
                    <Icon name="plus" />
                </button>
                <button type="button" class="key" aria-label=t("ui-zoom-out") on:click=move |_| walk.zoom(1.0 / 1.6)>
                    <Icon name="minus" />
                </button>
            </div>
            <p id="map-keys" class="spoken">{t("ui-map-keys")}</p>
            <Show when=move || hand.pen_only.get()>
                <p class="map-note">
                    {t("ui-pen-on")}
                    <button type="button" class="key" on:click=move |_| hand.allow_fingers()>{t("ui-pen-fingers")}</button>
                </p>
            </Show>
            <Show when=move || walk.adding.get()>
                <p class="map-note">{t("ui-adding")}</p>
            </Show>
        </div>
    }
}

/// A ring where the finger was, for a moment; as long as a question about that place is open.
#[component]
fn Flash() -> impl IntoView {
    let walk = Walk::get();
    let times = Memo::new(move |last: Option<&u32>| {
        walk.flash.track();
        last.map_or(0, |last| last.wrapping_add(1))
    });
    let look = move || match times.get() {
        0 => "flash",
        _ if walk.ask.with(Option::is_some) => "flash flash-stay",
        odd if odd % 2 == 1 => "flash flash-odd",
        _ => "flash flash-even",
    };
    let place = move || walk.flash.get().map(|at| format!("translate({:.1} {:.1})", at.0, at.1));
    view! { <circle class=look transform=place r="26"></circle> }
}

/// The ring round the part that has the keyboard, while the keyboard is in use, or whose sheet is open while none of its
/// marks shows where it is.
#[component]
fn FocusRing(
    /// The part.
    part: Memo<String>,
) -> impl IntoView {
    let walk = Walk::get();
    let path = Memo::new(move |_| {
        let part = part.get();
        let bare = || {
            walk.selected.with(Option::is_none)
                && walk.part.with(|open| open.as_ref().is_some_and(|open| open.as_str() == part))
        };
        if !walk.ring.get() && !bare() {
            return String::new();
        }
        walk.scene.with(|scene| {
            let items = scene.panels.iter().flat_map(|panel| panel.items.iter());
            items.filter(|item| item.part.as_str() == part).map(|item| &*item.path).collect::<String>()
        })
    });
    view! {
        <g class="focus-ring" aria-hidden="true" transform=move || walk.camera.get().transform()>
            <path class="focus-under" d=move || path.get()></path>
            <path class="focus-line" d=move || path.get()></path>
        </g>
    }
}

/// The words of state that fit, in pixels before the camera's shift, clear of the selected mark and its handles.
fn place_labels(walk: Walk, scale: f64) -> Vec<(f64, f64, String, &'static str)> {
    let overlay = walk.overlay.get();
    let selected = walk.selected.get();
    let clear: Vec<Frame> = overlay
        .marks
        .iter()
        .map(|mark| {
            let b = &mark.bounds;
            // The handles stand outside of the selected mark.
            let beyond = if Some(&mark.mark) == selected.as_ref() { 2.0 * (HANDLE_OUT_PX + 9.0) } else { 4.0 };
            Frame {
                left: b.low.a * scale - beyond / 2.0,
                top: b.low.b * scale - beyond / 2.0,
                width: b.width() * scale + beyond,
                height: b.height() * scale + beyond,
            }
        })
        .collect();
    walk.scene.with(|scene| state_words(scene, &overlay, scale, walk.part.get().as_ref(), &clear))
}
