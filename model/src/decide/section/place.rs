//! Where one cut line may run: its window less what damage, no-cut areas and ends of joints bar, each with its reason.
//!
//! Distances are measured square to the line and only beside the borders that are cut. Never chooses cells.

use super::best::cells_of;
use super::{BESIDE_MM, CLEARANCE_MM, JOINT_CLEAR_MM, ROUNDING_MM};
use crate::catalogue::{Cell, Part, Sections};
use crate::damage::Finding;
use crate::geometry::{Area, Bounds, Point};
use crate::ids::PartId;
use crate::terms::NoCutKind;
use std::cell::OnceCell;

/// What bars a place to a cut line.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// Damage of the part.
    Damage,
    /// An area through which no cut may run.
    NoCut(NoCutKind),
    /// The end of a factory joint with this part.
    JointEnd(PartId),
}

/// A stretch of moves that something bars.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bar {
    /// Moves strictly between these are barred, mm.
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) what: What,
    /// Where the thing itself lies beside the line, mm to the left of the drawn line.
    pub(super) thing: (f64, f64),
    /// Distance that must stay free, mm.
    pub(super) need: f64,
}

impl Bar {
    /// How far the thing lies from the line when that is moved so far, mm; 0 where they meet.
    pub(super) fn distance(&self, moved_mm: f64) -> f64 {
        (self.thing.0 - moved_mm).max(moved_mm - self.thing.1).max(0.0)
    }
}

/// A border as seen from one of its cells: that cell is renewed, the one beyond stays.
pub(super) struct Edge {
    pub(super) cell: usize,
    pub(super) beyond: usize,
    pub(super) cut: usize,
    pub(super) left: bool,
    pub(super) length_mm: f64,
    /// The stretch of the line whose surroundings count, mm from its first point.
    beside: (f64, f64),
}

/// One part with its damage, ready for the search. Bars are worked out when first asked for.
pub(super) struct Site<'a> {
    pub(super) part: &'a Part,
    pub(super) sections: &'a Sections,
    pub(super) edges: Vec<Edge>,
    /// Cells that the damage touches, by bit.
    pub(super) touched: u64,
    axes: Vec<Option<Axis>>,
    damage: Vec<Ring>,
    zones: OnceCell<Vec<Zone>>,
    bars: Vec<OnceCell<Vec<Bar>>>,
    fixed: Vec<OnceCell<Vec<Bar>>>,
    barred: Vec<OnceCell<bool>>,
    spared: OnceCell<Vec<Spared>>,
}

/// A touched cell that may stay, by edges at which the cell before is renewed and the line moved past the damage.
pub(super) struct Spared {
    pub(super) cell: usize,
    pub(super) by: Vec<usize>,
}

struct Ring {
    points: Vec<Point>,
    bounds: Bounds,
}

/// An area through which no cut may run.
struct Zone {
    kind: NoCutKind,
    clear_mm: f64,
    rings: Vec<Ring>,
}

fn rings(area: &Area) -> impl Iterator<Item = Ring> {
    area.points().into_iter().filter_map(|points| {
        let bounds = Bounds::of(&points)?;
        Some(Ring { points, bounds })
    })
}

/// Areas through which no cut may run, in the plane of the cut lines.
fn zones(part: &Part, sections: &Sections) -> Vec<Zone> {
    let plane = sections.view.plane();
    let here = part.no_cut.iter().filter(|zone| zone.view.plane() == plane);
    here.map(|zone| Zone { kind: zone.kind, clear_mm: zone.clear_mm, rings: rings(&zone.area).collect() }).collect()
}

impl<'a> Site<'a> {
    pub(super) fn new(part: &'a Part, sections: &'a Sections, finding: &Finding) -> Self {
        let mut ends = vec![(f64::INFINITY, f64::NEG_INFINITY); sections.cuts.len()];
        for border in sections.cells.iter().flat_map(|cell| &cell.borders) {
            let (low, high) = &mut ends[border.cut_at];
            (*low, *high) = (low.min(border.span_mm.0), high.max(border.span_mm.1));
        }
        let mut edges = Vec::new();
        for (cell, borders) in sections.cells.iter().map(|cell| &cell.borders).enumerate() {
            edges.extend(borders.iter().map(|border| {
                let (low, high) = border.span_mm;
                let (from, to) = sections.cuts[border.cut_at].line;
                // At the edge of the part the line runs out to its drawn end.
                let low = if low <= ends[border.cut_at].0 { 0.0 } else { low };
                let high = if high >= ends[border.cut_at].1 { from.distance(to) } else { high };
                Edge {
                    cell,
                    beyond: border.beyond_at,
                    cut: border.cut_at,
                    left: border.left,
                    length_mm: border.length_mm,
                    beside: (low - BESIDE_MM, high + BESIDE_MM),
                }
            }));
        }
        let damage = damage_in(part, sections, finding);
        let touched = |(at, cell): (usize, &Cell)| u64::from(finding.cells.contains(&cell.id)) << at;
        let mut touched = sections.cells.iter().enumerate().map(touched).fold(0, |sum, bit| sum | bit);
        if touched == 0 {
            // A sliver of damage at the edge may lie in no cell by rounding: it belongs to the nearest.
            let distance =
                |cell: &Cell| damage.iter().map(|area| cell.area.distance(area)).fold(f64::INFINITY, f64::min);
            let all = sections.cells.iter().map(distance).enumerate();
            if let Some((at, _)) = all.filter(|one| one.1 <= super::SLIVER_MM).min_by(|a, b| a.1.total_cmp(&b.1)) {
                touched = 1 << at;
            }
        }
        Self {
            part,
            sections,
            touched,
            axes: sections.cuts.iter().map(|cut| Axis::of(cut.line)).collect(),
            damage: damage.iter().flat_map(rings).collect(),
            zones: OnceCell::new(),
            bars: edges.iter().map(|_| OnceCell::new()).collect(),
            fixed: edges.iter().map(|_| OnceCell::new()).collect(),
            barred: edges.iter().map(|_| OnceCell::new()).collect(),
            spared: OnceCell::new(),
            edges,
        }
    }

    /// What bars the line of this edge when its cell is renewed and the one beyond stays.
    pub(super) fn bars(&self, edge: usize) -> &[Bar] {
        self.bars[edge].get_or_init(|| {
            let mut bars = self.fixed(edge).to_vec();
            let border = &self.edges[edge];
            let Some(axis) = &self.axes[border.cut] else { return bars };
            let reach = self.sections.cuts[border.cut].window_mm + CLEARANCE_MM;
            let beyond_touched = self.touched & (1 << border.beyond) != 0;
            for ring in &self.damage {
                let Some((s0, s1)) = axis.span(&ring.points, &ring.bounds, border.beside) else { continue };
                let apart = if border.left { s1 <= ROUNDING_MM } else { s0 >= -ROUNDING_MM };
                let (mut from, mut to) = (s0 - CLEARANCE_MM, s1 + CLEARANCE_MM);
                if s0 >= reach || s1 <= -reach {
                    // Too far to matter, but told as the nearest damage.
                    (from, to) = (f64::INFINITY, f64::INFINITY);
                } else if beyond_touched || !apart {
                    // The damage must end up on the renewed side.
                    if border.left {
                        to = f64::INFINITY;
                    } else {
                        from = f64::NEG_INFINITY;
                    }
                }
                bars.push(Bar { from, to, what: What::Damage, thing: (s0, s1), need: CLEARANCE_MM });
            }
            bars
        })
    }

    /// What bars the line of this edge whatever is damaged.
    pub(super) fn fixed(&self, edge: usize) -> &[Bar] {
        self.fixed[edge].get_or_init(|| {
            let border = &self.edges[edge];
            let Some(axis) = &self.axes[border.cut] else { return Vec::new() };
            let mut bars = Vec::new();
            for zone in self.zones.get_or_init(|| zones(self.part, self.sections)) {
                for ring in &zone.rings {
                    if let Some((s0, s1)) = axis.span(&ring.points, &ring.bounds, border.beside) {
                        let (from, to) = (s0 - zone.clear_mm, s1 + zone.clear_mm);
                        let what = What::NoCut(zone.kind);
                        bars.push(Bar { from, to, what, thing: (s0, s1), need: zone.clear_mm });
                    }
                }
            }
            for end in &self.sections.joint_ends {
                let (u, s) = axis.at(end.at);
                if (border.beside.0..=border.beside.1).contains(&u) {
                    let (from, to) = (s - JOINT_CLEAR_MM, s + JOINT_CLEAR_MM);
                    let what = What::JointEnd(end.to.clone());
                    bars.push(Bar { from, to, what, thing: (s, s), need: JOINT_CLEAR_MM });
                }
            }
            bars
        })
    }

    /// Whether no line can run along this edge alone.
    pub(super) fn barred(&self, edge: usize) -> bool {
        *self.barred[edge].get_or_init(|| self.free(self.edges[edge].cut, self.bars(edge).iter()).is_empty())
    }

    /// The moves of a cut line that none of the bars forbids, from right to left.
    pub(super) fn free<'b>(&self, cut: usize, bars: impl Iterator<Item = &'b Bar>) -> Vec<(f64, f64)> {
        let window = self.sections.cuts[cut].window_mm;
        if self.axes[cut].is_none() {
            return Vec::new();
        }
        let mut free = vec![(-window, window)];
        for bar in bars {
            if free.iter().all(|(from, to)| bar.to <= *from || *to <= bar.from) {
                continue;
            }
            let mut left = Vec::with_capacity(free.len() + 1);
            for (from, to) in free {
                let sides = [(from, to.min(bar.from)), (from.max(bar.to), to)];
                let kept = sides.into_iter().filter(|(from, to)| *from <= *to + ROUNDING_MM);
                left.extend(kept.map(|(from, to)| (from, to.max(from))));
            }
            free = left;
        }
        free
    }

    /// The line of a cut moved to the left by this much.
    pub(super) fn moved(&self, cut: usize, left: f64) -> (Point, Point) {
        let line = self.sections.cuts[cut].line;
        self.axes[cut].as_ref().map_or(line, |axis| axis.moved(line, left))
    }

    /// Touched cells that may stay.
    pub(super) fn spared(&self) -> &[Spared] {
        self.spared.get_or_init(|| {
            let by = |cell: usize| -> Vec<usize> {
                (0..self.edges.len()).filter(|at| self.edges[*at].beyond == cell && self.lets_stay(*at)).collect()
            };
            let touched = cells_of(self.touched).map(|cell| Spared { cell, by: by(cell) });
            touched.filter(|one| !one.by.is_empty()).collect()
        })
    }

    /// Damage of the touched cell, as far as it lies in the cell's frame, reaches no further past the border of the edge
    /// than the line can be moved to keep its distance: then the cell beyond may stay after all.
    fn lets_stay(&self, edge: usize) -> bool {
        let border = &self.edges[edge];
        let window = self.sections.cuts[border.cut].window_mm;
        let Some(axis) = self.axes[border.cut].as_ref().filter(|_| window > CLEARANCE_MM) else { return false };
        let frame = self.sections.cells[border.beyond].area.bounds();
        let mut some = false;
        let within = |point: Point| {
            let (u, s) = axis.at(point);
            let deep = if border.left { -s } else { s };
            (border.beside.0..=border.beside.1).contains(&u) && deep <= window - CLEARANCE_MM + ROUNDING_MM
        };
        for ring in &self.damage {
            if !frame.near(&ring.bounds, 0.0) {
                continue;
            }
            for pair in ring.points.windows(2) {
                for point in clip_to(&frame, pair[0], pair[1]).into_iter().flatten() {
                    some = true;
                    if !within(point) {
                        return false;
                    }
                }
            }
            // Corners of the frame that the damage covers count too.
            let (low, high) = (frame.low, frame.high);
            for corner in [low, high, Point::new(low.a, high.b), Point::new(high.a, low.b)] {
                if inside(&ring.points, corner) && !within(corner) {
                    return false;
                }
            }
        }
        some
    }
}

/// Damage as areas in the plane of the cut lines. Damage that is drawn in another plane is taken over the whole breadth
/// of the part along the axis that both planes share, so that no cut can run through it.
pub(crate) fn damage_in(part: &Part, sections: &Sections, finding: &Finding) -> Vec<Area> {
    let plane = sections.view.plane();
    let outline = part.shapes.get(&sections.view).map(Area::bounds);
    let mut out = Vec::with_capacity(finding.areas.len());
    for (view, area) in &finding.areas {
        let other = view.plane();
        if other == plane {
            out.push(area.clone());
            continue;
        }
        let Some(outline) = outline else { continue };
        let bounds = area.bounds();
        let along = |axis: usize| {
            if axis == other.0 {
                Some((bounds.low.a, bounds.high.a))
            } else if axis == other.1 {
                Some((bounds.low.b, bounds.high.b))
            } else {
                None
            }
        };
        let (a, b) = (along(plane.0), along(plane.1));
        if a.is_some() || b.is_some() {
            let (a0, a1) = a.unwrap_or((outline.low.a, outline.high.a));
            let (b0, b1) = b.unwrap_or((outline.low.b, outline.high.b));
            out.extend(Area::from_points(&[
                Point::new(a0, b0),
                Point::new(a1, b0),
                Point::new(a1, b1),
                Point::new(a0, b1),
            ]));
        }
    }
    out
}

/// How far a range lies from the line's drawn place.
pub(super) fn away((from, to): (f64, f64)) -> f64 {
    from.max(-to).max(0.0)
}

/// The place within a range that is moved least, in whole millimetres where the range holds one.
pub(super) fn least_move((from, to): (f64, f64)) -> f64 {
    let exact = 0.0_f64.clamp(from, to);
    let whole = if exact > 0.0 { exact.ceil() } else { exact.floor() };
    if (from..=to).contains(&whole) { whole } else { exact }
}

/// Distances across a straight line.
struct Axis {
    origin: Point,
    along: (f64, f64),
}

impl Axis {
    fn of((from, to): (Point, Point)) -> Option<Self> {
        let length = from.distance(to);
        (length > ROUNDING_MM)
            .then(|| Self { origin: from, along: ((to.a - from.a) / length, (to.b - from.b) / length) })
    }

    /// Place along the line and distance to its left.
    fn at(&self, point: Point) -> (f64, f64) {
        let (a, b) = (point.a - self.origin.a, point.b - self.origin.b);
        (a * self.along.0 + b * self.along.1, b * self.along.0 - a * self.along.1)
    }

    /// Whether the rectangle may come beside the stretch.
    fn near(&self, bounds: &Bounds, beside: (f64, f64)) -> bool {
        let (low, high) = (bounds.low, bounds.high);
        let corners = [low, high, Point::new(low.a, high.b), Point::new(high.a, low.b)].map(|corner| self.at(corner).0);
        corners.iter().any(|u| *u < beside.1) && corners.iter().any(|u| *u > beside.0)
    }

    /// Least and greatest distance to the left of the line of that of the ring which lies beside the stretch.
    fn span(&self, ring: &[Point], bounds: &Bounds, (low, high): (f64, f64)) -> Option<(f64, f64)> {
        if !self.near(bounds, (low, high)) {
            return None;
        }
        let mut span: Option<(f64, f64)> = None;
        let mut before = ring.last().map(|last| self.at(*last));
        for point in ring.iter().map(|point| self.at(*point)) {
            if let Some(last) = before {
                for (_, s) in clipped(last, point, low, high).into_iter().flatten() {
                    span = Some(span.map_or((s, s), |(s0, s1)| (s0.min(s), s1.max(s))));
                }
            }
            before = Some(point);
        }
        span
    }

    fn moved(&self, (from, to): (Point, Point), left: f64) -> (Point, Point) {
        let shift = |p: Point| Point::new(p.a - self.along.1 * left, p.b + self.along.0 * left);
        (shift(from), shift(to))
    }
}

/// The ends of that piece of an edge whose first coordinate lies in `low..=high`.
fn clipped(one: (f64, f64), other: (f64, f64), low: f64, high: f64) -> [Option<(f64, f64)>; 2] {
    let (u0, s0) = one;
    let (u1, s1) = other;
    let run = u1 - u0;
    if run.abs() < ROUNDING_MM {
        return if (low..=high).contains(&u0) { [Some(one), Some(other)] } else { [None, None] };
    }
    let (mut from, mut to) = ((low - u0) / run, (high - u0) / run);
    if from > to {
        std::mem::swap(&mut from, &mut to);
    }
    let (from, to) = (from.max(0.0), to.min(1.0));
    if from > to {
        return [None, None];
    }
    let at = |t: f64| (u0 + run * t, s0 + (s1 - s0) * t);
    [Some(at(from)), Some(at(to))]
}

/// The ends of that piece of a straight edge which lies in the frame.
fn clip_to(frame: &Bounds, one: Point, other: Point) -> [Option<Point>; 2] {
    let swap = |p: (f64, f64)| (p.1, p.0);
    let [Some(from), Some(to)] = clipped((one.a, one.b), (other.a, other.b), frame.low.a, frame.high.a) else {
        return [None, None];
    };
    clipped(swap(from), swap(to), frame.low.b, frame.high.b).map(|end| end.map(|(b, a)| Point::new(a, b)))
}

/// Whether a ring goes round a point (even-odd).
fn inside(ring: &[Point], at: Point) -> bool {
    let mut odd = false;
    for pair in ring.windows(2) {
        let (p, q) = (pair[0], pair[1]);
        if (p.b > at.b) != (q.b > at.b) && at.a < p.a + (at.b - p.b) / (q.b - p.b) * (q.a - p.a) {
            odd = !odd;
        }
    }
    odd
}
