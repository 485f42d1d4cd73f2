//! What the walk is looking at: place, layer, camera, selection, open sheet.
//!
//! All of it is this tablet's view and is not saved; what changes the job is in `marking.rs`.

use crate::canvas::camera::{Camera, Xy};
use crate::canvas::frame;
use crate::planned::Planned;
use crate::platform::page;
use crate::route::{Route, Router};
use crate::shown::Shown;
use crate::state::AppState;
use leptos::prelude::*;
use model::catalogue::{Book, Part};
use model::damage::{Mark, MarkShape};
use model::decide::Decision;
use model::geometry::Point;
use model::ids::{MarkId, PartId};
use model::job::Job;
use model::scene::{self, Overlay, Panel, Place, Scene};
use model::terms::{Layer, View};
use std::sync::Arc;

/// A question that waits for the person.
#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    /// The finger was on two parts: which one? With the point in the vehicle's frame.
    Which(Vec<(PartId, View)>, (f64, f64)),
    /// A long press on a part: what to do here?
    Menu(PartId, View, (f64, f64)),
}

/// What was looked at when the screen was last painted. Everything but the answer to a tap (the drawing, the part's name
/// and its decision) reads from it and so follows one frame later: the answer is painted first.
#[derive(Clone, Default)]
pub struct Seen {
    /// The job.
    pub job: Option<Arc<Job>>,
    /// Its decisions with the actions that stand.
    pub shown: Option<Arc<Shown>>,
    /// The selected mark.
    pub selected: Option<MarkId>,
    /// The part whose sheet is open.
    pub part: Option<PartId>,
    /// The drawing.
    pub scene: Option<Arc<Scene>>,
    /// What lay over it.
    pub overlay: Arc<Overlay>,
}

impl Seen {
    /// The selected mark.
    #[must_use]
    pub fn mark(&self) -> Option<&Mark> {
        self.job.as_ref()?.marks.get(self.selected.as_ref()?)
    }
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
    /// Whether it has the keyboard and the keyboard is in use.
    pub ring: RwSignal<bool>,
    /// Whether the next tap adds a mark even where one lies.
    pub adding: RwSignal<bool>,
    /// Where the last mark was made, pixels, for the flash.
    pub flash: RwSignal<Option<Xy>>,
    /// What was looked at when the screen was last painted.
    pub seen: RwSignal<Seen>,
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
                let (job, shown) = (planned.job.get(), planned.shown.get());
                let decisions: &[Arc<Decision>] = shown.as_ref().map_or(&[], |shown| &shown.decisions);
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
            ring: RwSignal::new(false),
            adding: RwSignal::new(false),
            flash: RwSignal::new(None),
            seen: RwSignal::new(Seen::default()),
        };
        walk.look_again_after_painting();
        provide_context(walk);
        walk
    }

    /// The view of the present walk.
    #[must_use]
    pub fn get() -> Self {
        expect_context()
    }

    /// Keeps [`Seen`] one frame behind.
    fn look_again_after_painting(self) {
        let now = move || Seen {
            job: self.planned.job.get(),
            shown: self.planned.shown.get(),
            selected: self.selected.get(),
            part: self.part.get(),
            scene: Some(self.scene.get()),
            overlay: self.overlay.get(),
        };
        self.seen.set(untrack(now));
        let waiting = StoredValue::new(false);
        Effect::new(move |first: Option<()>| {
            now();
            if first.is_some() && !waiting.get_value() {
                waiting.set_value(true);
                page::after_frame(move || {
                    // By then the walk may have been left, and its signals with it.
                    if waiting.try_set_value(false).is_none() {
                        self.seen.set(untrack(now));
                    }
                });
            }
        });
    }

    /// The book's part; not tracked.
    #[must_use]
    pub fn book_part(self, id: &PartId) -> Option<&'static Part> {
        self.book().part(id)
    }

    /// The body book; not tracked.
    pub(super) fn book(self) -> &'static Book {
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
        let layer =
            if shows(&layer) { layer } else { Layer::ALL.iter().copied().find(|layer| shows(layer)).unwrap_or(layer) };
        if let Route::Walk { job, .. } = router.peek() {
            self.ask.set(None);
            router.turn(Route::Walk { job, place, layer });
        }
    }

    /// Goes to where a part shows and opens its sheet.
    pub fn find(self, part: &PartId) {
        let Some(found) = self.book_part(part) else { return };
        let here = self
            .scene
            .with_untracked(|scene| scene.panels.iter().any(|panel| panel.items.iter().any(|item| item.part == *part)));
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
        self.focus.set(part.to_string());
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
            self.focus.set(part.to_string());
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
}

/// A pixel pair as a point of the model.
#[must_use]
pub fn point(at: Xy) -> Point {
    Point::new(at.0, at.1)
}
