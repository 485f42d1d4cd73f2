//! Facts that follow from a resolved book alone and that plans ask for again and again: what takes a part off, what lies
//! beside it, how much of it there is.
//!
//! Worked out once a book, on first use. A copy of a book works them out anew, so that a changed copy never answers with
//! the facts of the original; a book must not be changed after its first use.

use super::{AccessWork, Book, Joint, Part, Units};
use crate::geometry::{Area, Bounds, Point};
use crate::ids::{AccessId, PartId};
use crate::terms::{Caution, Direction, JointKind, Layer, Role, View};
use std::sync::OnceLock;

/// Widest gap between two panels over which the eye compares their colour, mm. Common practice, no source.
const GAP_MM: f64 = 25.0;
/// How long two panels run side by side before the eye compares them, mm, or half of a small one. Common practice, no
/// source.
const SIDE_BY_SIDE_MM: f64 = 300.0;
/// Greatest sheet thickness of a panel whose colour is blended, mm: bumpers are thicker and set off by their form. Common
/// practice, no source.
const SKIN_MM: f64 = 1.8;
/// Distance between the points at which the gap between two panels is tried, mm.
const STEP_MM: f64 = 30.0;
/// Distance within which heat minds a part that holds fuel, mm. Common practice, no source.
const FUEL_NEAR_MM: f64 = 1_500.0;

/// Access work that makes restraints safe; an id of the book.
const RESTRAINTS_SAFE: &str = "restraints-safe";
/// Access work that makes the vehicle safe; ids of the book.
const SECURING: [&str; 2] = ["battery-off", RESTRAINTS_SAFE];

/// Where a book keeps its facts.
#[derive(Debug, Default)]
pub(crate) struct Kept(OnceLock<Facts>);

impl Clone for Kept {
    fn clone(&self) -> Self {
        Self::default()
    }
}

/// Facts of a book.
#[derive(Debug)]
pub struct Facts {
    /// One for each part, in paint order.
    pub parts: Vec<PartFacts>,
    /// One for each piece of access work, in the order of [`Book::access`].
    pub works: Vec<WorkFacts>,
    /// Access work that makes restraints safe.
    pub restraints: Reach,
}

/// Facts of one part. Access work is named by its place in [`Book::access`], parts by their place in [`Book::parts`].
#[derive(Debug, Default)]
pub struct PartFacts {
    /// [`Part::access`].
    pub access: Reach,
    /// [`Part::uncover`].
    pub uncover: Reach,
    /// Whether access work that the part itself asks for takes it off.
    pub comes_off: bool,
    /// Access work that takes out glass that is bonded to it.
    pub panes: Reach,
    /// One for each of [`Part::joints`].
    pub joints: Vec<JointFacts>,
    /// One for each of [`Part::load`] that leads to a part of the book: its place, and in which direction.
    pub load: Vec<(usize, Direction)>,
    /// [`Part::centre`].
    pub centre: (f64, f64, f64),
    /// Cautions that go with handling it as such.
    pub cautions: Vec<Caution>,
    /// Painted outer panels beside which a difference in colour may show.
    pub beside: Vec<Beside>,
    /// Whether a part that holds fuel is near.
    pub fuel_near: bool,
    /// Largest outline, mm².
    pub area_mm2: f64,
    /// Length of the edge of that outline, mm.
    pub edge_mm: f64,
    /// What is undone to take it off and done up to fit a new one.
    pub units: Units,
    /// What moves over to a new one from what comes off together with it, where access work takes it off.
    pub moved: Units,
    /// Length of its own bead, for bonded glass, mm.
    pub bead_mm: f64,
}

/// Access work that is asked for together.
#[derive(Debug, Default)]
pub struct Reach {
    /// What is asked for.
    pub direct: Vec<usize>,
    /// The same with all that it waits for, each once; what waits stands before what it waits for.
    pub all: Vec<usize>,
}

/// Facts of a factory joint, seen from one of its parts.
#[derive(Clone, Copy, Debug)]
pub struct JointFacts {
    /// The other part's place in [`Book::parts`].
    pub to: Option<usize>,
    /// [`Joint::pieces`](super::Joint::pieces).
    pub pieces: u32,
    /// Whether the other part is of another metal.
    pub mixed: bool,
}

/// A painted panel beside another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beside {
    /// Its place in [`Book::parts`].
    pub at: usize,
    /// The least gap between the outlines in a view that shows them side by side, mm; 0 where they meet or overlap.
    pub gap_mm: f64,
    /// Whether both face the same way: both lie flat, or both stand and face the same side, end or front.
    pub same_way: bool,
}

/// Facts of a piece of access work.
#[derive(Debug)]
pub struct WorkFacts {
    /// [`AccessWork::id`].
    pub id: AccessId,
    /// [`AccessWork::units`].
    pub units: Units,
    /// [`AccessWork::cautions`] and those that go with handling what it takes off.
    pub cautions: Vec<Caution>,
    /// Whether it makes the vehicle safe.
    pub secures: bool,
    /// Work that comes first.
    pub after: Vec<usize>,
    /// Parts that it takes off, by place.
    pub removes: Vec<usize>,
    /// Parts that it takes off and that no work before it took off: what goes back on with its way back.
    pub own: Vec<PartId>,
    /// Length of the beads of the glass that it takes out, mm.
    pub bead_mm: f64,
}

impl Book {
    /// The facts that follow from this book.
    pub fn facts(&self) -> &Facts {
        self.kept.0.get_or_init(|| Facts::of(self))
    }
}

impl Facts {
    fn of(book: &Book) -> Self {
        let works: Vec<&AccessWork> = book.access.values().collect();
        let place = |id: &AccessId| works.binary_search_by(|work| work.id.cmp(id)).ok();
        let places = |ids: &[AccessId]| -> Vec<usize> { ids.iter().filter_map(place).collect() };
        let works_facts: Vec<WorkFacts> = works
            .iter()
            .map(|work| {
                let own = work.removes.iter().filter(|part| !off_before(book, work, part));
                let panes = work.removes.iter().filter_map(|part| book.part(part));
                WorkFacts {
                    after: places(&work.after),
                    removes: work.removes.iter().filter_map(|part| book.index.get(part).copied()).collect(),
                    id: work.id.clone(),
                    units: work.units,
                    cautions: work.cautions.iter().copied().chain(panes.clone().flat_map(cautions)).collect(),
                    secures: SECURING.contains(&work.base.as_str()),
                    own: own.cloned().collect(),
                    bead_mm: panes.fold(0.0, |sum, pane| sum + bead(pane)),
                }
            })
            .collect();
        let fuel: Vec<_> = book.parts.iter().filter(|part| part.has("fuel")).map(Part::centre).collect();
        let spans: Vec<_> = book.parts.iter().map(span).collect();
        let parts = book
            .parts
            .iter()
            .enumerate()
            .map(|(at, part)| {
                let here = part.centre();
                let far = |there: &(f64, f64, f64)| {
                    let (x, y, z) = (here.0 - there.0, here.1 - there.1, here.2 - there.2);
                    x * x + y * y + z * z
                };
                let taken = part.access.iter().filter_map(|id| book.access.get(id));
                let taken = taken.filter(|work| work.removes.contains(&part.id)).last();
                let glued = part.joints.iter().filter(|joint| joint.kind == JointKind::BondedGlass);
                let panes = glued
                    .flat_map(|joint| (0..works.len()).filter(|work| works[*work].removes.contains(&joint.to)))
                    .collect();
                let beside = |other: usize| {
                    let there = &book.parts[other];
                    if other == at || !panel(there) || !spans_meet(&spans[at], &spans[other]) {
                        return None;
                    }
                    let same_way = facing(part).is_some_and(|view| Some(view) == facing(there));
                    Some(Beside { at: other, gap_mm: gap_mm(part, there)?, same_way })
                };
                let largest = part.shapes.values().max_by(|one, other| one.size().total_cmp(&other.size()));
                PartFacts {
                    access: Reach::of(&works_facts, places(&part.access)),
                    uncover: Reach::of(&works_facts, places(&part.uncover)),
                    comes_off: taken.is_some(),
                    panes: Reach::of(&works_facts, panes),
                    joints: part.joints.iter().map(|joint| JointFacts::of(book, part, joint)).collect(),
                    load: part.load.iter().filter_map(|one| Some((*book.index.get(&one.to)?, one.direction))).collect(),
                    centre: here,
                    cautions: cautions(part),
                    beside: if panel(part) { (0..book.parts.len()).filter_map(beside).collect() } else { Vec::new() },
                    fuel_near: fuel.iter().any(|there| far(there) < FUEL_NEAR_MM * FUEL_NEAR_MM),
                    area_mm2: largest.map_or(0.0, |area| area.size()),
                    edge_mm: largest.map_or(0.0, |area| area.edge_length()),
                    units: match taken {
                        Some(work) if work.removes.len() == 1 => work.units,
                        _ => units(book, part),
                    },
                    moved: taken.map_or_else(Units::default, |work| moved(work, part)),
                    bead_mm: bead(part),
                }
            })
            .collect();
        let safe = (0..works.len()).filter(|at| works[*at].base == RESTRAINTS_SAFE).collect();
        Self { parts, restraints: Reach::of(&works_facts, safe), works: works_facts }
    }
}

impl Reach {
    /// Of work that is asked for, by the facts of all work.
    fn of(works: &[WorkFacts], direct: Vec<usize>) -> Self {
        fn add(works: &[WorkFacts], place: usize, all: &mut Vec<usize>) {
            if !all.contains(&place) {
                all.push(place);
                works[place].after.iter().for_each(|first| add(works, *first, all));
            }
        }
        let mut all = Vec::new();
        direct.iter().for_each(|place| add(works, *place, &mut all));
        Self { direct, all }
    }
}

impl JointFacts {
    fn of(book: &Book, part: &Part, joint: &Joint) -> Self {
        let to = book.index.get(&joint.to).copied();
        let mixed = to.is_some_and(|to| book.parts[to].family.metal() != part.family.metal());
        Self { to, pieces: joint.pieces(), mixed }
    }
}

/// Cautions that go with handling a part as such.
fn cautions(part: &Part) -> Vec<Caution> {
    [("restraint", Caution::Restraints), ("fuel", Caution::Fuel), ("high-voltage", Caution::HighVoltage)]
        .into_iter()
        .filter(|(tag, _)| part.has(tag))
        .map(|(_, caution)| caution)
        .chain((part.role == Role::Glass).then_some(Caution::Glass))
        .collect()
}

/// Whether work for which this work waits takes the part off.
fn off_before(book: &Book, work: &AccessWork, part: &PartId) -> bool {
    let earlier = work.after.iter().filter_map(|id| book.access.get(id));
    earlier.into_iter().any(|earlier| earlier.removes.contains(part) || off_before(book, earlier, part))
}

/// Length of the bead of bonded glass, mm.
fn bead(part: &Part) -> f64 {
    if part.role != Role::Glass {
        return 0.0;
    }
    let beads = part.joints.iter().filter(|joint| joint.kind == JointKind::BondedGlass);
    beads.fold(0.0, |sum, joint| sum + joint.length_mm)
}

/// Bolts and clips of a part, from its joints with parts that its access work leaves in place.
fn units(book: &Book, part: &Part) -> Units {
    let off = |other: &PartId| {
        let works = part.access.iter().filter_map(|id| book.access.get(id));
        works.into_iter().any(|work| {
            (work.removes.contains(other) && !work.removes.contains(&part.id)) || off_before(book, work, other)
        })
    };
    let mut units = Units { bolts: 0, connectors: u32::from(part.has("wiring")), clips: 0 };
    for joint in part.joints.iter().filter(|joint| !off(&joint.to)) {
        match joint.kind {
            JointKind::Bolt => units.bolts += joint.pieces(),
            JointKind::Clip => units.clips += joint.pieces(),
            _ => {}
        }
    }
    units
}

/// Bolts and clips between a part and what the same work takes off with it: the lamp in the bumper, the glass in the
/// door. All else between them and the truck is undone by that work and done up by its way back.
fn moved(work: &AccessWork, part: &Part) -> Units {
    let mut units = Units::default();
    for joint in part.joints.iter().filter(|joint| joint.to != part.id && work.removes.contains(&joint.to)) {
        match joint.kind {
            JointKind::Bolt => units.bolts += joint.pieces(),
            JointKind::Clip => units.clips += joint.pieces(),
            _ => {}
        }
    }
    units
}

/// A painted outer panel: what is blended and beside what one blends.
fn panel(part: &Part) -> bool {
    let outer = matches!(part.role, Role::BoltedOuter | Role::BondedOuter | Role::Closure);
    outer && part.layer == Layer::Skin && part.has("painted") && part.thickness_mm <= SKIN_MM
}

/// From where to where a part reaches along x, y and z, mm; unbounded along an axis that no view shows.
fn span(part: &Part) -> [(f64, f64); 3] {
    let mut span = [(f64::NEG_INFINITY, f64::INFINITY); 3];
    for (view, area) in &part.shapes {
        let (low, high) = (area.bounds().low, area.bounds().high);
        let (first, second) = view.plane();
        for (axis, from, to) in [(first, low.a, high.a), (second, low.b, high.b)] {
            let known = span[axis];
            span[axis] = if known.0.is_finite() { (known.0.min(from), known.1.max(to)) } else { (from, to) };
        }
    }
    span
}

fn spans_meet(one: &[(f64, f64); 3], other: &[(f64, f64); 3]) -> bool {
    one.iter().zip(other).all(|(one, other)| one.0 <= other.1 + GAP_MM && other.0 <= one.1 + GAP_MM)
}

/// The view that shows most of a panel: the way that it faces.
fn facing(part: &Part) -> Option<View> {
    part.shapes.iter().max_by(|one, other| one.1.size().total_cmp(&other.1.size())).map(|(view, _)| *view)
}

/// The least gap in the views in which the outlines run side by side; `None` where no view shows that.
fn gap_mm(part: &Part, other: &Part) -> Option<f64> {
    let gaps = View::ALL.iter().filter_map(|view| {
        let (one, other) = (part.shapes.get(view)?, other.shapes.get(view)?);
        let enough = SIDE_BY_SIDE_MM.min(0.5 * one.extent().min(other.extent()));
        let (length, gap) = one.bounds().near(&other.bounds(), GAP_MM).then(|| beside_mm(one, other))?;
        (length >= enough).then_some(gap)
    });
    gaps.reduce(f64::min)
}

/// How far those points of the other outline reach that lie within the gap of this one, and the least gap there, mm.
fn beside_mm(one: &Area, other: &Area) -> (f64, f64) {
    let bounds = one.bounds();
    let mut least = f64::INFINITY;
    let (mut low, mut high) =
        (Point::new(f64::INFINITY, f64::INFINITY), Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY));
    for ring in other.points() {
        for pair in ring.windows(2) {
            let steps = (pair[0].distance(pair[1]) / STEP_MM).ceil().max(1.0);
            let mut step = 0.0;
            while step < steps {
                let share = step / steps;
                let at = Point::new(
                    pair[0].a + (pair[1].a - pair[0].a) * share,
                    pair[0].b + (pair[1].b - pair[0].b) * share,
                );
                step += 1.0;
                if !(Bounds { low: at, high: at }.near(&bounds, GAP_MM)) {
                    continue;
                }
                let gap = one.distance_to_point(at);
                if gap <= GAP_MM {
                    least = least.min(gap);
                    (low.a, low.b) = (low.a.min(at.a), low.b.min(at.b));
                    (high.a, high.b) = (high.a.max(at.a), high.b.max(at.b));
                }
            }
        }
    }
    ((high.a - low.a).max(high.b - low.b), least)
}
