//! The fingers on the map: pointer events into the gesture machine, and what it says into acts of [`Walk`].
//!
//! Knows pixels and the selected mark's handles; what a tap means for the job is [`Walk`]'s business.

use super::selection::{HANDLE_OUT_PX, middle};
use super::state::{Walk, point};
use crate::canvas::camera::Xy;
use crate::canvas::gesture::{Gesture, Grab, Machine, Pointer};
use crate::canvas::{handles, pointer};
use crate::platform::page;
use leptos::ev;
use leptos::prelude::*;
use model::geometry::Point;
use model::ids::PartId;
use std::time::Duration;

/// Reach of a handle under a finger, pixels: half of a 48 px target.
const HANDLE_PX: f64 = 24.0;

/// The fingers on the map: feeds the gesture machine and carries out what it says.
#[derive(Clone, Copy)]
pub struct Hand {
    walk: Walk,
    machine: StoredValue<Machine>,
    corner: StoredValue<Xy>,
    timer: StoredValue<Option<TimeoutHandle>>,
    /// Whether a pen was used, so that fingers only move and zoom.
    pub pen_only: RwSignal<bool>,
    /// Whether a finger pans now.
    pub panning: RwSignal<bool>,
}

impl Hand {
    /// The hand of a walk.
    pub fn new(walk: Walk) -> Self {
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
        pointer(event, self.corner.get_value())
    }

    /// A pointer went down.
    pub fn down(self, event: &ev::PointerEvent) {
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

    /// A pointer moved.
    pub fn moved(self, event: &ev::PointerEvent) {
        let pointer = self.pointer(event);
        let zoomed = self.walk.camera.get_untracked().is_zoomed();
        let gesture = self.machine.try_update_value(|machine| machine.moved(pointer, zoomed)).flatten();
        self.follow(gesture);
    }

    /// A pointer was lifted.
    pub fn up(self, event: &ev::PointerEvent) {
        let pointer = self.pointer(event);
        let gesture = self.machine.try_update_value(|machine| machine.up(pointer)).flatten();
        self.rest();
        self.follow(gesture);
    }

    /// The system took a pointer away.
    pub fn cancelled(self, event: &ev::PointerEvent) {
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

    /// A wheel or trackpad turned: zoom with the control key, pan otherwise.
    pub fn wheel(self, event: &ev::WheelEvent) {
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
    pub fn assisted(self, event: &ev::MouseEvent) {
        if event.detail() == 0
            && let Some(part) = page::attribute_of_target(event, "data-part")
        {
            self.walk.put_inside(&PartId::from(part));
        }
    }

    /// Lets fingers mark again after a pen was used.
    pub fn allow_fingers(self) {
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
