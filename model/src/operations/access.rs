//! Access work: what must come off to reach a part, each piece once for the whole job, and its way back.
//!
//! Follows the book's access graph and adds nothing of its own.

use super::draft::{At, Draft, On};
use crate::catalogue::Reach;
use crate::terms::{Stage, Work};

/// Asks for this access work and all that it waits for, on behalf of a part (or of the whole job). Returns the
/// operations that do the work asked for directly.
pub(super) fn ask(draft: &mut Draft<'_>, wanted: &Reach, on_behalf: Option<usize>) -> Vec<At> {
    for place in &wanted.all {
        let at = draft.works[*place].there.unwrap_or_else(|| begin(draft, *place));
        if let Some(part) = on_behalf.filter(|_| draft.told) {
            let parts = &mut draft.items[at].room_for;
            // Parts ask one after the other, so a part that has asked before stands last.
            if parts.last() != Some(&part) {
                parts.push(part);
            }
        }
    }
    let there = |draft: &Draft<'_>, places: &[usize]| -> Vec<At> {
        places.iter().filter_map(|place| draft.works[*place].there).collect()
    };
    if draft.told {
        for place in &wanted.all {
            let (Some(at), facts) = (draft.works[*place].there, draft.facts) else { continue };
            for before in there(draft, &facts.works[*place].after) {
                // Work that secures never waits for stripping; the book's check does not know stages.
                if draft.stage(before) <= draft.stage(at) {
                    draft.order(before, at);
                }
            }
        }
    }
    there(draft, &wanted.direct)
}

fn begin(draft: &mut Draft<'_>, place: usize) -> At {
    let work = &draft.facts.works[place];
    let stage = if work.secures { Stage::Secure } else { Stage::Strip };
    let at = draft.add(stage, Work::Access, On::Access(place));
    amount(draft, at, place);
    draft.caution(at, work.cautions.iter().copied());
    draft.works[place].there = Some(at);
    at
}

fn amount(draft: &mut Draft<'_>, at: At, place: usize) {
    let work = &draft.facts.works[place];
    draft.amount(at).units = work.units;
    draft.amount(at).joint_mm = work.bead_mm;
}

/// Adds the way back of all access work: what came off last goes on first. A new part goes on by the same work as the
/// old one would have. `renewed` are such parts, by place, and the operation that makes each ready.
pub(super) fn refit(draft: &mut Draft<'_>, renewed: &[(usize, At)]) {
    let (book, facts) = (draft.book, draft.facts);
    for place in 0..draft.works.len() {
        let Some(there) = draft.works[place].there else { continue };
        // Glass is bonded back in, by whoever bonds glass.
        let work = if facts.works[place].bead_mm > 0.0 { Work::BondGlass } else { Work::Refit };
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
    let securing = draft.works.iter().zip(&facts.works).filter(|(_, work)| work.secures);
    let last: Vec<At> = securing.filter_map(|(node, _)| node.back).collect();
    for at in draft.within(Stage::Refit..=Stage::Refit) {
        if !last.contains(&at) {
            for back in &last {
                draft.order(at, *back);
            }
        }
    }
}
