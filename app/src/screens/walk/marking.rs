//! What a tap, a key and the sheet do to the job: each act is one command, and so one step of undo.
//!
//! Only this file of the walk changes a job, and only through `dispatch`. Judges nothing.

use super::defaults;
use super::state::{Ask, Walk, point};
use crate::canvas::camera::Xy;
use crate::canvas::handles;
use crate::platform::page;
use leptos::prelude::*;
use model::damage::{Mark, MarkShape};
use model::geometry::Point;
use model::ids::{MarkId, PartId};
use model::job::{Command, MarkField};
use model::scene::{self, Scene};
use model::terms::{Action, Inspection, MarkKind, View};

/// A finger inside a part touches its neighbour too within this share of its reach: 6 px of 12 px.
const BORDER: f64 = 0.5;

impl Walk {
    /// A tap on the map: selects a mark, marks a part, or asks which part is meant. `time` is the event's time stamp.
    pub fn tap(self, px: Xy, slop_px: f64, time: f64) {
        page::measure_tap(time);
        let camera = self.camera.get_untracked();
        let (at, slop_mm) = (point(camera.to_mm(px)), slop_px / camera.scale);
        let scene = self.scene.get_untracked();
        if !self.adding.get_untracked()
            && let Some(id) = self.mark_at(&scene, at, slop_mm)
        {
            self.select(&id);
            return;
        }
        let mut hits = scene::hit(self.book(), &scene, at, slop_mm);
        // Well on one part is that part; only a finger on the border itself is asked.
        if hits.first().is_some_and(|first| first.distance_mm <= 0.0) {
            hits.retain(|hit| hit.distance_mm <= slop_mm * BORDER);
        }
        match hits.as_slice() {
            [] => self.leave(),
            [hit] => self.put(&hit.part, hit.view, (hit.at.a, hit.at.b)),
            [first, ..] => {
                let parts = hits.iter().take(3).map(|hit| (hit.part.clone(), hit.view)).collect();
                self.selected.set(None);
                self.part.set(None);
                self.ask.set(Some(Ask::Which(parts, (first.at.a, first.at.b))));
            }
        }
        self.flash.set(Some(px));
    }

    /// A long press on the map: the menu of the part there.
    pub fn press(self, px: Xy, slop_px: f64) {
        let camera = self.camera.get_untracked();
        let scene = self.scene.get_untracked();
        let hits = scene::hit(self.book(), &scene, point(camera.to_mm(px)), slop_px / camera.scale);
        if let Some(hit) = hits.first() {
            self.selected.set(None);
            self.part.set(None);
            self.ask.set(Some(Ask::Menu(hit.part.clone(), hit.view, (hit.at.a, hit.at.b))));
            self.flash.set(Some(px));
        }
    }

    /// The smallest mark under a finger.
    fn mark_at(self, scene: &Scene, at: Point, slop_mm: f64) -> Option<MarkId> {
        let overlay = self.overlay.get_untracked();
        let near = overlay.marks.iter().filter(|mark| {
            let b = &mark.bounds;
            at.a >= b.low.a - slop_mm
                && at.a <= b.high.a + slop_mm
                && at.b >= b.low.b - slop_mm
                && at.b <= b.high.b + slop_mm
        });
        self.planned.job.with_untracked(|job| {
            let job = job.as_ref()?;
            near.filter_map(|drawn| {
                let mark = job.marks.get(&drawn.mark)?;
                let panel = scene.panels.iter().find(|panel| panel.view == mark.view)?;
                let area = mark.shape.area().ok()?;
                // Only a mark that is small on the screen is helped by the finger's breadth.
                let reach = slop_mm.min(4.0 * slop_mm - area.bounds().width().min(area.bounds().height())).max(0.0);
                (area.distance_to_point(panel.to_vehicle(at)) <= reach).then(|| (area.size(), drawn.mark.clone()))
            })
            .min_by(|one, other| one.0.total_cmp(&other.0))
            .map(|(_, id)| id)
        })
    }

    /// Puts a first mark on a part at a point of the vehicle's frame and selects it.
    pub fn put(self, part: &PartId, view: View, at: (f64, f64)) {
        if let Some(found) = self.book_part(part) {
            self.add(defaults::mark(found, view, at));
        }
    }

    /// Puts a mark of a kind over a whole part.
    pub fn put_over(self, part: &PartId, view: View, kind: MarkKind) {
        if let Some(found) = self.book_part(part) {
            self.add(defaults::mark_over(found, view, kind));
        }
    }

    /// Puts a first mark well inside a part, as the keyboard and the list do.
    pub fn put_inside(self, part: &PartId) {
        let Some(found) = self.book_part(part) else { return };
        let views = self.place.get_untracked().views();
        let view = views.iter().find(|view| found.shapes.contains_key(view)).or_else(|| found.shapes.keys().next());
        if let Some((view, area)) = view.and_then(|view| found.shapes.get_key_value(view)) {
            let at = defaults::inside(area);
            self.put(part, *view, (at.a, at.b));
        }
    }

    /// Records a mark and selects it.
    pub fn add(self, mark: Mark) {
        let (id, part) = (self.app.new_mark_id(), mark.part.clone());
        self.app.dispatch(Command::AddMark { id: id.clone(), mark });
        self.ask.set(None);
        self.adding.set(false);
        self.focus.set(part.to_string());
        self.selected.set(Some(id));
        self.part.set(Some(part));
    }

    /// Changes fields of the selected mark, as one step of undo.
    pub fn edit(self, fields: Vec<MarkField>) {
        if let Some(id) = self.selected.get_untracked()
            && !fields.is_empty()
        {
            self.app.dispatch(Command::EditMark { id, fields });
        }
    }

    /// Makes the selected mark another kind, with what goes with it.
    pub fn set_kind(self, kind: MarkKind) {
        let Some(old) = untrack(|| self.mark()) else { return };
        let Some(part) = self.book_part(&old.part) else { return };
        let new = defaults::with_kind(old.clone(), kind, part);
        let mut fields = Vec::new();
        if new.kind != old.kind {
            fields.push(MarkField::Kind(new.kind));
        }
        if new.depth_mm != old.depth_mm {
            fields.push(MarkField::DepthMm(new.depth_mm));
        }
        if new.coat != old.coat {
            fields.push(MarkField::Coat(new.coat));
        }
        if new.sharp != old.sharp {
            fields.push(MarkField::Sharp(new.sharp));
        }
        if new.count != old.count {
            fields.push(MarkField::Count(new.count));
        }
        self.edit(fields);
    }

    /// Gives the selected mark another outline.
    pub fn set_shape(self, shape: MarkShape) {
        if let Some(mark) = untrack(|| self.mark())
            && mark.shape != shape
        {
            self.edit(vec![MarkField::Outline { view: mark.view, shape }]);
        }
    }

    /// Sets the length (axis 0) or width (axis 1) of the selected mark, mm.
    pub fn set_size(self, axis: usize, mm: i32) {
        if let Some(mark) = untrack(|| self.mark()) {
            self.set_shape(handles::sized(&mark.shape, axis, mm));
        }
    }

    /// Takes the selected mark away; the sheet stays while the part has others.
    pub fn remove(self) {
        let Some(id) = self.selected.get_untracked() else { return };
        self.app.dispatch(Command::RemoveMark { id });
        match self.part.get_untracked() {
            Some(part) if self.has_marks(&part) => self.open(part),
            _ => self.leave(),
        }
    }

    fn has_marks(self, part: &PartId) -> bool {
        self.planned
            .job
            .with_untracked(|job| job.as_ref().is_some_and(|job| job.marks.values().any(|mark| mark.part == *part)))
    }

    /// Holds a decision for a part, or takes the hold back.
    pub fn hold(self, part: &PartId, action: Option<Action>) {
        self.app.dispatch(Command::Hold { part: part.clone(), action });
    }

    /// Records what was found behind.
    pub fn inspect(self, part: &PartId, state: Inspection) {
        self.app.dispatch(Command::Inspect { part: part.clone(), state });
    }
}
