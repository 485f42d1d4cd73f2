//! The joint map: where on the part each fastener, bead, stitch and zone lies, as shapes and words in true millimetres.
//!
//! One source for the screen, the file and the template on paper: [`super::ink`] writes it down, [`super::sheets`] cuts it
//! into pages. Each kind of fastener has a shape and a letter of its own; colour says nothing by itself. Draws what
//! [`super::plan`] found and nothing else.

use super::layout::beside;
use super::place::slice;
use super::{JointPlan, What};
use crate::catalogue::{Book, Part};
use crate::geometry::{Area, Bounds, Point};
use crate::ids::PartId;
use crate::terms::{JointKind, View};
use crate::words::{Language, say, word};

/// Room between two hatch lines on paper, mm.
const HATCH_MM: f64 = 3.0;
/// Width of a letter over its size, for keeping words off each other.
const LETTER: f64 = 0.7;

/// One map: a part in one view with its joints there.
pub struct Map<'p> {
    /// The part.
    pub part: &'p Part,
    /// The view.
    pub view: View,
    /// Its joints with their number within the part, from 1.
    pub joints: Vec<(usize, &'p JointPlan)>,
}

/// How large things are drawn that have no size of their own: for paper at true size, or for a screen that shows the
/// truck smaller.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ink {
    /// Least radius of a fastener's mark, mm on the truck; fasteners that would touch are drawn smaller.
    pub mark_mm: f64,
    /// Size of words, mm on the truck.
    pub text_mm: f64,
    /// Width of the thinnest line, mm on the truck.
    pub line_mm: f64,
    /// Whether words that would lie on others are left out.
    pub thins_out: bool,
}

impl Ink {
    /// Paper at true size.
    pub const TRUE: Self = Self { mark_mm: 0.0, text_mm: 3.0, line_mm: 0.3, thins_out: false };

    /// A screen that shows a millimetre of the truck as so many CSS pixels.
    pub fn screen(px_per_mm: f64) -> Self {
        Self { mark_mm: 8.0 / px_per_mm, text_mm: 14.0 / px_per_mm, line_mm: 1.0 / px_per_mm, thins_out: true }
    }

    /// Paper that shows a millimetre of the truck as so many millimetres.
    pub fn paper(scale: f64) -> Self {
        Self { mark_mm: 1.4 / scale, text_mm: 3.0 / scale, line_mm: 0.25 / scale, thins_out: true }
    }
}

/// What a shape is; its word is its class in SVG.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// The part's outline.
    Part,
    /// Its bends.
    Bend,
    /// A strip that adhesive fills: nothing may be heated here any more.
    Bonded,
    /// The zone that a weld softens: nothing that heat harms may stay here.
    Heated,
    /// Hatch of such a zone.
    Hatch,
    /// A factory joint.
    Factory,
    /// A cut line.
    Cut,
    /// A run of adhesive.
    Bead,
    /// A stitch of weld.
    Stitch,
    /// A fastener.
    Fastener,
}

/// One shape, in screen millimetres of its view.
pub struct Shape {
    /// What it is.
    pub look: Look,
    /// SVG path.
    pub path: String,
    /// What it covers.
    pub bounds: Bounds,
    /// Place of its spot in [`Drawing::spots`].
    pub spot: Option<usize>,
    /// The fastener's kind, in a word.
    pub kind: &'static str,
    /// Number of its joint on the map; 0 where it belongs to none.
    pub joint: usize,
}

/// Some words, in screen millimetres.
pub struct Label {
    /// The words.
    pub text: String,
    /// Where they start, on their baseline; their middle for one that names a joint.
    pub at: Point,
    /// Their size over that of other words.
    pub size: f64,
    /// Whether it names a joint rather than a thing of it.
    pub names: bool,
}

/// Something of which one can read more.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Number of its joint on the map.
    pub joint: usize,
    /// Its number within the joint: the order of work.
    pub number: u32,
    /// Where its middle lies, screen mm.
    pub at: Point,
    /// What stands beside it on the map: letter, joint, number.
    pub label: String,
    /// Whether it is a stitch of weld and no fastener.
    pub stitch: bool,
}

impl Drawing {
    /// What a joint covers, screen mm; `None` where the map does not show it.
    pub fn reach(&self, joint: usize) -> Option<Bounds> {
        let own = self.lines.iter().filter(|(number, _)| *number == joint);
        Bounds::of(&own.flat_map(|(_, line)| line.iter().copied()).collect::<Vec<_>>())
    }
}

/// A map as shapes and words.
pub struct Drawing {
    /// The part.
    pub part: PartId,
    /// The view.
    pub view: View,
    /// Its heading.
    pub title: String,
    /// What it covers: part and joints, screen mm.
    pub bounds: Bounds,
    /// The lines of the joints, screen mm, each with the joint's number.
    pub lines: Vec<(usize, Vec<Point>)>,
    /// Shapes, the lowest first.
    pub shapes: Vec<Shape>,
    /// Words.
    pub labels: Vec<Label>,
    /// What can be read about, by joint and order of work.
    pub spots: Vec<Spot>,
    /// By which ink it is drawn.
    pub ink: Ink,
}

/// The picked joints with their numbers: from 1 for each part, whatever view shows them.
pub fn numbered(plans: &[JointPlan]) -> impl Iterator<Item = (usize, &JointPlan)> {
    let mut known: Vec<(&PartId, usize)> = Vec::new();
    plans.iter().filter(|plan| plan.picked).map(move |plan| {
        if let Some((_, count)) = known.iter_mut().find(|(part, _)| **part == plan.part) {
            *count += 1;
            return (*count, plan);
        }
        known.push((&plan.part, 1));
        (1, plan)
    })
}

/// The maps of a job's picked joints, or only those of one part: a map for each part and view, in the order of the plans.
pub fn maps<'p>(book: &'p Book, plans: &'p [JointPlan], only: Option<&PartId>) -> Vec<Map<'p>> {
    let mut out: Vec<Map<'p>> = Vec::new();
    for (number, plan) in numbered(plans).filter(|(_, plan)| only.is_none_or(|part| *part == plan.part)) {
        let (Some(lies), Some(part)) = (&plan.lies, book.part(&plan.part)) else { continue };
        match out.iter_mut().find(|map| map.part.id == part.id && map.view == lies.view) {
            Some(map) => map.joints.push((number, plan)),
            None => out.push(Map { part, view: lies.view, joints: vec![(number, plan)] }),
        }
    }
    out
}

/// A map as shapes and words by that ink.
pub fn drawing(map: &Map<'_>, ink: Ink) -> Drawing {
    let title =
        say(Language::English, "joint-map-title", &[("part", &map.part.name()), ("view", &word(map.view.key()))]);
    let mut pen = Pen {
        view: map.view,
        out: Drawing {
            part: map.part.id.clone(),
            view: map.view,
            title,
            bounds: Bounds { low: Point::default(), high: Point::default() },
            lines: Vec::new(),
            shapes: Vec::new(),
            labels: Vec::new(),
            spots: Vec::new(),
            ink,
        },
        joint: 0,
    };
    if let Some(area) = map.part.shapes.get(&map.view) {
        pen.rings(Look::Part, &area.points());
    }
    for line in map.part.lines.get(&map.view).into_iter().flatten() {
        pen.line(Look::Bend, line.points(), None);
    }
    for (number, plan) in &map.joints {
        pen.joint = *number;
        pen.zones(plan);
    }
    for (number, plan) in &map.joints {
        pen.joint = *number;
        pen.lines(plan);
    }
    for (number, plan) in &map.joints {
        pen.joint = *number;
        pen.fasteners(plan);
    }
    pen.finish()
}

/// The zone to each side of a weld that heat softens: nothing that heat harms may lie in it.
pub fn heat_zones(plan: &JointPlan) -> Vec<Area> {
    let (Some(seam), Some(lies)) = (&plan.weld, &plan.lies) else { return Vec::new() };
    lies.runs.iter().filter_map(|run| Area::stroke(&run.points, 2.0 * seam.haz_mm)).collect()
}

/// The strips that adhesive fills: once it is there nothing may be heated beside it.
pub fn bonded_zones(plan: &JointPlan) -> Vec<Area> {
    let (Some(_), Some(lies)) = (&plan.adhesive, &plan.lies) else { return Vec::new() };
    let (near, far) = (plan.width_mm / 2.0, plan.width_mm);
    let strip = |run: &super::place::Run| {
        let (one, other) = if run.inside == 0.0 { (-near, near) } else { (0.0, run.inside * far) };
        let mut ring = aside(&run.points, one);
        ring.extend(aside(&run.points, other).into_iter().rev());
        Area::from_points(&ring)
    };
    lies.runs.iter().filter_map(strip).collect()
}

/// The spot nearest to a point, no further away than that; the earlier one of equals.
pub fn nearest(spots: &[Spot], at: Point, reach_mm: f64) -> Option<usize> {
    let away = spots.iter().map(|spot| spot.at.distance(at)).enumerate().filter(|(_, away)| *away <= reach_mm);
    away.min_by(|one, other| one.1.total_cmp(&other.1)).map(|(at, _)| at)
}

/// The first letter of a fastener's mark: pierced, blind, solid, threaded.
pub fn letter(kind: JointKind) -> &'static str {
    match kind {
        JointKind::SelfPiercingRivet => "P",
        JointKind::StructuralBlindRivet => "B",
        JointKind::SolidRivet => "S",
        _ => "T",
    }
}

/// The shape of a fastener's mark as an SVG path: pierced a circle with a cross, blind a triangle, solid a square, bolt a
/// hexagon; no two alike in outline.
pub fn mark(kind: JointKind, at: Point, radius: f64) -> String {
    let (x, y, r) = (at.a, at.b, radius);
    let ring = |count: u8, turn: f64| {
        let corner = |n: u8| {
            let (sin, cos) = (f64::from(n) * std::f64::consts::TAU / f64::from(count) + turn).sin_cos();
            format!("{}{:.2} {:.2}", if n == 0 { 'M' } else { 'L' }, x + r * cos, y + r * sin)
        };
        (0..count).map(corner).collect::<String>() + "Z"
    };
    match kind {
        JointKind::SelfPiercingRivet => format!(
            "M{:.2} {y:.2}A{r:.2} {r:.2} 0 1 0 {:.2} {y:.2}A{r:.2} {r:.2} 0 1 0 {:.2} {y:.2}ZM{:.2} {y:.2}H{:.2}M{x:.2} {:.2}V{:.2}",
            x - r,
            x + r,
            x - r,
            x - r,
            x + r,
            y - r,
            y + r
        ),
        JointKind::StructuralBlindRivet => ring(3, -std::f64::consts::FRAC_PI_2),
        JointKind::SolidRivet => ring(4, std::f64::consts::FRAC_PI_4),
        _ => ring(6, 0.0),
    }
}

/// Draws a map.
struct Pen {
    view: View,
    out: Drawing,
    joint: usize,
}

impl Pen {
    fn shape(&mut self, look: Look, path: String, bounds: Bounds) -> &mut Shape {
        let shape = Shape { look, path, bounds, spot: None, kind: "", joint: self.joint };
        self.out.shapes.push(shape);
        self.out.shapes.last_mut().unwrap_or_else(|| unreachable!("just pushed"))
    }

    fn line(&mut self, look: Look, points: &[Point], spot: Option<usize>) {
        let points: Vec<Point> = points.iter().map(|point| self.view.to_screen(*point)).collect();
        if let Some(bounds) = Bounds::of(&points) {
            let path = path_of(&points, false);
            self.shape(look, path, bounds).spot = spot;
        }
    }

    fn rings(&mut self, look: Look, rings: &[Vec<Point>]) -> Vec<Vec<Point>> {
        let turned: Vec<Vec<Point>> =
            rings.iter().map(|ring| ring.iter().map(|point| self.view.to_screen(*point)).collect()).collect();
        let path = turned.iter().map(|ring| path_of(ring, true)).collect();
        if let Some(bounds) = Bounds::of(&turned.concat()) {
            self.shape(look, path, bounds);
        }
        turned
    }

    /// The zones that must stay cold, each with its hatch: heated ones rise to the right, bonded ones to the left.
    fn zones(&mut self, plan: &JointPlan) {
        let room = HATCH_MM.max(9.0 * self.out.ink.line_mm);
        for (look, zones, rise) in [(Look::Bonded, bonded_zones(plan), 1.0), (Look::Heated, heat_zones(plan), -1.0)] {
            for zone in zones {
                let rings = self.rings(look, &zone.points());
                if let Some(bounds) = Bounds::of(&rings.concat()) {
                    let path = hatch(&rings, &bounds, room, rise);
                    self.shape(Look::Hatch, path, bounds);
                }
            }
        }
    }

    /// The lines of a joint, its beads and its stitches.
    fn lines(&mut self, plan: &JointPlan) {
        let Some(lies) = &plan.lies else { return };
        let cut = !matches!(plan.what, What::Factory(_));
        let mut before = 0;
        for (at, run) in lies.runs.iter().enumerate() {
            self.line(if cut { Look::Cut } else { Look::Factory }, &run.points, None);
            if let Some(bead) = &plan.adhesive {
                let quarter = plan.width_mm / 4.0;
                let beads = if bead.beads > 1 { vec![-quarter, quarter] } else { vec![run.inside * quarter] };
                for left in beads {
                    self.line(Look::Bead, &aside(&run.points, left), None);
                }
            }
            let stitches = plan.weld.as_ref().and_then(|seam| seam.stitches.get(at)).map_or(&[][..], Vec::as_slice);
            for stitch in stitches {
                let (low, high) = (stitch.from_mm.min(stitch.to_mm), stitch.from_mm.max(stitch.to_mm));
                let points = slice(&run.points, low / lies.stretch + 1.0, high / lies.stretch - 1.0);
                let middle = slice(&run.points, f64::midpoint(low, high) / lies.stretch, high / lies.stretch)[0];
                let spot = self.spot(before + stitch.order, middle, "W", true);
                self.line(Look::Stitch, &points, Some(spot));
            }
            before += u32::try_from(stitches.len()).unwrap_or(0);
        }
        for run in &lies.runs {
            let line = run.points.iter().map(|point| self.view.to_screen(*point)).collect();
            self.out.lines.push((self.joint, line));
        }
        if let Some(run) = lies.runs.first() {
            let middle = self.view.to_screen(slice(&run.points, run.length() / 2.0, run.length())[0]);
            let name = Label { text: self.joint.to_string(), at: middle, size: 1.5, names: true };
            self.out.labels.push(name);
        }
    }

    fn fasteners(&mut self, plan: &JointPlan) {
        let Some(used) = &plan.fastener else { return };
        let gap =
            plan.fasteners.iter().map(|one| one.pitch_mm).filter(|pitch| *pitch > 0.0).fold(f64::INFINITY, f64::min);
        let own = used.diameter_mm / 2.0;
        let radius = own.max(self.out.ink.mark_mm.min(0.4 * gap));
        for placed in &plan.fasteners {
            let spot = self.spot(placed.number, placed.point, letter(used.kind), false);
            let at = self.out.spots[spot].at;
            let shape = self.shape(Look::Fastener, mark(used.kind, at, radius), square(at, radius));
            (shape.spot, shape.kind) = (Some(spot), used.kind.word());
        }
    }

    fn spot(&mut self, number: u32, at: Point, letter: &str, stitch: bool) -> usize {
        let at = self.view.to_screen(at);
        let label = format!("{letter}{}.{number}", self.joint);
        self.out.spots.push(Spot { joint: self.joint, number, at, label, stitch });
        self.out.spots.len() - 1
    }

    /// Puts the words beside what they name, off each other, and takes the bounds.
    fn finish(mut self) -> Drawing {
        let all = self.out.shapes.iter().map(|shape| shape.bounds).reduce(|one, other| one.join(&other));
        let marked = self.out.shapes.iter().filter(|shape| shape.look == Look::Fastener);
        let marks: Vec<Bounds> = marked.map(|shape| shape.bounds).collect();
        let mut taken = self.place_names(all.map_or(0.0, |all| all.centre().b), &marks);
        self.place_words(&mut taken, &marks);
        // What the words cover belongs to the drawing: a sheet cut to its bounds shows all of them.
        let all = all.map(|all| taken.iter().fold(all, |all, words| all.join(words)));
        if let Some(all) = all {
            self.out.bounds = Bounds {
                low: Point::new(all.low.a - 10.0, all.low.b - 10.0),
                high: Point::new(all.high.a + 10.0, all.high.b + 10.0),
            };
        }
        self.out
    }

    /// Puts each joint's number clear of its line, where no other stands, on the side where the drawing goes on; returns what
    /// they cover.
    fn place_names(&mut self, middle: f64, marks: &[Bounds]) -> Vec<Bounds> {
        let ink = self.out.ink;
        let half = ink.text_mm * 1.1;
        let away = 3.2 * ink.text_mm;
        let near = [(0.0, -1.0), (0.0, 1.0), (1.0, 0.0), (-1.0, 0.0), (0.8, -0.8), (0.0, -2.0), (0.0, 2.0)];
        let far = [(0.8, 0.8), (-0.8, -0.8), (-0.8, 0.8), (2.0, 0.0), (-2.0, 0.0), (1.6, -1.6), (-1.6, 1.6)];
        let mut taken: Vec<Bounds> = Vec::new();
        for mut name in std::mem::take(&mut self.out.labels) {
            let side = if name.at.b < middle { -1.0 } else { 1.0 };
            let at = |(a, b): &(f64, f64)| Point::new(name.at.a + a * away, name.at.b + side * b * away);
            let clear = |at: &Point, of: &[Bounds]| !of.iter().any(|known| known.near(&square(*at, half), 0.0));
            let own = || near.iter().map(at).filter(|at| clear(at, &taken));
            let place = own().find(|at| clear(at, marks)).or_else(|| own().next());
            // Where nothing may be left out, any place that no other number has.
            let place = place.or_else(|| far.iter().filter(|_| !ink.thins_out).map(at).find(|at| clear(at, &taken)));
            let Some(at) = place.or_else(|| (!ink.thins_out).then(|| at(&near[0]))) else { continue };
            taken.push(square(at, half));
            name.at = at;
            self.out.labels.push(name);
        }
        taken
    }

    /// Puts the word of each spot beside it, off the marks and off what is taken.
    fn place_words(&mut self, taken: &mut Vec<Bounds>, marks: &[Bounds]) {
        let ink = self.out.ink;
        for (spot, radius) in self.out.spots.iter().zip(self.radii()) {
            let aside = radius.unwrap_or(0.0) + 0.3 * ink.text_mm;
            #[allow(clippy::cast_precision_loss)] // a word has few letters
            let wide = spot.label.len() as f64 * LETTER * ink.text_mm;
            let high = ink.text_mm;
            let near = [(aside, 0.0), (aside, high), (-aside - wide, 0.0), (-aside - wide, high)];
            // Further off only where nothing may be left out: over and under the mark, then a line further.
            let (over, under) = (-aside - 0.2 * high, aside + 0.9 * high);
            let far = [
                (-wide / 2.0, over),
                (-wide / 2.0, under),
                (aside, -high),
                (aside, 2.0 * high),
                (-aside - wide, -high),
                (-aside - wide, 2.0 * high),
                (-wide / 2.0, over - high),
                (-wide / 2.0, under + high),
            ];
            let covers = |(a, b): (f64, f64)| {
                let (x, y) = (spot.at.a + a, spot.at.b + b);
                Bounds { low: Point::new(x, y - 0.8 * high), high: Point::new(x + wide, y + 0.1 * high) }
            };
            let clear = |place: &&(f64, f64), of: &[Bounds]| !of.iter().any(|known| known.near(&covers(**place), 0.0));
            let free = near.iter().find(|place| clear(place, taken) && clear(place, marks));
            // Where words may be left out none covers a mark: zooming in shows it, a tap says it.
            let free =
                free.or_else(|| far.iter().filter(|_| !ink.thins_out).find(|at| clear(at, taken) && clear(at, marks)));
            let all = || near.iter().chain(&far).filter(|_| !ink.thins_out);
            let Some(place) = free.or_else(|| all().find(|at| clear(at, taken))).or_else(|| all().next()).copied()
            else {
                continue;
            };
            taken.push(covers(place));
            let at = Point::new(spot.at.a + place.0, spot.at.b + place.1);
            self.out.labels.push(Label { text: spot.label.clone(), at, size: 1.0, names: false });
        }
    }

    /// Radius of the mark of each spot; none for a stitch.
    fn radii(&self) -> Vec<Option<f64>> {
        let mut radii = vec![None; self.out.spots.len()];
        for shape in self.out.shapes.iter().filter(|shape| shape.look == Look::Fastener) {
            if let Some(spot) = shape.spot {
                radii[spot] = Some(shape.bounds.width() / 2.0);
            }
        }
        radii
    }
}

/// A line moved to its left.
fn aside(points: &[Point], left: f64) -> Vec<Point> {
    let mut along = 0.0;
    let mut out = Vec::with_capacity(points.len());
    for pair in points.windows(2) {
        if out.is_empty() {
            out.push(beside(pair, 0.0, left));
        }
        along += pair[0].distance(pair[1]);
        out.push(beside(points, along, left));
    }
    out
}

fn square(at: Point, half: f64) -> Bounds {
    Bounds { low: Point::new(at.a - half, at.b - half), high: Point::new(at.a + half, at.b + half) }
}

fn path_of(points: &[Point], closed: bool) -> String {
    use std::fmt::Write as _;
    let mut out = String::new();
    for (at, point) in points.iter().enumerate() {
        let letter = if at == 0 { 'M' } else { 'L' };
        let _ = write!(out, "{letter}{:.1} {:.1}", point.a, point.b); // writing to a string cannot fail
    }
    if closed {
        out.push('Z');
    }
    out
}

/// Slanting lines within rings, so far apart; they rise to the left or to the right. Drawn as lines rather than as a
/// pattern so that every printer and plotter shows them.
fn hatch(rings: &[Vec<Point>], bounds: &Bounds, room: f64, rise: f64) -> String {
    use std::fmt::Write as _;
    // How far a point lies across the lines, and along them.
    let turn = std::f64::consts::FRAC_1_SQRT_2;
    let across = |p: Point| (p.a * rise + p.b) * turn;
    let along = |p: Point| (p.a - p.b * rise) * turn;
    let corners =
        [bounds.low, bounds.high, Point::new(bounds.low.a, bounds.high.b), Point::new(bounds.high.a, bounds.low.b)];
    let (from, to) = corners
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| (low.min(across(*p)), high.max(across(*p))));
    let mut out = String::new();
    let mut at = (from / room).ceil() * room;
    while at < to {
        let mut cuts: Vec<f64> = Vec::new();
        for pair in rings.iter().flat_map(|ring| ring.windows(2)) {
            let (one, other) = (across(pair[0]) - at, across(pair[1]) - at);
            if (one < 0.0) != (other < 0.0) {
                let share = one / (one - other);
                cuts.push(along(pair[0]) + share * (along(pair[1]) - along(pair[0])));
            }
        }
        cuts.sort_by(f64::total_cmp);
        let point = |t: f64| Point::new((at * rise + t) * turn, (at - t * rise) * turn);
        for pair in cuts.chunks_exact(2) {
            let (p, q) = (point(pair[0]), point(pair[1]));
            let _ = write!(out, "M{:.1} {:.1}L{:.1} {:.1}", p.a, p.b, q.a, q.b);
        }
        at += room;
    }
    out
}
