//! What the screens and the files draw: resolved paths in screen millimetres, and what lies under a finger.
//!
//! One geometry serves drawing, hit test and measurement: every path here is the measured outline of the book. This
//! module decides nothing about repairs and knows nothing of pixels or colours.
//!
//! Screen millimetres: first coordinate to the right, second down. A [`Scene`] is one or two [`Panel`]s side by side;
//! two where the person stands at a corner of the truck and sees two of its faces unfolded.

mod cut_sheet;
mod cuts;
mod draw;
mod hit;
mod overlay;

pub use cut_sheet::cut_sheet;
pub use cuts::{CutCell, CutDistance, CutLine, CutMap, CutZone, LineUse, cut_map};
pub use draw::{SvgLook, to_svg};
pub use hit::{Hit, hit, neighbour};
pub use overlay::{Overlay, OverlayMark, OverlayPart, overlay};

use crate::catalogue::{Book, Part};
use crate::geometry::{Bounds, Point};
use crate::ids::PartId;
use crate::terms::{Layer, View};
use std::sync::Arc;

/// Gap between two panels, mm.
const PANEL_GAP_MM: f64 = 260.0;

/// Where the person stands, or from which side the truck is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)] // the names say it
pub enum Place {
    Front,
    FrontLeft,
    Left,
    RearLeft,
    Rear,
    RearRight,
    Right,
    FrontRight,
    Above,
    Below,
}

impl Place {
    /// The eight standing places, walking round the truck from the front by its left side.
    pub const ROUND: [Self; 8] = [
        Self::Front,
        Self::FrontLeft,
        Self::Left,
        Self::RearLeft,
        Self::Rear,
        Self::RearRight,
        Self::Right,
        Self::FrontRight,
    ];
    /// All places: the eight, then above and below.
    pub const ALL: [Self; 10] = [
        Self::Front,
        Self::FrontLeft,
        Self::Left,
        Self::RearLeft,
        Self::Rear,
        Self::RearRight,
        Self::Right,
        Self::FrontRight,
        Self::Above,
        Self::Below,
    ];

    /// The views seen from here, from left to right on the screen.
    pub fn views(self) -> &'static [View] {
        match self {
            Self::Front => &[View::Front],
            Self::FrontLeft => &[View::Front, View::Left],
            Self::Left => &[View::Left],
            Self::RearLeft => &[View::Left, View::Rear],
            Self::Rear => &[View::Rear],
            Self::RearRight => &[View::Rear, View::Right],
            Self::Right => &[View::Right],
            Self::FrontRight => &[View::Right, View::Front],
            Self::Above => &[View::Top],
            Self::Below => &[View::Underside],
        }
    }

    /// The next place when walking on with the truck at one's left hand (`true`) or the other way; above and below stay.
    #[must_use]
    pub fn walk(self, onward: bool) -> Self {
        match Self::ROUND.iter().position(|place| *place == self) {
            Some(at) => Self::ROUND[(at + if onward { 1 } else { 7 }) % 8],
            None => self,
        }
    }

    /// The written form, used in addresses.
    pub fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::FrontLeft => "front-left",
            Self::Left => "left",
            Self::RearLeft => "rear-left",
            Self::Rear => "rear",
            Self::RearRight => "rear-right",
            Self::Right => "right",
            Self::FrontRight => "front-right",
            Self::Above => "above",
            Self::Below => "below",
        }
    }

    /// Reads the written form.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|place| place.word() == word)
    }

    /// The place from which a view is seen.
    pub fn of(view: View) -> Self {
        match view {
            View::Left => Self::Left,
            View::Right => Self::Right,
            View::Front => Self::Front,
            View::Rear => Self::Rear,
            View::Top => Self::Above,
            View::Underside => Self::Below,
        }
    }
}

/// A resolved drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// One panel, or two at a corner, from left to right.
    pub panels: Vec<Panel>,
    /// Bounds of the whole, screen mm.
    pub bounds: Bounds,
    /// What to show first, screen mm: the whole, or at a corner the two halves that meet there.
    pub window: Bounds,
}

/// One view of the truck.
#[derive(Clone, Debug, PartialEq)]
pub struct Panel {
    /// The view.
    pub view: View,
    /// What is peeled away.
    pub layer: Layer,
    /// Where the panel's origin lies on the screen, mm.
    pub offset: Point,
    /// Bounds on the screen, mm.
    pub bounds: Bounds,
    /// Outlines of what has been peeled away, for orientation: drawn faint, never hit.
    pub ghost: Vec<String>,
    /// Parts in paint order.
    pub items: Vec<Item>,
}

/// One part as drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// The part.
    pub part: PartId,
    /// Its name in words.
    pub name: String,
    /// What it looks like.
    pub look: Look,
    /// SVG path of the outline (even-odd).
    pub path: Arc<str>,
    /// SVG path of the feature lines; may be empty.
    pub lines: String,
    /// SVG path of drawn details; may be empty.
    pub details: String,
    /// Bounds on the screen, mm.
    pub bounds: Bounds,
}

/// What a part looks like, so that the drawing needs no policy of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)] // the names say it
pub enum Look {
    Painted,
    Glass,
    Lamp,
    Plastic,
    Rubber,
    Aluminium,
    Steel,
    StrongSteel,
    Magnesium,
}

impl Look {
    /// The written form, used as a class.
    pub fn word(self) -> &'static str {
        match self {
            Self::Painted => "painted",
            Self::Glass => "glass",
            Self::Lamp => "lamp",
            Self::Plastic => "plastic",
            Self::Rubber => "rubber",
            Self::Aluminium => "aluminium",
            Self::Steel => "steel",
            Self::StrongSteel => "strong-steel",
            Self::Magnesium => "magnesium",
        }
    }

    fn of(part: &Part) -> Self {
        use crate::terms::Family;
        // A lamp is a moulding of its own; sheet parts that only carry one keep their material's look.
        if part.has("lamp") && matches!(part.family, Family::Plastic | Family::Glass) {
            return Self::Lamp;
        }
        if part.layer == Layer::Skin && part.has("painted") {
            return Self::Painted;
        }
        match part.family {
            Family::Glass => Self::Glass,
            Family::Rubber => Self::Rubber,
            Family::Plastic | Family::Composite => Self::Plastic,
            Family::Magnesium => Self::Magnesium,
            Family::UltraHighStrengthSteel => Self::StrongSteel,
            Family::MildSteel | Family::HighStrengthSteel | Family::LaminatedSteel => Self::Steel,
            Family::Aluminium5xxxSheet
            | Family::Aluminium6xxxSheet
            | Family::Aluminium6xxxExtrusion
            | Family::AluminiumCasting => Self::Aluminium,
        }
    }
}

impl Panel {
    /// A point of the vehicle in this panel's view as a point of the screen, mm.
    pub fn to_screen(&self, point: Point) -> Point {
        let p = self.view.to_screen(point);
        Point::new(p.a + self.offset.a, p.b + self.offset.b)
    }

    /// A point of the screen as a point of the vehicle in this panel's view, mm.
    pub fn to_vehicle(&self, point: Point) -> Point {
        self.view.to_screen(Point::new(point.a - self.offset.a, point.b - self.offset.b))
    }
}

/// Whether anything shows from a place when everything outside `layer` is peeled away.
pub fn has_layer(book: &Book, place: Place, layer: Layer) -> bool {
    place.views().iter().any(|view| book.shown(*view, layer).next().is_some())
}

/// The drawing of a body from a place with everything outside `layer` peeled away.
pub fn scene(book: &Book, place: Place, layer: Layer) -> Scene {
    let mut panels = Vec::new();
    let mut edge = 0.0;
    for view in place.views() {
        let frame = frame_of(book, *view);
        // Each panel starts where the last one ended; heights share the datum plane.
        let offset =
            if panels.is_empty() { Point::default() } else { Point::new(edge + PANEL_GAP_MM - frame.low.a, 0.0) };
        let panel = panel(book, *view, layer, offset, frame);
        edge = panel.bounds.high.a;
        panels.push(panel);
    }
    let bounds = panels.iter().skip(1).fold(panels[0].bounds, |sum, panel| sum.join(&panel.bounds));
    let window = corner_window(&panels, bounds);
    Scene { panels, bounds, window }
}

/// Bounds of everything in a view whatever is peeled away, so that peeling never moves the picture.
fn frame_of(book: &Book, view: View) -> Bounds {
    let all = book.parts.iter().filter_map(|part| part.shapes.get(&view)).map(|area| {
        let b = area.bounds();
        let (p, q) = (view.to_screen(b.low), view.to_screen(b.high));
        Bounds { low: Point::new(p.a.min(q.a), p.b.min(q.b)), high: Point::new(p.a.max(q.a), p.b.max(q.b)) }
    });
    all.reduce(|sum, b| sum.join(&b))
        .unwrap_or(Bounds { low: Point::new(-1000.0, -1000.0), high: Point::new(1000.0, 1000.0) })
}

fn panel(book: &Book, view: View, layer: Layer, offset: Point, frame: Bounds) -> Panel {
    let place = |p: Point| {
        let q = view.to_screen(p);
        Point::new(q.a + offset.a, q.b + offset.b)
    };
    let items = book
        .shown(view, layer)
        .filter_map(|part| {
            let area = part.shapes.get(&view)?;
            let b = area.bounds();
            let (p, q) = (place(b.low), place(b.high));
            let path_of = |lines: Option<&Vec<crate::geometry::Line>>| {
                lines.into_iter().flatten().map(|line| line.path(place)).collect::<String>()
            };
            Some(Item {
                part: part.id.clone(),
                name: part.name(),
                look: Look::of(part),
                path: area.path(place).into(),
                lines: path_of(part.lines.get(&view)),
                details: path_of(part.details.get(&view)),
                bounds: Bounds {
                    low: Point::new(p.a.min(q.a), p.b.min(q.b)),
                    high: Point::new(p.a.max(q.a), p.b.max(q.b)),
                },
            })
        })
        .collect();
    let outer: &[Layer] = match layer {
        Layer::Skin => &[],
        Layer::Structure => &[Layer::Skin],
        Layer::Frame => &[Layer::Structure, Layer::Skin],
    };
    let mut ghost: Vec<String> = Vec::new();
    for layer in outer {
        if ghost.is_empty() {
            ghost = book
                .parts
                .iter()
                .filter(|part| part.layer == *layer)
                .filter_map(|part| part.shapes.get(&view))
                .map(|area| area.path(place))
                .collect();
        }
    }
    let bounds = Bounds {
        low: Point::new(frame.low.a + offset.a, frame.low.b + offset.b),
        high: Point::new(frame.high.a + offset.a, frame.high.b + offset.b),
    };
    Panel { view, layer, offset, bounds, ghost, items }
}

/// At a corner: from the middle of the end view to the axle of the side view.
fn corner_window(panels: &[Panel], bounds: Bounds) -> Bounds {
    let [left, right] = panels else { return bounds };
    let share = |panel: &Panel| match panel.view {
        View::Left | View::Right => 0.42,
        _ => 1.0,
    };
    Bounds {
        low: Point::new(left.bounds.high.a - left.bounds.width() * share(left), bounds.low.b),
        high: Point::new(right.bounds.low.a + right.bounds.width() * share(right), bounds.high.b),
    }
}
