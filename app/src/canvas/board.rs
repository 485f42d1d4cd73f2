//! A drawing that is looked at: pan, pinch, zoom by keys, tap. What is drawn on it is the caller's.
//!
//! The same camera and gestures as the walk's map, without marks to drag. While it is not zoomed a finger scrolls the
//! page as everywhere else. Never knows what is drawn.

use super::camera::{Camera, Frame, Xy};
use super::gesture::{Gesture, Grab, Kind, Machine, Pointer};
use crate::platform::page;
use crate::widgets::Icon;
use crate::words::t;
use leptos::ev;
use leptos::html;
use leptos::prelude::*;

/// Free edge round the whole, pixels.
const MARGIN_PX: f64 = 12.0;
/// Zoom of one press of a key.
const STEP: f64 = 1.6;

/// A pointer event as the gesture machine reads it, from the upper left corner of its map.
#[must_use]
pub fn pointer(event: &ev::PointerEvent, corner: Xy) -> Pointer {
    Pointer {
        id: event.pointer_id(),
        kind: Kind::of(&event.pointer_type()),
        at: (f64::from(event.client_x()) - corner.0, f64::from(event.client_y()) - corner.1),
        breadth: f64::from(event.width().max(event.height())),
        time: event.time_stamp(),
    }
}

/// What a viewer looks at and how.
#[derive(Clone, Copy)]
pub struct Board {
    /// Where the drawing stands.
    pub camera: RwSignal<Camera>,
    /// For which camera the drawing was painted; the browser moves what is painted from there to where it stands.
    painted: RwSignal<Camera>,
    /// The scale at which the drawing was last at rest: what is drawn in pixels is drawn for it.
    pub rest: RwSignal<f64>,
    /// Width and height of the map, pixels.
    pub size: RwSignal<Xy>,
    /// What the whole is, screen mm.
    whole: Signal<Frame>,
    /// It zooms in at least until a millimetre is so many pixels.
    reach: f64,
    panning: RwSignal<bool>,
    machine: StoredValue<Machine>,
    corner: StoredValue<Xy>,
}

impl Board {
    /// A board that shows the whole, and all of a new whole.
    #[must_use]
    pub fn new(whole: Signal<Frame>, reach: f64) -> Self {
        let board = Self {
            camera: RwSignal::new(Camera::default()),
            painted: RwSignal::new(Camera::default()),
            rest: RwSignal::new(Camera::default().scale),
            size: RwSignal::new((0.0, 0.0)),
            whole,
            reach,
            panning: RwSignal::new(false),
            machine: StoredValue::new(Machine::default()),
            corner: StoredValue::new((0.0, 0.0)),
        };
        Effect::new(move |_| {
            board.whole.track();
            board.size.track();
            board.show_whole();
        });
        board
    }

    /// Shows the whole.
    pub fn show_whole(self) {
        let (size, whole) = (self.size.get_untracked(), self.whole.get_untracked());
        if size.0 > 1.0 && size.1 > 1.0 && whole.width > 0.0 {
            self.camera.set(Camera::fitting(whole, size, MARGIN_PX).reaching(self.reach));
            self.settle();
        }
    }

    /// Shows a window of it as large as it goes.
    pub fn show(self, window: Frame, margin: f64) {
        self.look(|camera| camera.framed(window, self.size.get_untracked(), margin));
        self.settle();
    }

    /// Zooms about the middle.
    pub fn zoom(self, factor: f64) {
        let size = self.size.get_untracked();
        self.look(|camera| camera.zoomed(factor, (size.0 / 2.0, size.1 / 2.0)));
        self.settle();
    }

    fn look(self, change: impl FnOnce(Camera) -> Camera) {
        let (whole, size) = (self.whole.get_untracked(), self.size.get_untracked());
        self.camera.update(|camera| *camera = change(*camera).kept_on(whole, size));
    }

    /// How the painted drawing is moved and stretched to where it stands.
    fn moved_by(self) -> String {
        let (camera, painted) = (self.camera.get(), self.painted.get());
        let grown = camera.scale / painted.scale;
        let (x, y) = (camera.x - grown * painted.x, camera.y - grown * painted.y);
        format!("transform:translate({x:.2}px,{y:.2}px) scale({grown:.5})")
    }

    /// The drawing stands still: it is drawn for the scale that it has now.
    fn settle(self) {
        if self.panning.get_untracked() {
            self.panning.set(false);
        }
        let camera = self.camera.get_untracked();
        let scale = camera.scale;
        // What was only moved need not be painted again.
        if (self.painted.get_untracked().scale / scale - 1.0).abs() > 1e-9 {
            self.painted.set(camera);
        }
        if (self.rest.get_untracked() / scale - 1.0).abs() > 0.01 {
            self.rest.set(scale);
        }
    }

    fn down(self, event: &ev::PointerEvent) {
        if event.button() > 0 {
            return;
        }
        if let Some(map) = event.current_target() {
            let (left, top, ..) = page::target_frame(&map);
            self.corner.set_value((left, top));
            page::capture_target(&map, event.pointer_id());
        }
        let pointer = pointer(event, self.corner.get_value());
        self.machine.update_value(|machine| {
            machine.down(pointer, Grab::Map);
        });
    }

    fn moved(self, event: &ev::PointerEvent) {
        let pointer = pointer(event, self.corner.get_value());
        let zoomed = self.camera.get_untracked().is_zoomed();
        let gesture = self.machine.try_update_value(|machine| machine.moved(pointer, zoomed)).flatten();
        match gesture {
            Some(Gesture::Pan(by)) => {
                if !self.panning.get_untracked() {
                    self.panning.set(true);
                }
                self.look(|camera| camera.shifted(by));
            }
            Some(Gesture::Pinch { by, factor, about }) => self.look(|camera| camera.shifted(by).zoomed(factor, about)),
            _ => {}
        }
    }

    /// Where a finger tapped and how far round it counts, both in screen mm.
    fn up(self, event: &ev::PointerEvent) -> Option<(Xy, f64)> {
        let pointer = pointer(event, self.corner.get_value());
        let gesture = self.machine.try_update_value(|machine| machine.up(pointer)).flatten();
        self.settle();
        let camera = self.camera.get_untracked();
        match gesture {
            Some(Gesture::Tap { at, slop, .. }) => Some((camera.to_mm(at), slop.max(24.0) / camera.scale)),
            _ => None,
        }
    }

    fn cancelled(self, event: &ev::PointerEvent) {
        self.machine.update_value(|machine| {
            machine.cancelled(event.pointer_id());
        });
        self.settle();
    }

    /// A wheel zooms with the control key, as a pinch on a trackpad does; otherwise it scrolls the page.
    fn wheel(self, event: &ev::WheelEvent) {
        if !event.ctrl_key() {
            return;
        }
        event.prevent_default();
        if let Some(map) = event.current_target() {
            let (left, top, ..) = page::target_frame(&map);
            let at = (f64::from(event.client_x()) - left, f64::from(event.client_y()) - top);
            self.look(|camera| camera.zoomed((-event.delta_y() * 0.01).exp(), at));
            // Drawn anew only when it has grown or shrunk enough to be seen.
            let scale = self.camera.get_untracked().scale;
            if !(0.75..1.34).contains(&(scale / self.rest.get_untracked())) {
                self.settle();
            }
        }
    }
}

/// A board on the screen, with its keys for zooming.
#[component]
pub fn Viewer(
    /// The board.
    board: Board,
    /// What it shows, in words.
    #[prop(into)]
    label: Signal<String>,
    /// Told where a finger tapped and how far round it counts, screen mm.
    #[prop(into)]
    on_tap: Callback<(Xy, f64)>,
    /// Told a key pressed while the board has the keyboard.
    #[prop(into)]
    on_key: Callback<ev::KeyboardEvent>,
    /// Id of the element that says what the keys do.
    keys: &'static str,
    /// What is drawn, in screen mm.
    children: Children,
) -> impl IntoView {
    let shell = NodeRef::<html::Div>::new();
    let watch = StoredValue::new_local(None);
    Effect::new(move |_| {
        if let Some(element) = shell.get() {
            let size = board.size;
            watch.set_value(page::watch_size(&element, move |width, height| {
                if size.try_get_untracked().is_some_and(|known| known != (width, height)) {
                    size.set((width, height));
                }
            }));
        }
    });
    let zoomed = Memo::new(move |_| board.camera.with(Camera::is_zoomed));
    view! {
        <div class="board" node_ref=shell data-zoomed=move || zoomed.get().to_string()>
            <div
                class="board-view"
                class:panning=move || board.panning.get()
                role="group"
                tabindex="0"
                aria-label=move || label.get()
                aria-describedby=keys
                on:pointerdown=move |event| board.down(&event)
                on:pointermove=move |event| board.moved(&event)
                on:pointerup=move |event| {
                    if let Some(tap) = board.up(&event) {
                        on_tap.run(tap);
                    }
                }
                on:pointercancel=move |event| board.cancelled(&event)
                on:wheel=move |event| board.wheel(&event)
                on:keydown=move |event| on_key.run(event)
            >
                <svg class="board-svg" aria-hidden="true" style=move || board.moved_by()>
                    <g transform=move || board.painted.get().transform()>{children()}</g>
                </svg>
            </div>
            <div class="zoom" role="group" aria-label=t("ui-zoom")>
                <button type="button" class="key" aria-label=t("joints-whole") on:click=move |_| board.show_whole()>
                    <Icon name="whole" />
                </button>
                <button type="button" class="key" aria-label=t("ui-zoom-in") on:click=move |_| board.zoom(STEP)>
                    <Icon name="plus" />
                </button>
                <button type="button" class="key" aria-label=t("ui-zoom-out") on:click=move |_| board.zoom(1.0 / STEP)>
                    <Icon name="minus" />
                </button>
            </div>
        </div>
    }
}
