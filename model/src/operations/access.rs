//! Access work: what must come off to reach a part, each piece once for the whole job, and its way back.
//!
//! Follows the book's access graph and adds nothing of its own.

use super::draft::{At, Draft, On};
use crate::catalogue::Part;
use crate::terms::{Caution, Stage};

/// Access work that makes the vehicle safe and therefore belongs to the first stage; ids of the book.
pub(super) const SECURING: [&str; 2] = ["battery-off", "restraints-safe"];

/// Asks for this access work and all that it waits for, on behalf of a part (or of the whole job). Returns the
/// operations that do the work asked for directly.
pub(super) fn ask(draft: &mut Draft<'_>, wanted: &[usize], on_behalf: Option<usize>) -> Vec<At> {
    // A book has far fewer than 256 pieces of access work; the few visited ones are kept as a list.
    let mut done = Vec::with_capacity(16);
    wanted.iter().map(|place| one(draft, *place, on_behalf, &mut done)).collect()
}

fn one(draft: &mut Draft<'_>, place: usize, on_behalf: Option<usize>, done: &mut Vec<usize>) -> At {
    let at = draft.works[place].there.unwrap_or_else(|| begin(draft, place));
    if done.contains(&place) {
        return at;
    }
    done.push(place);
    if let Some(part) = on_behalf.filter(|_| draft.told) {
        let parts = &mut draft.items[at].room_for;
        // Parts ask one after the other, so a part that has asked before stands last.
        if parts.last() != Some(&part) {
            parts.push(part);
        }
    }
    let facts = draft.facts;
    for first in &facts.works[place].after {
        let before = one(draft, *first, on_behalf, done);
        // Work that secures never waits for stripping; the book's check does not know stages.
        if draft.stage(before) <= draft.stage(at) {
            draft.order(before, at);
        }
    }
    at
}

fn begin(draft: &mut Draft<'_>, place: usize) -> At {
    let work = draft.works[place].work;
    let stage = if SECURING.contains(&work.base.as_str()) { Stage::Secure } else { Stage::Strip };
    let at = draft.add(stage, "access", On::Access(place));
    amount(draft, at, place);
    draft.caution(at, work.cautions.iter().copied());
    let book = draft.book;
    for part in work.removes.iter().filter_map(|part| book.part(part)) {
        draft.caution(at, of_part(part));
    }
    draft.works[place].there = Some(at);
    at
}

fn amount(draft: &mut Draft<'_>, at: At, place: usize) {
    let (units, bead) = (draft.works[place].work.units, draft.facts.works[place].bead_mm);
    draft.amount(at).units = units;
    draft.amount(at).joint_mm = bead;
}

/// Cautions that go with handling a part as such.
pub(super) fn of_part(part: &Part) -> impl Iterator<Item = Caution> {
    [("restraint", Caution::Restraints), ("fuel", Caution::Fuel), ("high-voltage", Caution::HighVoltage)]
        .into_iter()
        .filter(|(tag, _)| part.has(tag))
        .map(|(_, caution)| caution)
        .chain((part.role == crate::terms::Role::Glass).then_some(Caution::Glass))
}

/// Adds the way back of all access work: what came off last goes on first. A new part goes on by the same work as the
/// old one would have. `renewed` are such parts, by place, and the operation that makes each ready.
pub(super) fn refit(draft: &mut Draft<'_>, renewed: &[(usize, At)]) {
    let (book, facts) = (draft.book, draft.facts);
    for place in 0..draft.works.len() {
        let Some(there) = draft.works[place].there else { continue };
        // Glass is bonded back in, by whoever bonds glass.
        let work = if facts.works[place].bead_mm > 0.0 { "bond-glass" } else { "refit" };
        let back = draft.add(Stage::Refit, work, On::Access(place));
        amount(draft, back, place);
        draft.same_cautions(there, back);
        draft.items[back].room_for = draft.items[there].room_for.clone();
        draft.works[place].back = Some(back);
        if !draft.told {
            continue;
        }
        for part in facts.works[place].own.iter().filter_map(|part| book.index.get(part).copied()) {
            for (_, ready) in renewed.iter().filter(|(known, _)| *known == part) {
                draft.items[back].renewed.push(part);
                draft.order(*ready, back);
            }
        }
    }
    if !draft.told {
        return;
    }
    for place in 0..draft.works.len() {
        let (Some(there), Some(back)) = (draft.works[place].there, draft.works[place].back) else { continue };
        draft.order(there, back);
        for first in &facts.works[place].after {
            if let Some(later) = draft.works[*first].back {
                draft.order(back, later);
            }
        }
    }
    // The vehicle comes alive again only when all else is back in its place.
    let securing = draft.works.iter().filter(|node| SECURING.contains(&node.work.base.as_str()));
    let last: Vec<At> = securing.filter_map(|node| node.back).collect();
    for at in draft.within(Stage::Refit..=Stage::Refit) {
        if !last.contains(&at) {
            for back in &last {
                draft.order(at, *back);
            }
        }
    }
}
