//! Where a joint lies on the drawing: along a cut line, or along the edge that two parts share.
//!
//! Finds lines, not fasteners. Where no view shows the whole of a joint the line is marked as shortened, never stretched
//! over metal that is not there.

use crate::catalogue::Part;
use crate::decide::{CutUse, SectionPlan};
use crate::geometry::{Area, Point};
use crate::ids::CellId;
use crate::terms::{JointKind, View};

/// Length of the pieces into which an edge is divided, mm.
const PIECE_MM: f64 = 30.0;
/// How far edges of joined parts may lie apart on the drawing, tried in turn, mm.
const APART_MM: [f64; 3] = [3.0, 15.0, 45.0];
/// Share of a joint that a view must show to be taken for it.
const SHOWN: f64 = 0.4;
/// Edges that turn by more than this are two legs, radians.
const CORNER: f64 = 0.35;

/// Lines of a joint in one view.
#[derive(Clone, Debug, PartialEq)]
pub struct Lies {
    /// The view.
    pub view: View,
    /// Its lines, longest first.
    pub runs: Vec<Run>,
    /// True length over drawn length; 1 where the view shows the joint at true size.
    pub stretch: f64,
    /// Whether the lines follow the edge of the other part.
    pub on_other: bool,
    /// Whether no view shows the shared edge: the line is then the edge nearest to the other part.
    pub assumed: bool,
}

/// One line of a joint.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// Corners, in an order that a mirrored part shares.
    pub points: Vec<Point>,
    /// 1 where the metal lies to the left of the line, −1 where to its right, 0 on a cut line.
    pub inside: f64,
}

impl Run {
    /// Length on the drawing, mm.
    pub fn length(&self) -> f64 {
        self.points.windows(2).map(|pair| pair[0].distance(pair[1])).sum()
    }

    /// Straight legs of the line.
    pub fn legs(&self) -> Vec<Vec<Point>> {
        let mut legs: Vec<Vec<Point>> = Vec::new();
        for (at, pair) in self.points.windows(2).enumerate() {
            let turned = at > 0 && turn(self.points[at - 1], pair[0], pair[1]) > CORNER;
            match legs.last_mut().filter(|_| !turned) {
                Some(leg) => leg.push(pair[1]),
                None => legs.push(pair.to_vec()),
            }
        }
        legs
    }
}

fn turn(before: Point, at: Point, after: Point) -> f64 {
    let (a, b) = ((at.a - before.a, at.b - before.b), (after.a - at.a, after.b - at.b));
    (a.0 * b.1 - a.1 * b.0).atan2(a.0 * b.0 + a.1 * b.1).abs()
}

/// An order of points that is the same on both sides of the vehicle.
fn key(view: View, point: Point) -> (f64, f64, f64) {
    let fold = |axis: usize, value: f64| if axis == 1 { value.abs() } else { value };
    let (first, second) = view.plane();
    (fold(first, point.a), fold(second, point.b), point.a + point.b)
}

fn before(view: View, one: Point, other: Point) -> bool {
    let (one, other) = (key(view, one), key(view, other));
    // Coordinates of a mirrored pair differ by rounding; they must not decide.
    let differ = |a: f64, b: f64| (a - b).abs() > 1e-3;
    if differ(one.0, other.0) {
        one.0 < other.0
    } else if differ(one.1, other.1) {
        one.1 < other.1
    } else {
        one.2 < other.2
    }
}

fn directed(view: View, mut points: Vec<Point>) -> Vec<Point> {
    if let (Some(first), Some(last)) = (points.first(), points.last())
        && before(view, *last, *first)
    {
        points.reverse();
    }
    points
}

/// Where a cut in use runs: the pieces of its line that lie within the part between a renewed cell and one that stays, or
/// between two new pieces.
pub fn along_cut(part: &Part, plan: &SectionPlan, cut: &CutUse) -> Option<Lies> {
    let sections = part.sections.as_ref()?;
    let outline = part.shapes.get(&plan.view)?;
    let (from, to) = cut.line;
    let length = from.distance(to);
    if length < 1.0 {
        return None;
    }
    let (ua, ub) = ((to.a - from.a) / length, (to.b - from.b) / length);
    let at = |along: f64, left: f64| Point::new(from.a + ua * along - ub * left, from.b + ub * along + ua * left);
    let cell_at = |point: Point| sections.cells.iter().find(|cell| cell.area.contains(point)).map(|cell| &cell.id);
    let renewed = |id: &CellId| plan.cells.contains(id);
    let seam =
        |one: &CellId, other: &CellId| cut.seams.iter().any(|(a, b)| (a, b) == (one, other) || (a, b) == (other, one));
    // The line may be moved; what lies beside it is asked where the book draws it.
    let bounds = |along: f64| {
        let side = |left: f64| cell_at(at(along, left - cut.moved_mm));
        let (Some(one), Some(other)) = (side(1.0), side(-1.0)) else { return false };
        renewed(one) != renewed(other) || seam(one, other)
    };
    let mut marks = crossings(outline, from, (ua, ub));
    for cell in &sections.cells {
        for left in [1.0, -1.0] {
            marks.extend(crossings(&cell.area, at(0.0, left - cut.moved_mm), (ua, ub)));
        }
    }
    marks.retain(|along| (0.0..=length).contains(along));
    marks.extend([0.0, length]);
    marks.sort_by(f64::total_cmp);
    let mut runs: Vec<(f64, f64)> = Vec::new();
    for pair in marks.windows(2) {
        let middle = f64::midpoint(pair[0], pair[1]);
        if pair[1] - pair[0] < 1e-6 || !outline.contains(at(middle, 0.0)) || !bounds(middle) {
            continue;
        }
        match runs.last_mut() {
            Some(last) if pair[0] - last.1 < 1.0 => last.1 = pair[1],
            _ => runs.push((pair[0], pair[1])),
        }
    }
    let runs: Vec<Run> = runs
        .into_iter()
        .filter(|(from, to)| to - from > 5.0)
        .map(|(from, to)| Run { points: directed(plan.view, vec![at(from, 0.0), at(to, 0.0)]), inside: 0.0 })
        .collect();
    (!runs.is_empty()).then_some(Lies { view: plan.view, runs, stretch: 1.0, on_other: false, assumed: false })
}

/// Places along the line from `from` in direction `unit` at which it crosses an edge of the area.
fn crossings(area: &Area, from: Point, unit: (f64, f64)) -> Vec<f64> {
    let mut out = Vec::new();
    for ring in area.points() {
        for pair in ring.windows(2) {
            let side = |p: Point| (p.b - from.b) * unit.0 - (p.a - from.a) * unit.1;
            let along = |p: Point| (p.a - from.a) * unit.0 + (p.b - from.b) * unit.1;
            let (s0, s1) = (side(pair[0]), side(pair[1]));
            if (s0 < 0.0) != (s1 < 0.0) {
                let share = s0 / (s0 - s1);
                out.push(along(pair[0]) + share * (along(pair[1]) - along(pair[0])));
            }
        }
    }
    out
}

/// Where a factory joint of that length lies: along the edge of one of the two parts that is nearest to the other, in the
/// view that shows most of it; `first` is tried before other views. Where no view shows the edge that they share, it is the
/// part's own edge nearest to the other, and marked as assumed. `None` for a part without a shape.
pub fn along_edge(part: &Part, other: &Part, length_mm: f64, flange_mm: f64, first: Option<View>) -> Option<Lies> {
    // A hole through which a stiffener behind the sheet shows is no edge of it: the row runs outside.
    let fastened =
        part.joints.iter().any(|joint| joint.to == other.id && joint.kind == JointKind::StructuralBlindRivet);
    let mut best: Option<(f64, f64, Lies)> = None;
    let views = first.into_iter().chain(View::ALL.iter().copied().filter(|view| Some(*view) != first));
    for view in views {
        let (Some(mine), Some(theirs)) = (part.shapes.get(&view), other.shapes.get(&view)) else { continue };
        if !mine.bounds().near(&theirs.bounds(), APART_MM[2]) {
            continue;
        }
        for (host, near, on_other) in [(mine, theirs, false), (theirs, mine, true)] {
            let mut rings = pieces(view, host, near);
            if fastened && rings.len() > 1 {
                rings.truncate(1);
            }
            for apart in APART_MM {
                let runs = runs(view, host, &rings, apart);
                let found: f64 = runs.iter().map(Run::length).sum();
                let (share, excess) = ((found / length_mm).min(1.0), (found / length_mm).max(1.0));
                // A part that is seen edge-on shows no room for a row.
                let better = |share: f64| {
                    best.as_ref().is_none_or(|(known, over, _)| {
                        share > known + 0.05 || (share > known - 0.05 && excess < over - 0.25)
                    })
                };
                let share = if better(share) { share * room(host, &runs, flange_mm / 2.0) } else { share };
                if better(share) && found > 10.0 {
                    best = Some((share, excess, Lies { view, runs, stretch: 1.0, on_other, assumed: false }));
                }
                if share >= 0.95 {
                    break;
                }
            }
        }
        let enough = if Some(view) == first { 0.5 } else { 0.95 };
        if best.as_ref().is_some_and(|(share, excess, _)| *share >= enough && *excess < 1.5) {
            break;
        }
    }
    let shown = best.filter(|(share, ..)| *share >= SHOWN).map(|(_, _, lies)| lies);
    let mut lies = match shown {
        Some(lies) => lies,
        None => nearest_edge(part, other, length_mm, first)?,
    };
    trim(&mut lies, length_mm);
    Some(lies)
}

/// Share of the lines along which the host has room for a row so far from its edge.
fn room(host: &Area, runs: &[Run], inset_mm: f64) -> f64 {
    let (mut with, mut all) = (0_u32, 0_u32);
    for run in runs {
        let (mut along, length) = (PIECE_MM / 2.0, run.length());
        while along < length {
            let (on, unit) = at(&run.points, along);
            let left = inset_mm * run.inside;
            let point = Point::new(on.a - unit.1 * left, on.b + unit.0 * left);
            all += 1;
            with += u32::from(host.contains(point) && host.distance_to_edge_up_to(point, inset_mm - 1.0).is_none());
            along += 2.0 * PIECE_MM;
        }
    }
    if all == 0 { 1.0 } else { f64::from(with) / f64::from(all) }
}

/// That length of the part's edge around the place nearest to the middle of the other part.
fn nearest_edge(part: &Part, other: &Part, length_mm: f64, first: Option<View>) -> Option<Lies> {
    let largest = |test: &dyn Fn(&View) -> bool| {
        let shown = part.shapes.iter().filter(|(view, _)| test(view));
        shown.max_by(|one, two| one.1.size().total_cmp(&two.1.size())).map(|(view, _)| *view)
    };
    // Along an axis that no view of the other part shows nothing is known of where it lies.
    let knows = |axis: usize| other.shapes.keys().any(|view| [view.plane().0, view.plane().1].contains(&axis));
    let usable = |view: &View| part.shapes.contains_key(view) && knows(view.plane().0) && knows(view.plane().1);
    let view = first.filter(usable).or_else(|| largest(&usable)).or_else(|| largest(&|_| true))?;
    let host = part.shapes.get(&view)?;
    let centre = other.centre();
    let axes = [centre.0, centre.1, centre.2];
    let target = Point::new(axes[view.plane().0], axes[view.plane().1]);
    let mut rings = pieces(view, host, host);
    if rings.is_empty() {
        return None;
    }
    let mut ring = rings.swap_remove(0);
    let away = |piece: &(Point, Point, f64)| target.distance_to_piece(piece.0, piece.1);
    let least =
        (0..ring.len()).reduce(|one, two| if away(&ring[two]) < away(&ring[one]) - 1e-3 { two } else { one })?;
    let half = ring.len() / 2;
    let turn = (least + ring.len() - half) % ring.len();
    ring.rotate_left(turn);
    let mut points: Vec<Point> = ring.iter().map(|piece| piece.0).collect();
    points.extend(ring.last().map(|piece| piece.1));
    let total: f64 = points.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
    let before: f64 = points.windows(2).take(half).map(|pair| pair[0].distance(pair[1])).sum();
    let length = length_mm.min(total);
    let from = (before - length / 2.0).clamp(0.0, total - length);
    let points = directed(view, straight(slice(&points, from, from + length)));
    let inside = inside(host, &points);
    Some(Lies { view, runs: vec![Run { points, inside }], stretch: 1.0, on_other: false, assumed: true })
}

/// A line without the points that lie on straight pieces of it.
fn straight(points: Vec<Point>) -> Vec<Point> {
    let mut out: Vec<Point> = Vec::with_capacity(points.len());
    for point in points {
        if let [.., before, last] = out.as_slice()
            && turn(*before, *last, point) < 1e-6
        {
            out.pop();
        }
        out.push(point);
    }
    out
}

/// Keeps the longest lines up to that length; the last one is shortened at both ends alike.
pub(super) fn trim(lies: &mut Lies, length_mm: f64) {
    let view = lies.view;
    lies.runs.sort_by(|one, other| {
        let length = other.length().total_cmp(&one.length());
        let first = |run: &Run| run.points.first().map_or((0.0, 0.0, 0.0), |point| key(view, *point));
        let (a, b) = (first(one), first(other));
        // Lengths of mirrored lines differ by rounding.
        if (one.length() - other.length()).abs() > 1e-3 {
            length
        } else {
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        }
    });
    let mut left = length_mm;
    let mut kept = Vec::new();
    for run in std::mem::take(&mut lies.runs) {
        let length = run.length();
        if left < 10.0 {
            break;
        }
        if length > left {
            let points = slice(&run.points, (length - left) / 2.0, f64::midpoint(length, left));
            kept.push(Run { points, inside: run.inside });
            left = 0.0;
        } else {
            left -= length;
            kept.push(run);
        }
    }
    let found: f64 = kept.iter().map(Run::length).sum();
    lies.stretch = (length_mm / found.max(1.0)).max(1.0);
    // A drawing shows a length to a few millimetres.
    if lies.stretch < 1.03 {
        lies.stretch = 1.0;
    }
    lies.runs = kept;
}

/// A piece of the lines, one after the other: from that share of their length, that share of it long.
pub(super) fn portion(lies: Lies, from: f64, share: f64) -> Lies {
    let whole: f64 = lies.runs.iter().map(Run::length).sum();
    let (low, high) = (from * whole, (from + share) * whole);
    let (mut at, mut runs) = (0.0, Vec::new());
    for run in &lies.runs {
        let length = run.length();
        let (begin, end) = ((low - at).max(0.0), (high - at).min(length));
        if end - begin > 10.0 {
            runs.push(Run { points: slice(&run.points, begin, end), inside: run.inside });
        }
        at += length;
    }
    if runs.is_empty() { lies } else { Lies { runs, ..lies } }
}

/// The lines that remain within the areas, with the share of their length.
pub fn within(lies: &Lies, areas: &[&Area], slack_mm: f64) -> (Lies, f64) {
    let mut runs = Vec::new();
    for run in &lies.runs {
        let divided = divide(&run.points);
        let mut open: Vec<Point> = Vec::new();
        for pair in divided.windows(2) {
            let middle = Point::new(f64::midpoint(pair[0].a, pair[1].a), f64::midpoint(pair[0].b, pair[1].b));
            if areas.iter().any(|area| area.distance_to_point_up_to(middle, slack_mm).is_some()) {
                if open.is_empty() {
                    open.push(pair[0]);
                }
                open.push(pair[1]);
            } else if open.len() > 1 {
                runs.push(Run { points: straight(std::mem::take(&mut open)), inside: run.inside });
            }
        }
        if open.len() > 1 {
            runs.push(Run { points: straight(open), inside: run.inside });
        }
    }
    let length = |runs: &[Run]| runs.iter().map(Run::length).sum::<f64>();
    let share = length(&runs) / length(&lies.runs).max(1e-9);
    (Lies { runs, ..lies.clone() }, share)
}

/// Takes away what lies beside other lines, and gives the share of the length that remains. Lines of another plane are
/// compared along the axis that both planes have.
pub fn without(lies: &mut Lies, other: &Lies) -> f64 {
    let (mine, theirs) = (lies.view.plane(), other.view.plane());
    let coordinate = |plane: (usize, usize), axis: usize, point: Point| if plane.0 == axis { point.a } else { point.b };
    let beside = |point: Point| {
        other.runs.iter().any(|run| {
            if mine == theirs {
                return run.points.windows(2).any(|pair| passes(point, pair[0], pair[1]));
            }
            let Some(axis) = [mine.0, mine.1].into_iter().find(|axis| [theirs.0, theirs.1].contains(axis)) else {
                return false;
            };
            let along = run.points.iter().map(|point| coordinate(theirs, axis, *point));
            let (low, high) = along.fold((f64::MAX, f64::MIN), |(low, high), value| (low.min(value), high.max(value)));
            (low..=high).contains(&coordinate(mine, axis, point))
        })
    };
    let before: f64 = lies.runs.iter().map(Run::length).sum();
    let mut runs = Vec::new();
    for run in &lies.runs {
        let mut open: Vec<Point> = Vec::new();
        let mut close = |open: &mut Vec<Point>| {
            if open.len() > 1 {
                runs.push(Run { points: straight(std::mem::take(open)), inside: run.inside });
            }
            open.clear();
        };
        for pair in divide(&run.points).windows(2) {
            if beside(Point::new(f64::midpoint(pair[0].a, pair[1].a), f64::midpoint(pair[0].b, pair[1].b))) {
                close(&mut open);
                continue;
            }
            if open.is_empty() {
                open.push(pair[0]);
            }
            open.push(pair[1]);
        }
        close(&mut open);
    }
    let after: f64 = runs.iter().map(Run::length).sum();
    lies.runs = runs;
    after / before.max(1e-9)
}

/// Whether a point lies beside a straight piece: between its ends and no further from it than joined edges lie apart.
fn passes(point: Point, from: Point, to: Point) -> bool {
    let (da, db) = (to.a - from.a, to.b - from.b);
    let along = (point.a - from.a) * da + (point.b - from.b) * db;
    (-1e-6..=da * da + db * db + 1e-6).contains(&along) && point.distance_to_piece(from, to) <= APART_MM[2]
}

/// The edge of an area as closed rings of short pieces, each with its distance to the other area.
fn pieces(view: View, host: &Area, near: &Area) -> Vec<Vec<(Point, Point, f64)>> {
    // Nothing asks how much further than that.
    let distance = |point: Point| near.distance_to_point_up_to(point, APART_MM[2]).unwrap_or(f64::INFINITY);
    let rings = host.points().into_iter().map(|mut ring| {
        // The same way round on both sides of the vehicle.
        if ring.len() > 2 {
            ring.pop();
            let least = (0..ring.len()).reduce(|one, two| if before(view, ring[two], ring[one]) { two } else { one });
            ring.rotate_left(least.unwrap_or(0));
            let (next, last) = (ring[1], ring[ring.len() - 1]);
            if before(view, last, next) {
                ring[1..].reverse();
            }
            ring.push(ring[0]);
        }
        let divided = divide(&ring);
        divided
            .windows(2)
            .map(|pair| {
                let middle = Point::new(f64::midpoint(pair[0].a, pair[1].a), f64::midpoint(pair[0].b, pair[1].b));
                (pair[0], pair[1], distance(middle))
            })
            .collect::<Vec<_>>()
    });
    rings.collect()
}

fn runs(view: View, host: &Area, rings: &[Vec<(Point, Point, f64)>], apart: f64) -> Vec<Run> {
    let mut out = Vec::new();
    for ring in rings {
        let gap = ring.iter().position(|piece| piece.2 > apart).unwrap_or(0);
        let mut open: Vec<Point> = Vec::new();
        let mut close = |open: &mut Vec<Point>| {
            if open.len() > 1 {
                let points = directed(view, straight(std::mem::take(open)));
                let inside = inside(host, &points);
                out.push(Run { points, inside });
            }
            open.clear();
        };
        for step in 0..ring.len() {
            let (from, to, distance) = ring[(gap + step) % ring.len()];
            if distance > apart {
                close(&mut open);
                continue;
            }
            if open.is_empty() {
                open.push(from);
            }
            open.push(to);
        }
        close(&mut open);
    }
    let longest = out.iter().map(Run::length).fold(0.0, f64::max);
    // Crumbs beside a long line are where two edges happen to cross.
    out.retain(|run| run.length() >= 20.0 || run.length() >= longest);
    out
}

/// On which side of a line along its edge an area lies.
fn inside(host: &Area, points: &[Point]) -> f64 {
    let mut votes = 0.0;
    for pair in points.windows(2) {
        let length = pair[0].distance(pair[1]).max(1e-9);
        let middle = Point::new(f64::midpoint(pair[0].a, pair[1].a), f64::midpoint(pair[0].b, pair[1].b));
        let left = Point::new(middle.a - (pair[1].b - pair[0].b) / length, middle.b + (pair[1].a - pair[0].a) / length);
        votes += if host.contains(left) { length } else { -length };
    }
    if votes >= 0.0 { 1.0 } else { -1.0 }
}

fn divide(points: &[Point]) -> Vec<Point> {
    let mut out: Vec<Point> = points.first().copied().into_iter().collect();
    for pair in points.windows(2) {
        let length = pair[0].distance(pair[1]);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // parts are metres long
        let count = (length / PIECE_MM).ceil().max(1.0) as u32;
        for n in 1..=count {
            let share = f64::from(n) / f64::from(count);
            out.push(Point::new(
                pair[0].a + share * (pair[1].a - pair[0].a),
                pair[0].b + share * (pair[1].b - pair[0].b),
            ));
        }
    }
    out
}

/// The piece of a line between two distances from its start.
pub(super) fn slice(points: &[Point], from: f64, to: f64) -> Vec<Point> {
    let mut out = vec![at(points, from).0];
    let mut along = 0.0;
    for pair in points.windows(2) {
        along += pair[0].distance(pair[1]);
        if along > from + 1e-6 && along < to - 1e-6 {
            out.push(pair[1]);
        }
    }
    out.push(at(points, to).0);
    out
}

/// The point at a distance from the start of a line, and the direction there.
pub(super) fn at(points: &[Point], distance: f64) -> (Point, (f64, f64)) {
    let mut left = distance.max(0.0);
    let mut last = (points.first().copied().unwrap_or_default(), (1.0, 0.0));
    for pair in points.windows(2) {
        let length = pair[0].distance(pair[1]);
        if length < 1e-9 {
            continue;
        }
        let unit = ((pair[1].a - pair[0].a) / length, (pair[1].b - pair[0].b) / length);
        let on = left.min(length);
        last = (Point::new(pair[0].a + unit.0 * on, pair[0].b + unit.1 * on), unit);
        if left <= length {
            return last;
        }
        left -= length;
    }
    last
}
