//! The map: the truck as an SVG with one set of listeners on its root, and the keyboard's way round it.
//!
//! Turns pointer and key events into acts of [`Walk`]; draws nothing itself and changes no job.

use super::selection::{HANDLE_OUT_PX, Selection, middle};
use super::state::{Walk, point};
use crate::canvas::camera::{Camera, Frame, Xy};
use crate::canvas::gesture::{Gesture, Grab, Kind, Machine, Pointer};
use crate::canvas::{Labels, Marks, Patterns, States, Truck, handles, state_words};
use crate::platform::page;
use crate::widgets::Icon;
use crate::words::{t, tf};
use leptos::ev;
use leptos::html;
use leptos::prelude::*;
use leptos::svg;
use model::geometry::Point;
use model::ids::PartId;
use model::scene;
use model::terms::Direction;
use std::time::Duration;

/// Reach of a handle under a finger, pixels: half of a 48 px target.
const HANDLE_PX: f64 = 24.0;

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
            if all().any(|item| item.part.0 == wanted) {
                return wanted.clone();
            }
            all().next().map(|item| item.part.0.clone()).unwrap_or_default()
        })
    });
    let selected = Signal::derive(move || walk.selected.get().map(|id| id.0).unwrap_or_default());
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
                on:keydown=move |event| keys(walk, &event)
                on:focusin=move |event: ev::FocusEvent| {
                    if let Some(part) = page::attribute_of_target(&event, "data-part") {
                        walk.focus.set(part);
                    }
                }
            >
                <Patterns scale=scale />
                <g transform=move || walk.camera.get().transform()>
                    {move || view! { <Truck scene=walk.scene.get() focus=focus /> }}
                    <States overlay=walk.overlay />
                    <Marks overlay=walk.overlay selected=selected />
                </g>
                <g transform=move || {
                    let camera = walk.camera.get();
                    format!("translate({:.2} {:.2})", camera.x, camera.y)
                }>
                    <Labels labels=words />
                </g>
                <FocusRing part=focus />
                <Selection />
                {move || {
                    walk.flash
                        .get()
                        .map(|at| view! { <circle class="flash" class:stay=move || walk.ask.with(Option::is_some) cx=format!("{:.1}", at.0) cy=format!("{:.1}", at.1) r="26"></circle> })
                }}
            </svg>
            <div class="zoom" role="group" aria-label=t("ui-zoom")>
                <button type="button" class="key" aria-label=t("ui-zoom-out") on:click=move |_| walk.zoom(1.0 / 1.6)>
                    <Icon name="minus" />
                </button>
                <button type="button" class="key" aria-label=t("ui-zoom-in") on:click=move |_| walk.zoom(1.6)>
                    <Icon name="plus" />
                </button>
                <Show when=move || walk.camera.with(Camera::is_zoomed)>
                    <button type="button" class="key" aria-label=t("ui-zoom-whole") on:click=move |_| walk.show_whole()>
                        <Icon name="whole" />
                    </button>
                </Show>
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

/// The ring round the part that has the keyboard; the style sheet shows it only while the keyboard is in use.
#[component]
fn FocusRing(
    /// The part.
    part: Memo<String>,
) -> impl IntoView {
    let walk = Walk::get();
    let path = Memo::new(move |_| {
        let part = part.get();
        walk.scene.with(|scene| {
            let items = scene.panels.iter().flat_map(|panel| panel.items.iter());
            items.filter(|item| item.part.0 == part).map(|item| item.path.as_str()).collect::<String>()
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

/// The keyboard's way: arrows to the nearest part, Enter marks, Delete removes, plus and minus zoom, Escape leaves.
fn keys(walk: Walk, event: &ev::KeyboardEvent) {
    let Some(part) = page::attribute_of_target(event, "data-part").map(PartId) else { return };
    let scene = walk.scene.get_untracked();
    let towards = |direction| scene::neighbour(&scene, &part, direction);
    let outermost = |sign: f64| {
        let items = scene.panels.iter().flat_map(|panel| panel.items.iter());
        items
            .min_by(|one, other| (sign * one.bounds.centre().a).total_cmp(&(sign * other.bounds.centre().a)))
            .map(|item| item.part.clone())
    };
    let next = match event.key().as_str() {
        "ArrowLeft" => towards(Direction::Forward),
        "ArrowRight" => towards(Direction::Rearward),
        "ArrowUp" => towards(Direction::Up),
        "ArrowDown" => towards(Direction::Down),
        "Home" => outermost(1.0),
        "End" => outermost(-1.0),
        "Enter" | " " => {
            event.prevent_default();
            let marked =
                walk.planned.job.with_untracked(|job| job.as_ref().is_some_and(|job| job.marks.values().any(|m| m.part == part)));
            if marked && walk.part.get_untracked().as_ref() != Some(&part) {
                walk.open(part);
            } else {
                walk.put_inside(&part);
            }
            return;
        }
        "Delete" | "Backspace" => {
            event.prevent_default();
            walk.remove();
            return;
        }
        "+" | "=" => {
            walk.zoom(1.5);
            return;
        }
        "-" => {
            walk.zoom(1.0 / 1.5);
            return;
        }
        "Escape" => {
            walk.leave();
            return;
        }
        _ => return,
    };
    event.prevent_default();
    if let Some(next) = next {
        walk.focus.set(next.0.clone());
        page::focus(&format!(".map-svg [data-part=\"{}\"]", next.0));
    }
}

/// The fingers on the map: feeds the gesture machine and carries out what it says.
#[derive(Clone, Copy)]
struct Hand {
    walk: Walk,
    machine: StoredValue<Machine>,
    corner: StoredValue<Xy>,
    timer: StoredValue<Option<TimeoutHandle>>,
    pen_only: RwSignal<bool>,
    panning: RwSignal<bool>,
}

impl Hand {
    fn new(walk: Walk) -> Self {
        Self {
            walk,
            machine: StoredValue::new(Machine::default()),
            corner: StoredValue::new((0.0, 0.0)),
            timer: StoredValue::new(None),
            pen_only: RwSignal::new(false),
            panning: RwSignal::new(false),
        }
    }

    fn pointer(self, event: &ev::PointerEvent) -> Pointer {
        let corner = self.corner.get_value();
        Pointer {
            id: event.pointer_id(),
            kind: Kind::of(&event.pointer_type()),
            at: (f64::from(event.client_x()) - corner.0, f64::from(event.client_y()) - corner.1),
            breadth: f64::from(event.width().max(event.height())),
            time: event.time_stamp(),
        }
    }

    fn down(self, event: &ev::PointerEvent) {
        if event.button() > 0 {
            return;
        }
        if event.pointer_type() == "touch" {
            // Without the mouse events that browsers make up after a touch.
            event.prevent_default();
        }
        if let Some(map) = event.current_target() {
            let (left, top, ..) = page::target_frame(&map);
            self.corner.set_value((left, top));
            page::capture_target(&map, event.pointer_id());
        }
        let pointer = self.pointer(event);
        let grab = self.grab(pointer.at);
        let gesture = self.machine.try_update_value(|machine| machine.down(pointer, grab)).flatten();
        let pen_only = self.machine.with_value(Machine::pen_only);
        if pen_only != self.pen_only.get_untracked() {
            self.pen_only.set(pen_only);
        }
        self.follow(gesture);
        self.wait();
    }

    fn moved(self, event: &ev::PointerEvent) {
        let pointer = self.pointer(event);
        let zoomed = self.walk.camera.get_untracked().is_zoomed();
        let gesture = self.machine.try_update_value(|machine| machine.moved(pointer, zoomed)).flatten();
        self.follow(gesture);
    }

    fn up(self, event: &ev::PointerEvent) {
        let pointer = self.pointer(event);
        let gesture = self.machine.try_update_value(|machine| machine.up(pointer)).flatten();
        self.rest();
        self.follow(gesture);
    }

    fn cancelled(self, event: &ev::PointerEvent) {
        let gesture = self.machine.try_update_value(|machine| machine.cancelled(event.pointer_id())).flatten();
        self.rest();
        self.follow(gesture);
    }

    /// The picture stands still again and is drawn sharp.
    fn rest(self) {
        if self.panning.get_untracked() {
            self.panning.set(false);
        }
    }

    fn wheel(self, event: &ev::WheelEvent) {
        event.prevent_default();
        if let Some(map) = event.current_target() {
            let (left, top, ..) = page::target_frame(&map);
            let at = (f64::from(event.client_x()) - left, f64::from(event.client_y()) - top);
            if event.ctrl_key() {
                self.walk.look(|camera| camera.zoomed((-event.delta_y() * 0.01).exp(), at));
            } else if self.walk.camera.get_untracked().is_zoomed() {
                self.walk.look(|camera| camera.shifted((-event.delta_x(), -event.delta_y())));
            }
        }
    }

    /// A click that no pointer made: a screen reader's or a switch's.
    fn assisted(self, event: &ev::MouseEvent) {
        if event.detail() == 0
            && let Some(part) = page::attribute_of_target(event, "data-part")
        {
            self.walk.put_inside(&PartId(part));
        }
    }

    fn allow_fingers(self) {
        self.machine.update_value(Machine::allow_fingers);
        self.pen_only.set(false);
    }

    /// Lets the machine know when a long press falls due.
    fn wait(self) {
        if let Some(old) = self.timer.try_update_value(Option::take).flatten() {
            old.clear();
        }
        let Some(due) = self.machine.with_value(Machine::due) else { return };
        let rest = (due - page::now()).max(0.0);
        let call = move || {
            if let Some(gesture) = self.machine.try_update_value(|machine| machine.tick(page::now())).flatten() {
                self.follow(Some(gesture));
            }
        };
        if let Ok(handle) = set_timeout_with_handle(call, Duration::from_secs_f64(rest / 1000.0)) {
            self.timer.set_value(Some(handle));
        }
    }

    /// What of the selected mark lies under a finger.
    fn grab(self, px: Xy) -> Grab {
        let Some((view, shape)) = untrack(|| self.walk.outline()) else { return Grab::Map };
        let Some(panel) = untrack(|| self.walk.panel(view)) else { return Grab::Map };
        let camera = self.walk.camera.get_untracked();
        let centre = camera.to_px(middle(&panel, &shape));
        let near = handles::handles(&shape)
            .into_iter()
            .map(|at| {
                let shown = panel.to_screen(Point::new(at.0, at.1));
                let there = handles::pushed(centre, camera.to_px((shown.a, shown.b)), HANDLE_OUT_PX);
                (there.0 - px.0).hypot(there.1 - px.1)
            })
            .enumerate()
            .filter(|(_, apart)| *apart <= HANDLE_PX)
            .min_by(|one, other| one.1.total_cmp(&other.1));
        if let Some((index, _)) = near {
            return Grab::Handle(index);
        }
        let on_mark = shape.area().is_ok_and(|area| area.contains(panel.to_vehicle(point(camera.to_mm(px)))));
        if on_mark { Grab::Mark } else { Grab::Map }
    }

    fn follow(self, gesture: Option<Gesture>) {
        let walk = self.walk;
        match gesture {
            None => {}
            Some(Gesture::Tap { at, slop, time }) => walk.tap(at, slop, time),
            Some(Gesture::LongPress { at, slop }) => walk.press(at, slop),
            Some(Gesture::Pan(by)) => {
                if !self.panning.get_untracked() {
                    self.panning.set(true);
                }
                walk.look(|camera| camera.shifted(by));
            }
            Some(Gesture::Pinch { by, factor, about }) => {
                walk.look(|camera| camera.shifted(by).zoomed(factor, about));
            }
            Some(Gesture::Swipe(onward)) => walk.walk_on(onward),
            Some(Gesture::Drag { grab, from, to }) => self.drag(grab, from, to),
            Some(Gesture::Drop) => {
                if let Some(shape) = walk.draft.get_untracked() {
                    walk.set_shape(shape);
                    walk.draft.set(None);
                }
            }
            Some(Gesture::Abort) => walk.draft.set(None),
        }
    }

    fn drag(self, grab: Grab, from: Xy, to: Xy) {
        let walk = self.walk;
        let Some(mark) = untrack(|| walk.mark()) else { return };
        let Some(panel) = untrack(|| walk.panel(mark.view)) else { return };
        let camera = walk.camera.get_untracked();
        let vehicle = |px: Xy| panel.to_vehicle(point(camera.to_mm(px)));
        let (start, end) = (vehicle(from), vehicle(to));
        let shape = match grab {
            Grab::Handle(index) => {
                let edge = vehicle(handles::pulled(camera.to_px(middle(&panel, &mark.shape)), to, HANDLE_OUT_PX));
                handles::dragged(&mark.shape, index, (edge.a, edge.b))
            }
            Grab::Mark => handles::moved(&mark.shape, (end.a - start.a, end.b - start.b)),
            Grab::Map => return,
        };
        walk.draft.set(Some(shape));
    }
}
