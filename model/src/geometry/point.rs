//! Points and rectangles along the axes, in millimetres. Knows nothing of areas.

use geo::Coord;

/// A point in a view's plane, mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// First coordinate of the plane.
    pub a: f64,
    /// Second coordinate of the plane.
    pub b: f64,
}

impl Point {
    /// A point.
    pub const fn new(a: f64, b: f64) -> Self {
        Self { a, b }
    }
    /// Distance to another point, mm.
    pub fn distance(self, other: Self) -> f64 {
        (self.a - other.a).hypot(self.b - other.b)
    }
    /// Distance to a straight piece, mm.
    pub fn distance_to_piece(self, from: Self, to: Self) -> f64 {
        let (da, db) = (to.a - from.a, to.b - from.b);
        let length = da * da + db * db;
        let along = (self.a - from.a) * da + (self.b - from.b) * db;
        let share = if length > 0.0 { (along / length).clamp(0.0, 1.0) } else { 0.0 };
        self.distance(Self::new(from.a + share * da, from.b + share * db))
    }
    /// Distance to the nearest of some straight pieces if it is at most `limit` mm.
    pub fn nearest_up_to(self, pieces: impl Iterator<Item = (Self, Self)>, limit: f64) -> Option<f64> {
        let (mut found, mut least) = (None, limit);
        let here = Bounds { low: self, high: self };
        pieces.for_each(|(from, to)| {
            if here.near(&Bounds::around(from, to), least) {
                let distance = self.distance_to_piece(from, to);
                if distance <= least {
                    (least, found) = (distance, Some(distance));
                }
            }
        });
        found
    }
    pub(super) fn coord(self) -> Coord<f64> {
        Coord { x: self.a, y: self.b }
    }
}

impl From<Coord<f64>> for Point {
    fn from(coord: Coord<f64>) -> Self {
        Self::new(coord.x, coord.y)
    }
}

/// A rectangle along the axes, mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bounds {
    /// Lowest coordinates.
    pub low: Point,
    /// Highest coordinates.
    pub high: Point,
}

impl Bounds {
    /// The smallest rectangle around two points.
    pub fn around(one: Point, other: Point) -> Self {
        Self {
            low: Point::new(one.a.min(other.a), one.b.min(other.b)),
            high: Point::new(one.a.max(other.a), one.b.max(other.b)),
        }
    }
    /// The smallest rectangle around points; `None` where there are none.
    pub fn of<'p>(points: impl IntoIterator<Item = &'p Point>) -> Option<Self> {
        let each = points.into_iter().map(|point| Self { low: *point, high: *point });
        each.reduce(|one, other| one.join(&other))
    }
    /// The middle.
    pub fn centre(&self) -> Point {
        Point::new(f64::midpoint(self.low.a, self.high.a), f64::midpoint(self.low.b, self.high.b))
    }
    /// Width, mm.
    pub fn width(&self) -> f64 {
        self.high.a - self.low.a
    }
    /// Height, mm.
    pub fn height(&self) -> f64 {
        self.high.b - self.low.b
    }
    /// The smallest rectangle around both.
    #[must_use]
    pub fn join(&self, other: &Self) -> Self {
        Self {
            low: Point::new(self.low.a.min(other.low.a), self.low.b.min(other.low.b)),
            high: Point::new(self.high.a.max(other.high.a), self.high.b.max(other.high.b)),
        }
    }
    /// The square of the distance between two rectangles, 0 where they meet, mm².
    pub fn apart(&self, other: &Self) -> f64 {
        let gap = |low: f64, high: f64, from: f64, to: f64| (low - to).max(from - high).max(0.0);
        let a = gap(self.low.a, self.high.a, other.low.a, other.high.a);
        let b = gap(self.low.b, self.high.b, other.low.b, other.high.b);
        a * a + b * b
    }
    /// Whether the rectangles come within `slack` mm of each other.
    pub fn near(&self, other: &Self, slack: f64) -> bool {
        self.low.a - slack <= other.high.a
            && other.low.a - slack <= self.high.a
            && self.low.b - slack <= other.high.b
            && other.low.b - slack <= self.high.b
    }
}
