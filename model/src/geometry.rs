//! Plane geometry in millimetres: areas, lines, distances. A thin face over `geo` (areas, unions, distances) and
//! `kurbo` (reading curves); it holds no trade knowledge.
//!
//! Coordinates are those of the view's plane in the vehicle's frame, so `b` grows upwards or to the left, not down.

use crate::error::{Error, Result};
use geo::{
    Area as _, BooleanOps, BoundingRect, Buffer, Contains, Coord, Distance, Euclidean, Length, LineString,
    MultiLineString, MultiPolygon, Polygon,
};
use kurbo::{BezPath, PathEl, Shape as _};

mod point;
pub use point::{Bounds, Point};

/// Greatest distance between a curve and the straight pieces that stand for it, mm.
pub const FLATNESS_MM: f64 = 0.5;
/// Points nearer than this are one point, mm.
const SAME_POINT_MM: f64 = 0.01;

/// A region with holes and several pieces allowed.
#[derive(Clone, Debug, PartialEq)]
pub struct Area {
    shape: MultiPolygon<f64>,
    bounds: Bounds,
    size_mm2: f64,
}

/// An open line of straight pieces.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    points: Vec<Point>,
    closed: bool,
}

impl Area {
    /// Reads an SVG path in millimetres. Every subpath must be closed by `Z`; overlapping subpaths cut holes (even-odd).
    ///
    /// # Errors
    /// Where the text is no path, a subpath is open or the region is empty or crosses itself.
    pub fn from_path(text: &str) -> Result<Self> {
        let mut rings = Vec::new();
        for ring in subpaths(text)? {
            if !ring.closed {
                return Err(Error::new("error-outline-open", ""));
            }
            if ring.points.len() < 3 {
                return Err(Error::new("error-outline-small", ""));
            }
            rings.push(ring.points);
        }
        let mut sum = MultiPolygon::<f64>::new(Vec::new());
        for points in rings {
            let ring = Polygon::new(LineString::from(points.iter().map(|p| p.coord()).collect::<Vec<_>>()), Vec::new());
            if self_crossing(ring.exterior()) {
                return Err(Error::new("error-outline-crosses", ""));
            }
            if ring.unsigned_area() < 1.0 {
                return Err(Error::new("error-outline-small", ""));
            }
            sum = if sum.0.is_empty() { MultiPolygon::new(vec![ring]) } else { sum.xor(&ring) };
        }
        Self::from_shape(sum).ok_or_else(|| Error::new("error-outline-small", ""))
    }

    /// The region inside a closed ring of points, or `None` if it is smaller than 1 mm².
    pub fn from_points(points: &[Point]) -> Option<Self> {
        if points.len() < 3 {
            return None;
        }
        let ring = LineString::from(points.iter().map(|p| p.coord()).collect::<Vec<_>>());
        let polygon = Polygon::new(ring, Vec::new());
        if self_crossing(polygon.exterior()) {
            // A finger's drawn ring may cross itself: take everything it encloses.
            return Self::from_shape(geo::unary_union(&[polygon]));
        }
        Self::from_shape(MultiPolygon::new(vec![polygon]))
    }

    /// An ellipse of half axes `ra`, `rb` turned by `turn_deg`, as a ring of 32 points of the same area.
    pub fn ellipse(centre: Point, ra: f64, rb: f64, turn_deg: f64) -> Option<Self> {
        const STEPS: u32 = 32;
        let step = std::f64::consts::TAU / f64::from(STEPS);
        // A regular ring inside the ellipse is too small; stretch it to the true area.
        let grow = (step / step.sin()).sqrt();
        let (sin, cos) = turn_deg.to_radians().sin_cos();
        let points: Vec<Point> = (0..STEPS)
            .map(|n| {
                let (s, c) = (f64::from(n) * step).sin_cos();
                let (a, b) = (c * ra * grow, s * rb * grow);
                Point::new(centre.a + a * cos - b * sin, centre.b + a * sin + b * cos)
            })
            .collect();
        let ring = LineString::from(points.iter().map(|p| p.coord()).collect::<Vec<_>>());
        Self::from_shape(MultiPolygon::new(vec![Polygon::new(ring, Vec::new())]))
    }

    /// The region within `width / 2` of a line.
    pub fn stroke(points: &[Point], width: f64) -> Option<Self> {
        let mut path: Vec<Point> = Vec::new();
        for point in points {
            if path.last().is_none_or(|last| last.distance(*point) > SAME_POINT_MM) {
                path.push(*point);
            }
        }
        if let [only] = path.as_slice() {
            return Self::ellipse(*only, width / 2.0, width / 2.0, 0.0);
        }
        // A finger's stroke seldom turns back on itself: then its outline is drawn at once, which is much quicker.
        let ring = LineString::from(stroke_outline(&path, width / 2.0));
        let polygon = Polygon::new(ring, Vec::new());
        if !self_crossing(polygon.exterior()) {
            return Self::from_shape(MultiPolygon::new(vec![polygon]));
        }
        let line = LineString::from(path.iter().map(|p| p.coord()).collect::<Vec<_>>());
        Self::from_shape(line.buffer(width / 2.0))
    }

    fn from_shape(shape: MultiPolygon<f64>) -> Option<Self> {
        let size_mm2 = shape.unsigned_area();
        if size_mm2 < 1.0 {
            return None;
        }
        let rect = shape.bounding_rect()?;
        let bounds =
            Bounds { low: Point::new(rect.min().x, rect.min().y), high: Point::new(rect.max().x, rect.max().y) };
        Some(Self { shape, bounds, size_mm2 })
    }

    /// Size, mm².
    pub fn size(&self) -> f64 {
        self.size_mm2
    }
    /// Smallest rectangle around it.
    pub fn bounds(&self) -> Bounds {
        self.bounds
    }
    /// Both together.
    #[must_use]
    pub fn union(&self, other: &Self) -> Self {
        if !self.bounds.near(&other.bounds, 0.0) {
            // Regions apart from each other need no merging.
            let mut shape = self.shape.clone();
            shape.0.extend(other.shape.0.iter().cloned());
            return Self { size_mm2: shape.unsigned_area(), shape, bounds: self.bounds.join(&other.bounds) };
        }
        Self::from_shape(self.shape.union(&other.shape)).unwrap_or_else(|| self.clone())
    }
    /// What both cover, or `None` where they do not meet in at least 1 mm².
    pub fn common(&self, other: &Self) -> Option<Self> {
        if !self.bounds.near(&other.bounds, 0.0) {
            return None;
        }
        if self.encloses(other) {
            return Some(other.clone());
        }
        Self::from_shape(self.shape.intersection(&other.shape))
    }
    /// This without the other.
    pub fn without(&self, other: &Self) -> Option<Self> {
        Self::from_shape(self.shape.difference(&other.shape))
    }
    /// The region grown outwards by `mm`.
    #[must_use]
    pub fn grown(&self, mm: f64) -> Self {
        if mm <= 0.0 {
            return self.clone();
        }
        Self::from_shape(self.shape.buffer(mm)).unwrap_or_else(|| self.clone())
    }
    /// The part of the region on the left of the directed line `from` → `to`, or `None` if there is none.
    pub fn left_of(&self, from: Point, to: Point) -> Option<Self> {
        let reach = 1.0 + self.bounds.width() + self.bounds.height() + from.distance(self.bounds.centre());
        let length = from.distance(to).max(1e-9);
        let (da, db) = ((to.a - from.a) / length, (to.b - from.b) / length);
        let at =
            |along: f64, aside: f64| Coord { x: from.a + da * along - db * aside, y: from.b + db * along + da * aside };
        let half = Polygon::new(
            LineString::from(vec![at(-reach, 0.0), at(reach, 0.0), at(reach, 2.0 * reach), at(-reach, 2.0 * reach)]),
            Vec::new(),
        );
        Self::from_shape(self.shape.intersection(&half))
    }
    /// Whether the point lies inside.
    pub fn contains(&self, point: Point) -> bool {
        self.bounds.low.a <= point.a
            && point.a <= self.bounds.high.a
            && self.bounds.low.b <= point.b
            && point.b <= self.bounds.high.b
            && self.shape.contains(&point.coord())
    }
    /// Whether the other lies wholly inside (touching edges allowed within rounding).
    pub fn encloses(&self, other: &Self) -> bool {
        let outer = self.bounds;
        let inner = other.bounds;
        if inner.low.a < outer.low.a
            || inner.low.b < outer.low.b
            || inner.high.a > outer.high.a
            || inner.high.b > outer.high.b
        {
            return false;
        }
        let crossing = self.rings().any(|mine| other.rings().any(|theirs| rings_cross(mine, theirs)));
        if crossing {
            return false;
        }
        let first = other
            .shape
            .0
            .iter()
            .all(|piece| piece.exterior().0.first().is_some_and(|corner| self.shape.contains(corner)));
        // No hole of this region may lie inside the other.
        first
            && !self
                .shape
                .0
                .iter()
                .flat_map(Polygon::interiors)
                .any(|hole| hole.0.first().is_some_and(|corner| other.shape.contains(corner)))
    }
    /// Whether the two regions share any inside.
    pub fn meets(&self, other: &Self) -> bool {
        if !self.bounds.near(&other.bounds, 0.0) {
            return false;
        }
        let corner_in = |inner: &Self, outer: &Self| {
            inner.shape.0.iter().any(|piece| piece.exterior().0.first().is_some_and(|c| outer.shape.contains(c)))
        };
        corner_in(self, other)
            || corner_in(other, self)
            || self.rings().any(|mine| other.rings().any(|theirs| rings_cross(mine, theirs)))
    }
    fn rings(&self) -> impl Iterator<Item = &LineString<f64>> {
        self.shape.0.iter().flat_map(|piece| std::iter::once(piece.exterior()).chain(piece.interiors()))
    }
    /// Distance from a point to the region, 0 inside, mm.
    pub fn distance_to_point(&self, point: Point) -> f64 {
        if self.contains(point) { 0.0 } else { self.distance_to_edge(point) }
    }
    /// The same if it is at most `limit` mm.
    pub fn distance_to_point_up_to(&self, point: Point, limit: f64) -> Option<f64> {
        let here = Bounds { low: point, high: point };
        if !self.bounds.near(&here, limit) {
            None
        } else if self.contains(point) {
            Some(0.0)
        } else {
            self.distance_to_edge_up_to(point, limit)
        }
    }
    /// Distance from a point to the nearest edge of the region, from inside or outside, mm.
    pub fn distance_to_edge(&self, point: Point) -> f64 {
        self.distance_to_edge_up_to(point, f64::INFINITY).unwrap_or(f64::INFINITY)
    }
    /// The same if it is at most `limit` mm.
    pub fn distance_to_edge_up_to(&self, point: Point, limit: f64) -> Option<f64> {
        point.nearest_up_to(self.pieces(), limit)
    }
    /// The straight pieces of its edges.
    pub fn pieces(&self) -> impl Iterator<Item = (Point, Point)> {
        self.rings().flat_map(|ring| ring.0.windows(2).map(|pair| (pair[0].into(), pair[1].into())))
    }
    /// Distance to another region, 0 where they meet, mm.
    pub fn distance(&self, other: &Self) -> f64 {
        self.distance_up_to(other, f64::INFINITY).unwrap_or(f64::INFINITY)
    }
    /// Distance to another region if it is at most `limit` mm; 0 where they meet.
    pub fn distance_up_to(&self, other: &Self, limit: f64) -> Option<f64> {
        if !self.bounds.near(&other.bounds, limit) {
            return None;
        }
        if self.meets(other) {
            return Some(0.0);
        }
        self.edge_distance_up_to(other, limit)
    }
    /// Distance to a line if it is at most `limit` mm; 0 where they meet.
    pub fn distance_to_line_up_to(&self, line: &Line, limit: f64) -> Option<f64> {
        if !Bounds::of(&line.points)?.near(&self.bounds, limit) {
            return None;
        }
        if line.points.iter().any(|point| self.contains(*point)) {
            return Some(0.0);
        }
        least_distance(self.rings(), &line.string(), limit)
    }
    /// Distance to a line, 0 where they meet, mm.
    pub fn distance_to_line(&self, line: &Line) -> f64 {
        self.distance_to_line_up_to(line, f64::INFINITY).unwrap_or(f64::INFINITY)
    }
    /// Length of the straight line within the region, mm.
    pub fn length_within(&self, from: Point, to: Point) -> f64 {
        let line = MultiLineString::new(vec![LineString::from(vec![from.coord(), to.coord()])]);
        Euclidean.length(&self.shape.clip(&line, false))
    }
    /// Where along the straight line the region begins and ends, mm from `from`; `None` where the line misses it.
    pub fn span_within(&self, from: Point, to: Point) -> Option<(f64, f64)> {
        let line = MultiLineString::new(vec![LineString::from(vec![from.coord(), to.coord()])]);
        let inside = self.shape.clip(&line, false);
        let places = inside.0.iter().flat_map(|piece| piece.0.iter()).map(|c| from.distance(Point::new(c.x, c.y)));
        places.fold(None, |span: Option<(f64, f64)>, at| Some(span.map_or((at, at), |(a, b)| (a.min(at), b.max(at)))))
    }
    /// Distance between the edges of two regions if it is at most `limit` mm: how near damage comes to an edge.
    pub fn edge_distance_up_to(&self, other: &Self, limit: f64) -> Option<f64> {
        if !self.bounds.near(&other.bounds, limit) {
            return None;
        }
        // No edges lie further apart than some two of their corners: a first bound spares most comparisons.
        let corner = other.rings().next().and_then(|ring| ring.0.first())?;
        let corners = self.rings().flat_map(|ring| ring.0.iter());
        let square = corners.map(|c| (c.x - corner.x).powi(2) + (c.y - corner.y).powi(2)).fold(f64::INFINITY, f64::min);
        let limit = limit.min(square.sqrt() + SAME_POINT_MM);
        let found = other.rings().filter_map(|ring| least_distance(self.rings(), ring, limit));
        found.min_by(f64::total_cmp)
    }
    /// Length of its outer edges, mm.
    pub fn edge_length(&self) -> f64 {
        self.shape.iter().map(|piece| Euclidean.length(piece.exterior())).sum()
    }
    /// The length of the longest straight extent of the region's bounding rectangle, mm.
    pub fn extent(&self) -> f64 {
        self.bounds.width().max(self.bounds.height())
    }
    /// The region with every corner moved by `map`: shifted, stretched or mirrored.
    #[must_use]
    pub fn mapped(&self, map: impl Fn(Point) -> Point) -> Self {
        use geo::MapCoords;
        let shape = self.shape.map_coords(|c| {
            let p = map(Point::new(c.x, c.y));
            p.coord()
        });
        Self::from_shape(shape).unwrap_or_else(|| self.clone())
    }
    /// Rings of points, the outer ring of each piece before its holes.
    pub fn points(&self) -> Vec<Vec<Point>> {
        self.rings().map(|ring| ring.0.iter().map(|c| Point::new(c.x, c.y)).collect()).collect()
    }
    /// SVG path of the region after `map` (for instance [`View::to_screen`](crate::terms::View::to_screen)), one decimal.
    pub fn path(&self, map: impl Fn(Point) -> Point) -> String {
        let mut out = String::new();
        for ring in self.rings() {
            let open = &ring.0[..ring.0.len().saturating_sub(1)];
            write_points(&mut out, open.iter().map(|c| map(Point::new(c.x, c.y))), true);
        }
        out
    }
}

impl Line {
    /// Reads open or closed lines from an SVG path in millimetres.
    ///
    /// # Errors
    /// Where the text is no path.
    pub fn from_path(text: &str) -> Result<Vec<Self>> {
        subpaths(text)
    }
    /// A line through the points.
    pub fn new(points: Vec<Point>) -> Self {
        Self { points, closed: false }
    }
    /// A closed ring of twelve points round a centre, for drawing.
    pub fn circle(centre: Point, radius: f64) -> Self {
        let points = (0..12_u8)
            .map(|n| {
                let (sin, cos) = (f64::from(n) * std::f64::consts::TAU / 12.0).sin_cos();
                Point::new(centre.a + radius * cos, centre.b + radius * sin)
            })
            .collect();
        Self { points, closed: true }
    }
    /// Its points.
    pub fn points(&self) -> &[Point] {
        &self.points
    }
    /// Length, mm.
    pub fn length(&self) -> f64 {
        Euclidean.length(&self.string())
    }
    /// The line with every point moved.
    #[must_use]
    pub fn mapped(&self, map: impl Fn(Point) -> Point) -> Self {
        Self { points: self.points.iter().copied().map(map).collect(), closed: self.closed }
    }
    /// SVG path after `map`, one decimal.
    pub fn path(&self, map: impl Fn(Point) -> Point) -> String {
        let mut out = String::new();
        write_points(&mut out, self.points.iter().copied().map(map), self.closed);
        out
    }
    /// Its straight pieces.
    pub fn pieces(&self) -> impl Iterator<Item = (Point, Point)> {
        let ends = if self.closed { self.points.last().copied().zip(self.points.first().copied()) } else { None };
        self.points.windows(2).map(|pair| (pair[0], pair[1])).chain(ends)
    }
    fn string(&self) -> LineString<f64> {
        let mut points: Vec<Coord<f64>> = self.points.iter().map(|p| p.coord()).collect();
        if self.closed && points.first() != points.last() {
            points.extend(points.first().copied());
        }
        LineString::from(points)
    }
}

fn write_points(out: &mut String, points: impl Iterator<Item = Point>, close: bool) {
    use std::fmt::Write as _;
    for (at, p) in points.enumerate() {
        let letter = if at == 0 { 'M' } else { 'L' };
        let (a, b) = (tenths(p.a), tenths(p.b));
        write!(out, "{letter}{a} {b}").expect("writing to a string");
    }
    if close {
        out.push('Z');
    }
}

/// Rounds to one decimal, never `-0`.
fn tenths(value: f64) -> f64 {
    let rounded = (value * 10.0).round() / 10.0;
    if rounded == 0.0 { 0.0 } else { rounded }
}

/// The flattened subpaths of an SVG path; a closed one does not repeat its first point.
fn subpaths(text: &str) -> Result<Vec<Line>> {
    let path = BezPath::from_svg(text).map_err(|error| Error::new("error-path", "").with("detail", error))?;
    if path.elements().is_empty() || !path.bounding_box().is_finite() {
        return Err(Error::new("error-path", "").with("detail", "-"));
    }
    let mut lines: Vec<Line> = Vec::new();
    kurbo::flatten(path.iter(), FLATNESS_MM, |element| match element {
        PathEl::MoveTo(p) => lines.push(Line { points: vec![Point::new(p.x, p.y)], closed: false }),
        PathEl::LineTo(p) => {
            if let Some(line) = lines.last_mut() {
                let next = Point::new(p.x, p.y);
                if line.points.last().is_none_or(|last| last.distance(next) > SAME_POINT_MM) {
                    line.points.push(next);
                }
            }
        }
        PathEl::ClosePath => {
            if let Some(line) = lines.last_mut() {
                line.closed = true;
                let joined =
                    line.points.first().zip(line.points.last()).is_some_and(|(p, q)| p.distance(*q) <= SAME_POINT_MM);
                if line.points.len() > 1 && joined {
                    line.points.pop();
                }
            }
        }
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    Ok(lines)
}

/// Whether a ring crosses itself: compares the pairs of its edges that reach over the same x and y.
fn self_crossing(ring: &LineString<f64>) -> bool {
    let mut edges: Vec<(usize, geo::Line<f64>, geo::Rect<f64>)> =
        ring.lines().enumerate().map(|(at, edge)| (at, edge, edge.bounding_rect())).collect();
    let last = edges.len().saturating_sub(1);
    edges.sort_by(|(.., one), (.., other)| one.min().x.total_cmp(&other.min().x));
    edges.iter().enumerate().any(|(place, (at, one, reach))| {
        let near = edges[place + 1..].iter().take_while(|(.., other)| other.min().x <= reach.max().x);
        near.filter(|(.., other)| other.min().y <= reach.max().y && other.max().y >= reach.min().y).any(
            |(beside, other, _)| {
                let apart = at.abs_diff(*beside);
                apart != 1 && apart != last && edges_cross(*one, *other)
            },
        )
    })
}

fn rings_cross(one: &LineString<f64>, other: &LineString<f64>) -> bool {
    let Some(reach) = other.bounding_rect() else { return false };
    one.lines().any(|mine| {
        let (low_x, high_x) = (mine.start.x.min(mine.end.x), mine.start.x.max(mine.end.x));
        let (low_y, high_y) = (mine.start.y.min(mine.end.y), mine.start.y.max(mine.end.y));
        let apart = high_x < reach.min().x || low_x > reach.max().x || high_y < reach.min().y || low_y > reach.max().y;
        !apart && other.lines().any(|theirs| edges_cross(mine, theirs))
    })
}

/// Least distance between rings and a line, if it is at most `limit`; edges out of reach are passed over.
fn least_distance<'a>(
    rings: impl Iterator<Item = &'a LineString<f64>>,
    line: &LineString<f64>,
    limit: f64,
) -> Option<f64> {
    let theirs: Vec<(geo::Line<f64>, Bounds)> = line.lines().map(|edge| (edge, bounds(&edge))).collect();
    let reach = theirs.iter().map(|(_, bounds)| *bounds).reduce(|one, other| one.join(&other))?;
    let mut least = limit;
    let mut found = None;
    for mine in rings.flat_map(LineString::lines) {
        let here = bounds(&mine);
        if here.apart(&reach) > squared(least) {
            continue;
        }
        for (theirs, there) in &theirs {
            let apart = here.apart(there);
            if apart > squared(least) {
                continue;
            }
            let distance = if apart > 0.0 {
                // They do not cross: one of the four ends is nearest.
                let (one, other) = (mine.start_point(), mine.end_point());
                let ends = Euclidean.distance(&one, theirs).min(Euclidean.distance(&other, theirs));
                let (one, other) = (theirs.start_point(), theirs.end_point());
                ends.min(Euclidean.distance(&one, &mine)).min(Euclidean.distance(&other, &mine))
            } else {
                Euclidean.distance(&mine, theirs)
            };
            if distance <= least {
                least = distance;
                found = Some(distance);
            }
        }
        if found == Some(0.0) {
            break;
        }
    }
    found
}

fn bounds(edge: &geo::Line<f64>) -> Bounds {
    Bounds::around(edge.start.into(), edge.end.into())
}

/// The square of a distance, a little larger, so that nothing that is just as near is passed over by rounding.
fn squared(distance: f64) -> f64 {
    distance * distance * (1.0 + 1e-9)
}

/// Outline of a stroke: along one side, round the end, back along the other, round the start. Corners are mitred.
fn stroke_outline(path: &[Point], half: f64) -> Vec<Coord<f64>> {
    const CAP_STEPS: u32 = 8;
    let heading = |from: Point, to: Point| {
        let length = from.distance(to);
        ((to.a - from.a) / length, (to.b - from.b) / length)
    };
    let side = |left: f64| {
        let count = path.len();
        (0..count).map(move |at| {
            let before = (at > 0).then(|| heading(path[at - 1], path[at]));
            let after = (at + 1 < count).then(|| heading(path[at], path[at + 1]));
            let (one, other) = (before.or(after).unwrap_or((1.0, 0.0)), after.or(before).unwrap_or((1.0, 0.0)));
            let (sum_a, sum_b) = (one.0 + other.0, one.1 + other.1);
            let length = sum_a.hypot(sum_b).max(1e-6);
            // Mitre, never longer than twice the half width.
            let reach = (half * 2.0 / length).min(half * 2.0);
            Coord { x: path[at].a - left * reach * sum_b / length, y: path[at].b + left * reach * sum_a / length }
        })
    };
    let cap = |centre: Point, start: f64| {
        // The round end has the area of a true half circle.
        let step = std::f64::consts::PI / f64::from(CAP_STEPS);
        let grow = (step / step.sin()).sqrt();
        (1..CAP_STEPS).map(move |n| {
            let turn = start - f64::from(n) * step;
            Coord { x: centre.a + half * grow * turn.cos(), y: centre.b + half * grow * turn.sin() }
        })
    };
    let last = path.len() - 1;
    let quarter = std::f64::consts::FRAC_PI_2;
    let (end, start) = (heading(path[last - 1], path[last]), heading(path[0], path[1]));
    let mut ring: Vec<Coord<f64>> = side(1.0).collect();
    ring.extend(cap(path[last], end.1.atan2(end.0) + quarter));
    let back: Vec<Coord<f64>> = side(-1.0).collect();
    ring.extend(back.into_iter().rev());
    ring.extend(cap(path[0], start.1.atan2(start.0) - quarter));
    ring
}

/// Whether two edges cross in their inside.
fn edges_cross(one: geo::Line<f64>, other: geo::Line<f64>) -> bool {
    let turn = |p: Coord<f64>, q: Coord<f64>, r: Coord<f64>| (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    let (a, b) = (turn(one.start, one.end, other.start), turn(one.start, one.end, other.end));
    let (c, d) = (turn(other.start, other.end, one.start), turn(other.start, other.end, one.end));
    a * b < 0.0 && c * d < 0.0
}
