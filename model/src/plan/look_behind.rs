//! Where to look for hidden damage: along the load paths from what is hit, nearest first.
//!
//! Says where to look and how far the force may have gone; never says that something is damaged or sound.

use crate::catalogue::{Book, Part};
use crate::decide::Decision;
use crate::ids::PartId;
use crate::terms::{Direction, Inspection, MarkKind, Role};
use crate::words::{Language, say, word};
use std::borrow::Borrow;
use std::collections::{BTreeMap, VecDeque};

/// Distance beyond which only a part that touches the damaged one is looked at, mm. Common practice, no source.
const FAR_MM: f64 = 1_500.0;

/// A part that must be looked at before the plan can be trusted.
#[derive(Clone, Debug, PartialEq)]
pub struct LookBehind {
    /// The part to look at.
    pub part: PartId,
    /// The damaged part from which the force comes.
    pub from: PartId,
    /// The last step by which it comes.
    pub direction: Direction,
    /// The part over which it comes: the damaged one itself where they touch.
    pub over: PartId,
    /// Parts passed on the way, the part itself included.
    pub hops: u32,
    /// Distance between the middles of the two parts, mm.
    pub distance_mm: f64,
    /// What a person found there.
    pub state: Inspection,
}

/// One way by which force may have come to a part; parts by their place in the book.
struct Way {
    part: usize,
    from: usize,
    over: usize,
    direction: Direction,
    hops: u32,
    distance_mm: f64,
}

/// Every part that damage may have reached along the load paths, each once, nearest first: by parts passed, then by
/// distance. Parts that are marked already are left out; a part found damaged passes the search on by one part.
pub fn look_behind<D: Borrow<Decision>>(
    book: &Book,
    decisions: &[D],
    inspections: &BTreeMap<PartId, Inspection>,
) -> Vec<LookBehind> {
    let mut graph = Graph::new(book);
    for decision in decisions.iter().map(Borrow::borrow) {
        if let Some(at) = book.index.get(&decision.part) {
            graph.marked[*at] = true;
        }
    }
    for decision in decisions.iter().map(Borrow::borrow) {
        graph.walk(book.index.get(&decision.part), reach(book, decision));
    }
    for (part, state) in inspections {
        if *state == Inspection::Damaged {
            graph.walk(book.index.get(part).filter(|at| !graph.marked[**at]), 1);
        }
    }
    let mut ways: Vec<Way> = graph.found.into_iter().flatten().collect();
    ways.sort_by(|one, other| {
        let distance = one.distance_mm.total_cmp(&other.distance_mm);
        one.hops.cmp(&other.hops).then(distance).then_with(|| book.parts[one.part].id.cmp(&book.parts[other.part].id))
    });
    ways.iter()
        .map(|way| {
            let [part, from, over] = [way.part, way.from, way.over].map(|at| book.parts[at].id.clone());
            let state = inspections.get(&part).copied().unwrap_or(Inspection::NotYet);
            LookBehind {
                part,
                from,
                direction: way.direction,
                over,
                hops: way.hops,
                distance_mm: way.distance_mm,
                state,
            }
        })
        .collect()
}

/// The load paths of a body by the place of each part in the book.
struct Graph<'b> {
    book: &'b Book,
    marked: Vec<bool>,
    found: Vec<Option<Way>>,
}

impl<'b> Graph<'b> {
    fn new(book: &'b Book) -> Self {
        let count = book.parts.len();
        Self { book, marked: vec![false; count], found: (0..count).map(|_| None).collect() }
    }

    fn walk(&mut self, source: Option<&usize>, reach: u32) {
        let Some(source) = source.copied().filter(|_| reach > 0) else { return };
        let book = self.book;
        let facts = book.facts();
        let centre = facts.parts[source].centre;
        let mut seen = vec![false; book.parts.len()];
        seen[source] = true;
        let mut open: VecDeque<(usize, u32)> = VecDeque::from([(source, 0)]);
        while let Some((here, hops)) = open.pop_front() {
            if hops == reach {
                continue;
            }
            for (next, direction) in facts.parts[here].load.iter().copied() {
                if std::mem::replace(&mut seen[next], true) {
                    continue;
                }
                let part = &book.parts[next];
                // Trim and panes break off; they do not hand the load on.
                if !matches!(part.role, Role::Trim | Role::Glass) {
                    open.push_back((next, hops + 1));
                }
                if self.marked[next] {
                    continue;
                }
                let distance_mm = distance(centre, facts.parts[next].centre);
                if hops > 0 && distance_mm > FAR_MM {
                    continue;
                }
                let known = &mut self.found[next];
                if known.as_ref().is_none_or(|known| (hops + 1, distance_mm) < (known.hops, known.distance_mm)) {
                    *known = Some(Way { part: next, from: source, over: here, direction, hops: hops + 1, distance_mm });
                }
            }
        }
    }
}

impl LookBehind {
    /// Why to look there, in words.
    pub fn reason(&self, book: &Book) -> String {
        let name = |id: &PartId| book.part(id).map_or_else(|| id.to_string(), Part::name_within);
        let (from, over, part, direction) =
            (name(&self.from), name(&self.over), name(&self.part), word(self.direction.key()));
        let key = if self.hops == 1 { "look-behind-next" } else { "look-behind-beyond" };
        let arguments = [("from", &*from), ("over", &*over), ("part", &*part), ("direction", &*direction)];
        say(Language::English, key, &arguments)
    }
}

/// How many parts the force may have passed. Common practice, no source.
fn reach(book: &Book, decision: &Decision) -> u32 {
    let finding = &decision.finding;
    let has = |kinds: &[MarkKind]| kinds.iter().any(|kind| finding.kinds.contains(kind));
    let carries = book.part(&decision.part).is_some_and(|part| matches!(part.role, Role::Structural | Role::Frame));
    let spent = has(&[MarkKind::Kink, MarkKind::Buckle, MarkKind::Tear]);
    if spent || (carries && has(&[MarkKind::Crack, MarkKind::Misfit])) {
        2
    } else if has(&[MarkKind::Dent, MarkKind::Crease, MarkKind::Crack, MarkKind::Misfit, MarkKind::Missing]) {
        1
    } else {
        0
    }
}

fn distance(a: (f64, f64, f64), b: (f64, f64, f64)) -> f64 {
    let (x, y, z) = (a.0 - b.0, a.1 - b.1, a.2 - b.2);
    (x * x + y * y + z * z).sqrt()
}
