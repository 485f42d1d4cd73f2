//! The drawing of a cut map: what stays, what goes, damage, no-cut areas, lines with their ranges, dimensions, words.
//!
//! Pixels and millimetres only; what the lines may do is the model's. Nothing is told by colour alone: what goes is
//! hatched, a chosen line is thick, a permitted one thin, a forbidden one dashed with a cross.

use super::cutdrag::Draft;
use super::cutwords::{Says, Words};
use crate::words::{length, t, tf};
use leptos::prelude::*;
use model::geometry::{Bounds, Point};
use model::scene::{CutDistance, CutLine, CutMap, LineUse};

/// Size of a handle, CSS pixels.
const HANDLE_PX: f64 = 48.0;
/// How far the middle of a handle stands off the part, CSS pixels.
const HANDLE_OFF_PX: f64 = 26.0;
/// Room beside the part for its handles and words, CSS pixels.
const ROOM_PX: f64 = 62.0;
/// Dimensions drawn of one line.
const DIMENSIONS: usize = 3;

/// The stretch of the plane that is shown, screen mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheet {
    left: f64,
    top: f64,
    /// Width, mm.
    pub width: f64,
    /// Height, mm.
    pub height: f64,
}

impl Sheet {
    /// Room for the part, its handles and words on a board that is `width_px` wide.
    #[must_use]
    pub fn of(bounds: &Bounds, width_px: f64) -> Self {
        let middle = bounds.centre();
        if bounds.width() > bounds.height() * 1.2 && width_px > 4.0 * ROOM_PX {
            // A long part takes the whole width; its handles need the same room whatever its length.
            let width = bounds.width() / (1.0 - 2.0 * ROOM_PX / width_px);
            let height = bounds.height() + 2.0 * ROOM_PX * width / width_px;
            return Self { left: middle.a - width / 2.0, top: middle.b - height / 2.0, width, height };
        }
        let edge = bounds.width().max(bounds.height()) * 0.12;
        let (mut width, height) = (bounds.width() + 2.0 * edge, bounds.height() + 2.0 * edge);
        width = width.max(height * 0.62);
        Self { left: middle.a - width / 2.0, top: middle.b - height / 2.0, width, height }
    }

    /// What is shown, screen mm.
    pub(super) fn bounds(&self) -> Bounds {
        let low = Point::new(self.left, self.top);
        Bounds { low, high: Point::new(low.a + self.width, low.b + self.height) }
    }

    /// Where each line's handle stands: beside the upper or the right end, or the other one where another handle is too
    /// near; percent of the sheet.
    #[must_use]
    pub fn handles(&self, map: &CutMap, scale: f64) -> Vec<(f64, f64)> {
        let mut placed: Vec<Point> = Vec::new();
        for line in &map.lines {
            let (p, q) = line.ends;
            let upright = (p.a - q.a).abs() < (p.b - q.b).abs();
            let first = if upright { p.b < q.b } else { p.a > q.a };
            let beside = |end: Point, other: Point| {
                let length = end.distance(other).max(1e-6);
                let off = HANDLE_OFF_PX / scale;
                Point::new(end.a + (end.a - other.a) / length * off, end.b + (end.b - other.b) / length * off)
            };
            let (one, two) = if first { (beside(p, q), beside(q, p)) } else { (beside(q, p), beside(p, q)) };
            let free = |at: &Point| placed.iter().all(|known| known.distance(*at) * scale >= HANDLE_PX);
            placed.push(if free(&one) || !free(&two) { one } else { two });
        }
        let share = |at: Point| ((at.a - self.left) / self.width * 100.0, (at.b - self.top) / self.height * 100.0);
        placed.into_iter().map(share).collect()
    }

    /// The drawing.
    #[must_use]
    pub fn draw(&self, map: &CutMap, selected: usize, draft: Option<Draft>, scale: f64, imperial: bool) -> AnyView {
        let px = 1.0 / scale;
        let view_box = format!("{:.1} {:.1} {:.1} {:.1}", self.left, self.top, self.width, self.height);
        let mut words = Words::new(map, self, px);
        for (x, y) in self.handles(map, scale) {
            let at = Point::new(self.left + x / 100.0 * self.width, self.top + y / 100.0 * self.height);
            words.keep_free(at, HANDLE_PX, HANDLE_PX);
        }
        let shown = map.lines.get(selected).filter(|_| draft.is_none());
        let measures: Vec<&CutDistance> =
            shown.iter().flat_map(|line| line.distances.iter().take(DIMENSIONS)).collect();
        for one in &measures {
            let middle = Point::new(f64::midpoint(one.from.a, one.to.a), f64::midpoint(one.from.b, one.to.b));
            let mm = length(one.mm, imperial);
            let far = tf("cutmap-near", &[("distance", &mm), ("what", &one.what.words())]);
            words.size(middle, one.mm, far, mm);
        }
        for cell in map.cells.iter().filter(|cell| cell.goes) {
            words.within(&cell.bounds, &t("cutmap-goes"), Says::Goes);
        }
        for zone in &map.zones {
            words.zone(zone.middle, &t(zone.kind.key()));
        }
        for cell in &map.cells {
            words.within(&cell.bounds, &cell.name, Says::Piece);
        }
        let cells = map.cells.iter().map(|cell| {
            let class = if cell.goes { "cut-cell cut-goes" } else { "cut-cell" };
            view! { <path class=class data-cell=cell.cell.to_string() data-goes=cell.goes.to_string() d=cell.path.clone()></path> }
        });
        let zones = map.zones.iter().map(|zone| view! { <path class="cut-zone" d=zone.path.clone()></path> });
        let bands = map.lines.iter().filter(|line| line.state != LineUse::Forbidden).flat_map(|line| {
            let class = format!("cut-band cut-band-{}", line.state.word());
            line.bands
                .iter()
                .map(move |band| view! { <path class=class.clone() d=band.clone()></path> })
                .collect::<Vec<_>>()
        });
        let lines = map.lines.iter().enumerate().map(|(at, line)| self.line(line, at == selected, px));
        let sizes = measures.iter().map(|one| dimension(one, px));
        let moving = draft.map(|draft| moving(map, draft));
        let words = words.out;
        let hatch = format!("scale({px:.5})");
        let pattern = format!("cut-hatch-{}", map.view.word());
        let fill = format!("--cut-hatch:url(#{pattern})");
        view! {
            <svg class="cutmap-svg" viewBox=view_box aria-hidden="true" style=fill>
                <defs>
                    <pattern id=pattern width="10" height="10" patternUnits="userSpaceOnUse" patternTransform=hatch>
                        <rect class="cut-hatch-ground" width="10" height="10"></rect>
                        <path class="cut-hatch-line" d="M-2 2L2 -2M0 10L10 0M8 12L12 8"></path>
                    </pattern>
                </defs>
                {cells.collect_view()}
                <path class="cut-feature" d=map.features.clone()></path>
                {zones.collect_view()}
                <path class="cut-outline" d=map.outline.clone()></path>
                <path class="cut-damage" d=map.damage.clone()></path>
                {bands.collect::<Vec<_>>().collect_view()}
                {lines.collect_view()}
                {sizes.collect_view()}
                {moving}
                {words}
            </svg>
        }
        .into_any()
    }

    fn line(&self, line: &CutLine, selected: bool, px: f64) -> impl IntoView + use<> {
        let (p, q) = line.ends;
        let long = (q.a - p.a).hypot(q.b - p.b).max(1e-6);
        // A little past the part, so that the line is told from an edge.
        let over = 10.0 * px / long;
        let (da, db) = ((q.a - p.a) * over, (q.b - p.b) * over);
        let d = format!("M{:.1} {:.1}L{:.1} {:.1}", p.a - da, p.b - db, q.a + da, q.b + db);
        let class =
            format!("cut-line cut-line-{}{}", line.state.word(), if selected { " cut-line-selected" } else { "" });
        let cross = (line.state == LineUse::Forbidden).then(|| {
            let (a, b, r) = (f64::midpoint(p.a, q.a), f64::midpoint(p.b, q.b), 7.0 * px);
            let d = format!(
                "M{:.1} {:.1}L{:.1} {:.1}M{:.1} {:.1}L{:.1} {:.1}",
                a - r,
                b - r,
                a + r,
                b + r,
                a - r,
                b + r,
                a + r,
                b - r
            );
            view! { <path class="cut-cross" d=d></path> }
        });
        view! {
            <g class=class>
                <path class="cut-line-under" d=d.clone()></path>
                <path class="cut-line-over" d=d></path>
                {cross}
            </g>
        }
    }
}

/// The line on its way, where it would come to rest.
fn moving(map: &CutMap, draft: Draft) -> impl IntoView + use<> {
    let line = &map.lines[draft.to];
    let by = draft.mm - line.moved_mm;
    let shift = |p: Point| (p.a + line.step.a * by, p.b + line.step.b * by);
    let ((a, b), (c, d)) = (shift(line.ends.0), shift(line.ends.1));
    view! {
        <g class="cut-line cut-line-moving">
            <path class="cut-line-under" d=format!("M{a:.1} {b:.1}L{c:.1} {d:.1}")></path>
            <path class="cut-line-over" d=format!("M{a:.1} {b:.1}L{c:.1} {d:.1}")></path>
        </g>
    }
}

/// A dimension line with a stroke across each of its ends.
fn dimension(one: &CutDistance, px: f64) -> impl IntoView + use<> {
    let (p, q) = (one.from, one.to);
    let long = (q.a - p.a).hypot(q.b - p.b).max(1e-6);
    let (ta, tb) = (-(q.b - p.b) / long * 5.0 * px, (q.a - p.a) / long * 5.0 * px);
    let tick = |p: Point| format!("M{:.1} {:.1}L{:.1} {:.1}", p.a - ta, p.b - tb, p.a + ta, p.b + tb);
    let d = format!("M{:.1} {:.1}L{:.1} {:.1}{}{}", p.a, p.b, q.a, q.b, tick(p), tick(q));
    view! { <path class="cut-size" d=d></path> }
}
