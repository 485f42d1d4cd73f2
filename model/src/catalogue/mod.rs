//! The body book: every part of one body with its geometry, material, joints, access and load path.
//!
//! A [`Description`](read::Description) is the file; [`Book`] is that description resolved for one cab and one bed and
//! checked. Nothing here knows of damage or of rules. All lengths are millimetres in the vehicle's frame: x rearward
//! from the front axle line, y to the left from the centreline, z up from the datum plane.

mod check;
mod expand;
mod facts;
pub mod read;

pub use facts::{Beside, Facts, JointFacts, PartFacts, Reach, WorkFacts};

use crate::geometry::{Area, Line, Point};
use crate::ids::{AccessId, CellId, CutId, PartId};
use crate::terms::{
    Bed, Behind, Cab, Caution, Direction, Family, Form, Join, JointKind, Layer, NoCutKind, Role, Route, Side, View,
};
use std::collections::BTreeMap;

/// Id of the outer skin of a closure among what is sold: `hood/outer-skin`.
pub const OUTER_SKIN: &str = "outer-skin";

/// Which body: the parameters from which a book is resolved.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
pub struct Body {
    /// Cab.
    pub cab: Cab,
    /// Bed.
    pub bed: Bed,
}

/// One body, resolved and checked. Part order is paint order: later parts lie on top of earlier ones.
#[derive(Clone, Debug)]
pub struct Book {
    /// Id of the description it comes from.
    pub id: String,
    /// Edition of that description; plans name it.
    pub edition: String,
    /// The body that it describes.
    pub body: Body,
    /// Parts in paint order.
    pub parts: Vec<Part>,
    /// Access work by id.
    pub access: BTreeMap<AccessId, AccessWork>,
    pub(crate) index: BTreeMap<PartId, usize>,
    pub(crate) kept: facts::Kept,
}

/// One part.
#[derive(Clone, Debug)]
pub struct Part {
    /// Id with side.
    pub id: PartId,
    /// Id without side; `part-<base>` is the key of its name.
    pub base: String,
    /// Side on which it sits.
    pub side: Side,
    /// What must be peeled away to see it.
    pub layer: Layer,
    /// Further layers in which it shows, as the open bed does from above.
    pub also: Vec<Layer>,
    /// What it does.
    pub role: Role,
    /// Material family.
    pub family: Family,
    /// Temper in the usual notation; empty where it does not apply.
    pub temper: String,
    /// Sheet or wall thickness in millimetres.
    pub thickness_mm: f64,
    /// How it is made.
    pub form: Form,
    /// Its outline in each view in which it shows.
    pub shapes: BTreeMap<View, Area>,
    /// Pressed feature lines a view.
    pub lines: BTreeMap<View, Vec<Line>>,
    /// Drawn detail a view; never measured.
    pub details: BTreeMap<View, Vec<Line>>,
    /// Free words that rules ask for: `painted`, `hem`, `sensor`, `intrusion-beam`.
    pub tags: Vec<String>,
    /// Reach to its back.
    pub behind: Behind,
    /// Access work that opens its back, when covered.
    pub uncover: Vec<AccessId>,
    /// Access work that must come first when it is sectioned or replaced.
    pub access: Vec<AccessId>,
    /// Areas through which no cut may run.
    pub no_cut: Vec<NoCut>,
    /// Permitted cut lines and the cells between them, if it may be sectioned at all.
    pub sections: Option<Sections>,
    /// Factory joints, seen from this part; each stands with both parts.
    pub joints: Vec<Joint>,
    /// Where its damage pushes next.
    pub load: Vec<Load>,
}

/// An area through which no cut may run.
#[derive(Clone, Debug)]
pub struct NoCut {
    /// Why.
    pub kind: NoCutKind,
    /// View in which the outline is given.
    pub view: View,
    /// Outline.
    pub area: Area,
    /// Distance in millimetres that a cut line must keep.
    pub clear_mm: f64,
}

/// How a part may be divided.
#[derive(Clone, Debug)]
pub struct Sections {
    /// View in which cut lines and cells are given.
    pub view: View,
    /// Permitted cut lines.
    pub cuts: Vec<Cut>,
    /// Cells between them.
    pub cells: Vec<Cell>,
    /// Sections that are sold besides the whole part: name and the cells that each covers.
    pub service: Vec<ServiceSection>,
    /// Where factory joints of the part end, in the same view; a cut line keeps away from them.
    pub joint_ends: Vec<JointEnd>,
}

/// Where a factory joint ends.
#[derive(Clone, Debug, PartialEq)]
pub struct JointEnd {
    /// The part that is joined there.
    pub to: PartId,
    /// The place.
    pub at: Point,
}

/// A permitted cut line.
#[derive(Clone, Debug)]
pub struct Cut {
    /// Id within the part.
    pub id: CutId,
    /// Straight line across the part, first to last point.
    pub line: (Point, Point),
    /// How far the line may move to either side, mm.
    pub window_mm: f64,
    /// How the ends meet.
    pub join: Join,
    /// Width of the backing sleeve or of the overlap, mm.
    pub sleeve_mm: f64,
    /// Ways to join that the part permits here.
    pub routes: Vec<Route>,
    /// Length of the line within the part, mm.
    pub length_mm: f64,
}

/// A piece of a part between cut lines.
#[derive(Clone, Debug)]
pub struct Cell {
    /// Id within the part.
    pub id: CellId,
    /// Its outline.
    pub area: Area,
    /// Cuts that bound it, with the cell beyond and the shared length in mm.
    pub borders: Vec<Border>,
}

/// The border of a cell along a cut line.
#[derive(Clone, Debug, PartialEq)]
pub struct Border {
    /// Cut line.
    pub cut: CutId,
    /// Its place among the cut lines of the part.
    pub cut_at: usize,
    /// Cell on the other side.
    pub beyond: CellId,
    /// Its place among the cells of the part.
    pub beyond_at: usize,
    /// Whether this cell lies to the left of the line's direction.
    pub left: bool,
    /// Length shared with it, mm.
    pub length_mm: f64,
    /// Where along the line the border begins and ends, mm from the line's first point.
    pub span_mm: (f64, f64),
}

/// A section that is sold.
#[derive(Clone, Debug, PartialEq)]
pub struct ServiceSection {
    /// Id within the part.
    pub id: String,
    /// Cells that it covers.
    pub cells: Vec<CellId>,
}

/// A factory joint seen from one of its two parts.
#[derive(Clone, Debug)]
pub struct Joint {
    /// The other part.
    pub to: PartId,
    /// Kind.
    pub kind: JointKind,
    /// Whether structural adhesive runs in it too.
    pub adhesive: bool,
    /// Length, mm.
    pub length_mm: f64,
    /// Distance between fasteners, mm; 0 where there are none.
    pub pitch_mm: f64,
    /// Sheet thicknesses, outermost first, mm.
    pub stack_mm: Vec<f64>,
}

/// Where damage to a part pushes next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Load {
    /// The part reached.
    pub to: PartId,
    /// In which direction.
    pub direction: Direction,
}

/// Work that only makes room for other work.
#[derive(Clone, Debug)]
pub struct AccessWork {
    /// Id with side.
    pub id: AccessId,
    /// Id without side; `access-<base>` is the key of its name.
    pub base: String,
    /// Side.
    pub side: Side,
    /// Parts that it takes off.
    pub removes: Vec<PartId>,
    /// Access work that must come first.
    pub after: Vec<AccessId>,
    /// Bolts, connectors and clips to undo.
    pub units: Units,
    /// Cautions that belong to it.
    pub cautions: Vec<Caution>,
}

/// What access work undoes, by count.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Units {
    /// Bolts, nuts and screws.
    pub bolts: u32,
    /// Electrical connectors and lines.
    pub connectors: u32,
    /// Clips.
    pub clips: u32,
}

impl Book {
    /// The part with this id.
    pub fn part(&self, id: &PartId) -> Option<&Part> {
        self.index.get(id).map(|at| &self.parts[*at])
    }

    /// Parts that show in a view when everything outside `layer` is peeled away, in paint order. What shows in a further
    /// layer, as the open bed does, shows there from above and from the ends; from the side an outer panel covers it.
    pub fn shown(&self, view: View, layer: Layer) -> impl Iterator<Item = &Part> {
        let open = !matches!(view, View::Left | View::Right);
        self.parts.iter().filter(move |part| {
            (part.layer == layer || (open && part.also.contains(&layer))) && part.shapes.contains_key(&view)
        })
    }
}

impl Part {
    /// The part's name in words, with its side where there is one on each: "Left fender", "Roof".
    pub fn name(&self) -> String {
        named(&format!("part-{}", self.base), self.side, self.id.as_str() != self.base)
    }

    /// The part's name as it stands within a sentence: "left fender".
    pub fn name_within(&self) -> String {
        use crate::words::{Language, say, word};
        let name = word(&format!("part-{}", self.base));
        if self.id.as_str() == self.base {
            return name;
        }
        let side = word(self.side.key()).to_lowercase();
        say(Language::English, "name-with-side", &[("side", &side), ("name", &name)])
    }

    /// Whether the part carries this tag.
    pub fn has(&self, tag: &str) -> bool {
        self.tags.iter().any(|known| known == tag)
    }

    /// Centre of the part in the vehicle's frame, from the views that show it: (x, y, z) in mm.
    pub fn centre(&self) -> (f64, f64, f64) {
        let (mut sum, mut count) = ([0.0; 3], [0.0_f64; 3]);
        for (view, area) in &self.shapes {
            let centre = area.bounds().centre();
            for (axis, value) in [(view.plane().0, centre.a), (view.plane().1, centre.b)] {
                sum[axis] += value;
                count[axis] += 1.0;
            }
        }
        let mean = |axis: usize| if count[axis] > 0.0 { sum[axis] / count[axis] } else { 0.0 };
        let y = if count[1] > 0.0 {
            mean(1)
        } else {
            match self.side {
                Side::Left => 800.0,
                Side::Right => -800.0,
                Side::Centre => 0.0,
            }
        };
        (mean(0), y, mean(2))
    }
}

impl Joint {
    /// How many fasteners it has: one at each end and at each pitch between; 0 where there is no pitch.
    pub fn pieces(&self) -> u32 {
        let pieces = if self.pitch_mm > 0.0 { self.length_mm / self.pitch_mm + 1.0 } else { 0.0 };
        // Joints are shorter than the vehicle and pitches longer than a millimetre.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let pieces = pieces.min(100_000.0) as u32;
        pieces
    }
}

impl AccessWork {
    /// The work's name in words, with its side where there is one on each.
    pub fn name(&self) -> String {
        named(&format!("access-{}", self.base), self.side, self.id.as_str() != self.base)
    }
}

/// The name behind a key; one of a pair gets its side.
fn named(key: &str, side: Side, pair: bool) -> String {
    use crate::words::{Language, say, word};
    let name = word(key);
    if pair {
        return say(Language::English, "name-with-side", &[("side", &word(side.key())), ("name", &name)]);
    }
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

impl View {
    /// The two axes of the view's plane: 0 = x, 1 = y, 2 = z.
    pub fn plane(self) -> (usize, usize) {
        match self {
            Self::Left | Self::Right => (0, 2),
            Self::Front | Self::Rear => (1, 2),
            Self::Top | Self::Underside => (0, 1),
        }
    }

    /// Signs that turn vehicle coordinates into screen coordinates (first to the right, second down) as a person
    /// standing there sees them; from above and from below the front of the truck is at the left.
    pub fn screen_signs(self) -> (f64, f64) {
        match self {
            Self::Left | Self::Front => (1.0, -1.0),
            Self::Right | Self::Rear => (-1.0, -1.0),
            Self::Top => (1.0, 1.0),
            Self::Underside => (1.0, -1.0),
        }
    }

    /// A point of the vehicle as a point of the screen, both in mm.
    pub fn to_screen(self, point: Point) -> Point {
        let (a, b) = self.screen_signs();
        Point { a: point.a * a, b: point.b * b }
    }
}

/// The built-in description: a generic, invented aluminium-bodied pickup.
///
/// # Panics
/// Never in a release: a test reads and resolves it.
pub fn generic_description() -> &'static read::Description {
    static DESCRIPTION: std::sync::OnceLock<read::Description> = std::sync::OnceLock::new();
    DESCRIPTION.get_or_init(|| {
        let text = include_str!("../../data/book/generic-pickup.json");
        read::Description::read(text).unwrap_or_else(|error| panic!("the built-in body book is broken: {error}"))
    })
}

/// The built-in book for one body, resolved once.
///
/// # Panics
/// Never in a release: a test resolves every body.
pub fn generic(body: Body) -> &'static Book {
    use std::sync::{Mutex, OnceLock};
    static BOOKS: OnceLock<Mutex<BTreeMap<Body, &'static Book>>> = OnceLock::new();
    let books = BOOKS.get_or_init(Mutex::default);
    let mut books = books.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    books.entry(body).or_insert_with(|| {
        let book = generic_description()
            .resolve(body)
            .unwrap_or_else(|error| panic!("the built-in body book is broken: {error}"));
        // Nine bodies at most, kept for the life of the program.
        Box::leak(Box::new(book))
    })
}
