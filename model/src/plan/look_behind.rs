//! Where to look for hidden damage: along the load paths from what is hit, nearest first.
//!
//! Says where to look and how far the force may have gone; never says that something is damaged or sound.

use crate::catalogue::{Book, Part};
use crate::decide::Decision;
use crate::ids::PartId;
use crate::terms::{Direction, Inspection, MarkKind, Role};
use crate::words::{Language, say, word};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// Depth up to which a soft dent is taken to stay in its own part and the next, mm. Common practice, no source.
const SHALLOW_MM: f64 = 10.0;

/// A part that must be looked at before the plan can be trusted.
#[derive(Clone, Debug, PartialEq)]
pub struct LookBehind {
    /// The part to look at.
    pub part: PartId,
    /// The damaged part from which the force comes.
    pub from: PartId,
    /// The last step by which it comes.
    pub direction: Direction,
    /// Parts passed on the way, the part itself included.
    pub hops: u32,
    /// Distance between the middles of the two parts, mm.
    pub distance_mm: f64,
    /// Why, in words.
    pub reason: String,
    /// What a person found there.
    pub state: Inspection,
}

/// Every part that damage may have reached along the load paths, each once, nearest first: by parts passed, then by
/// distance. Parts that are marked already are left out; a part found damaged passes the search on by one part.
pub fn look_behind(
    book: &Book,
    decisions: &[Decision],
    inspections: &BTreeMap<PartId, Inspection>,
) -> Vec<LookBehind> {
    let marked: BTreeSet<&PartId> = decisions.iter().map(|decision| &decision.part).collect();
    let mut found: BTreeMap<PartId, LookBehind> = BTreeMap::new();
    let damaged = inspections.iter().filter(|(_, state)| **state == Inspection::Damaged).map(|(part, _)| (part, 1));
    let hit = decisions.iter().map(|decision| (&decision.part, reach(book, decision)));
    for (source, reach) in hit.chain(damaged.filter(|(part, _)| !marked.contains(part))) {
        if let Some(part) = book.part(source).filter(|_| reach > 0) {
            walk(book, part, reach, &marked, inspections, &mut found);
        }
    }
    let mut out: Vec<LookBehind> = found.into_values().collect();
    out.sort_by(|one, other| {
        one.hops.cmp(&other.hops).then(one.distance_mm.total_cmp(&other.distance_mm)).then(one.part.cmp(&other.part))
    });
    out
}

fn walk(
    book: &Book,
    source: &Part,
    reach: u32,
    marked: &BTreeSet<&PartId>,
    inspections: &BTreeMap<PartId, Inspection>,
    found: &mut BTreeMap<PartId, LookBehind>,
) {
    let mut seen: BTreeSet<&PartId> = BTreeSet::from([&source.id]);
    let mut open: VecDeque<(&Part, u32)> = VecDeque::from([(source, 0)]);
    while let Some((here, hops)) = open.pop_front() {
        if hops == reach {
            continue;
        }
        for load in &here.load {
            let Some(next) = book.part(&load.to) else { continue };
            if !seen.insert(&next.id) {
                continue;
            }
            open.push_back((next, hops + 1));
            if marked.contains(&next.id) {
                continue;
            }
            let distance_mm = distance(source, next);
            let nearer = found
                .get(&next.id)
                .is_none_or(|known| (hops + 1, distance_mm) < (known.hops, known.distance_mm));
            if nearer {
                let name = |part: &Part| part.name();
                let key = if hops == 0 { "look-behind-next" } else { "look-behind-beyond" };
                let reason = say(
                    Language::English,
                    key,
                    &[
                        ("from", &name(source)),
                        ("over", &name(here)),
                        ("part", &name(next)),
                        ("direction", &word(load.direction.key())),
                    ],
                );
                let entry = LookBehind {
                    part: next.id.clone(),
                    from: source.id.clone(),
                    direction: load.direction,
                    hops: hops + 1,
                    distance_mm,
                    reason,
                    state: inspections.get(&next.id).copied().unwrap_or(Inspection::NotYet),
                };
                found.insert(next.id.clone(), entry);
            }
        }
    }
}

/// How many parts the force may have passed. Common practice, no source.
fn reach(book: &Book, decision: &Decision) -> u32 {
    let finding = &decision.finding;
    let has = |kinds: &[MarkKind]| kinds.iter().any(|kind| finding.kinds.contains(kind));
    let carries = book.part(&decision.part).is_some_and(|part| matches!(part.role, Role::Structural | Role::Frame));
    let spent = has(&[MarkKind::Kink, MarkKind::Buckle, MarkKind::Tear]);
    if carries && spent {
        3
    } else if spent
        || has(&[MarkKind::Crease, MarkKind::Missing])
        || (has(&[MarkKind::Dent]) && (finding.sharp || finding.depth_mm > SHALLOW_MM))
        || (carries && has(&[MarkKind::Crack, MarkKind::Misfit]))
    {
        2
    } else if has(&[MarkKind::Dent, MarkKind::Misfit, MarkKind::Crack]) {
        1
    } else {
        0
    }
}

fn distance(one: &Part, other: &Part) -> f64 {
    let (a, b) = (one.centre(), other.centre());
    (a.0 - b.0).hypot(a.1 - b.1).hypot(a.2 - b.2)
}
