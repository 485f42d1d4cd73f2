//! What the walk is looking at, and what each act of the person does to the job.
//!
//! Every change of the job goes through one `Command`; everything else here is this tablet's view and is not saved.

use super::defaults;
use crate::canvas::camera::{Camera, Xy};
use crate::canvas::{frame, handles};
use crate::planned::Planned;
use crate::platform::page;
use crate::route::{Route, Router};
use crate::state::AppState;
use leptos::prelude::*;
use model::catalogue::{Book, Part};
use model::damage::{Mark, MarkShape};
use model::decide::Decision;
use model::geometry::Point;
use model::ids::{MarkId, PartId};
use model::job::{Command, MarkField};
use model::scene::{self, Overlay, Panel, Place, Scene};
use model::terms::{Action, Inspection, Layer, MarkKind, View};
use std::sync::Arc;

/// A finger inside a part touches its neighbour too within this share of its reach: 6 px of 12 px.
const BORDER: f64 = 0.5;

/// A question that waits for the person.
#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    /// The finger was on two parts: which one? With the point in the vehicle's frame.
    Which(Vec<(PartId, View)>, (f64, f64)),
    /// A long press on a part: what to do here?
    Menu(PartId, View, (f64, f64)),
}

/// What one tablet looks at on a walk.
#[derive(Clone, Copy)]
pub struct Walk {
    /// The app's state.
    pub app: AppState,
    /// What the model says.
    pub planned: Planned,
    /// Where the person stands.
    pub place: Memo<Place>,
    /// What is peeled away.
    pub layer: Memo<Layer>,
    /// The drawing.
    pub scene: Memo<Arc<Scene>>,
    /// What lies over it.
    pub overlay: Memo<Arc<Overlay>>,
    /// Where the truck stands on the map.
    pub camera: RwSignal<Camera>,
    /// Size of the map, pixels.
    pub size: RwSignal<Xy>,
    /// The selected mark.
    pub selected: RwSignal<Option<MarkId>>,
    /// The part whose sheet is open.
    pub part: RwSignal<Option<PartId>>,
    /// The selected mark's outline while a drag lasts.
    pub draft: RwSignal<Option<MarkShape>>,
    /// An open question.
    pub ask: RwSignal<Option<Ask>>,
    /// The part in the tab order.
    pub focus: RwSignal<String>,
    /// Whether the next tap adds a mark even where one lies.
    pub adding: RwSignal<bool>,
    /// Where the last mark was made, pixels, for the flash.
    pub flash: RwSignal<Option<Xy>>,
}

impl Walk {
    /// Makes the view of a walk and puts it into the context.
    pub fn provide() -> Self {
        let (app, planned, router) = (AppState::get(), Planned::get(), Router::get());
        let place = Memo::new(move |_| match router.now() {
            Route::Walk { place, .. } => place,
            _ => Place::Left,
        });
        let layer = Memo::new(move |_| match router.now() {
            Route::Walk { layer, .. } => layer,
            _ => Layer::Skin,
        });
        let scene = Memo::new_with_compare(
            move |_| Arc::new(scene::scene(planned.book.get(), place.get(), layer.get())),
            |_, _| true,
        );
        let overlay = Memo::new_with_compare(
            move |_| {
                let scene = scene.get();
                let (job, decided) = (planned.job.get(), planned.decided.get());
                let decisions: &[Arc<Decision>] = decided.as_ref().map_or(&[], |decided| &decided.decisions);
                Arc::new(job.as_ref().map_or_else(Overlay::default, |job| {
                    scene::overlay(planned.book.get(), &scene, job.marks.iter(), decisions)
                }))
            },
            |_, _| true,
        );
        let walk = Self {
            app,
            planned,
            place,
            layer,
            scene,
            overlay,
            camera: RwSignal::new(Camera::default()),
            size: RwSignal::new((0.0, 0.0)),
            selected: RwSignal::new(None),
            part: RwSignal::new(None),
            draft: RwSignal::new(None),
            ask: RwSignal::new(None),
            focus: RwSignal::new(String::new()),
            adding: RwSignal::new(false),
            flash: RwSignal::new(None),
        };
        provide_context(walk);
        walk
    }

    /// The view of the present walk.
    #[must_use]
    pub fn get() -> Self {
        expect_context()
    }

    /// The book's part; not tracked.
    #[must_use]
    pub fn book_part(self, id: &PartId) -> Option<&'static Part> {
        self.book().part(id)
    }

    fn book(self) -> &'static Book {
        self.planned.book.get_untracked()
    }

    /// The selected mark; tracked.
    #[must_use]
    pub fn mark(self) -> Option<Mark> {
        let id = self.selected.get()?;
        self.planned.job.with(|job| job.as_ref()?.marks.get(&id).cloned())
    }

    /// The selected mark's outline as drawn: the draft while a drag lasts; tracked.
    #[must_use]
    pub fn outline(self) -> Option<(View, MarkShape)> {
        let mark = self.mark()?;
        Some((mark.view, self.draft.get().unwrap_or(mark.shape)))
    }

    /// The panel that shows a view; tracked.
    #[must_use]
    pub fn panel(self, view: View) -> Option<Panel> {
        self.scene.with(|scene| scene.panels.iter().find(|panel| panel.view == view).cloned())
    }

    /// Whether lengths are shown in inches; tracked.
    #[must_use]
    pub fn imperial(self) -> bool {
        self.app.settings.with(|settings| settings.units == crate::state::Units::Imperial)
    }

    // --- looking ---

    /// Shows the whole truck, or at a corner the two halves that meet there.
    pub fn show_whole(self) {
        let size = self.size.get_untracked();
        if size.0 > 1.0 && size.1 > 1.0 {
            let window = self.scene.with_untracked(|scene| frame(&scene.window));
            self.camera.set(Camera::fitting(window, size, if size.0 < 500.0 { 10.0 } else { 28.0 }));
        }
    }

    /// Moves the picture, but never so far that the truck is lost.
    pub fn look(self, change: impl FnOnce(Camera) -> Camera) {
        let bounds = self.scene.with_untracked(|scene| frame(&scene.bounds));
        let size = self.size.get_untracked();
        self.camera.update(|camera| *camera = change(*camera).kept_on(bounds, size));
    }

    /// Zooms about the middle of the map.
    pub fn zoom(self, factor: f64) {
        let size = self.size.get_untracked();
        self.look(|camera| camera.zoomed(factor, (size.0 / 2.0, size.1 / 2.0)));
    }

    /// Stands elsewhere, with the same peel where it shows anything.
    pub fn stand(self, place: Place) {
        self.turn(place, self.layer.get_untracked());
    }

    /// Peels to another layer.
    pub fn peel(self, layer: Layer) {
        self.turn(self.place.get_untracked(), layer);
    }

    /// Walks on round the truck, or back.
    pub fn walk_on(self, onward: bool) {
        self.stand(self.place.get_untracked().walk(onward));
    }

    fn turn(self, place: Place, layer: Layer) {
        let router = Router::get();
        let shows = |layer: &Layer| scene::has_layer(self.book(), place, *layer);
        let layer = if shows(&layer) {
            layer
        } else {
            Layer::ALL.iter().copied().find(|layer| shows(layer)).unwrap_or(layer)
        };
        if let Route::Walk { job, .. } = router.peek() {
            self.ask.set(None);
            router.turn(Route::Walk { job, place, layer });
        }
    }

    /// Goes to where a part shows and opens its sheet.
    pub fn find(self, part: &PartId) {
        let Some(found) = self.book_part(part) else { return };
        let here = self.scene.with_untracked(|scene| {
            scene.panels.iter().any(|panel| panel.items.iter().any(|item| item.part == *part))
        });
        if !here && let Some(view) = found.shapes.keys().next() {
            self.turn(Place::of(*view), found.layer);
        }
        self.open(part.clone());
    }

    /// Opens the sheet of a part: its first mark is selected, or none.
    pub fn open(self, part: PartId) {
        let first = self.planned.job.with_untracked(|job| {
            job.as_ref()?.marks.iter().find(|(_, mark)| mark.part == part).map(|(id, _)| id.clone())
        });
        self.ask.set(None);
        self.selected.set(first);
        self.focus.set(part.0.clone());
        self.part.set(Some(part));
    }

    /// Selects a mark and opens the sheet of its part.
    pub fn select(self, id: &MarkId) {
        let part = self
            .planned
            .job
            .with_untracked(|job| job.as_ref().and_then(|job| job.marks.get(id)).map(|mark| mark.part.clone()));
        if let Some(part) = part {
            self.ask.set(None);
            self.focus.set(part.0.clone());
            self.selected.set(Some(id.clone()));
            self.part.set(Some(part));
        }
    }

    /// Closes sheet and question and lets the mark go.
    pub fn leave(self) {
        self.ask.set(None);
        self.draft.set(None);
        self.adding.set(false);
        self.selected.set(None);
        self.part.set(None);
    }

    // --- marking ---

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
            at.a >= b.low.a - slop_mm && at.a <= b.high.a + slop_mm && at.b >= b.low.b - slop_mm && at.b <= b.high.b + slop_mm
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
        self.focus.set(part.0.clone());
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

/// A pixel pair as a point of the model.
#[must_use]
pub fn point(at: Xy) -> Point {
    Point::new(at.0, at.1)
}
