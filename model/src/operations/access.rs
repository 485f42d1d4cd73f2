//! Access work: what must come off to reach a part, each piece once for the whole job, and its way back.
//!
//! Follows the book's access graph and adds nothing of its own.

use super::draft::{At, Draft};
use crate::catalogue::{AccessWork, Book, Part};
use crate::ids::{AccessId, PartId};
use crate::terms::{Caution, Stage};
use crate::words::{Language, find, say};

/// Access work that makes the vehicle safe and therefore belongs to the first stage; ids of the book.
pub(super) const SECURING: [&str; 2] = ["battery-off", "restraints-safe"];

/// Asks for this access work and all that it waits for, on behalf of a part (or of the whole job). Returns the
/// operations that do the work asked for directly.
pub(super) fn ask(draft: &mut Draft<'_>, book: &Book, wanted: &[AccessId], on_behalf: Option<&Part>) -> Vec<At> {
    let mut done = vec![false; draft.works.len()];
    let places: Vec<usize> = wanted.iter().filter_map(|id| draft.work_at(id)).collect();
    places.into_iter().map(|place| one(draft, book, place, on_behalf, &mut done)).collect()
}

fn one(draft: &mut Draft<'_>, book: &Book, place: usize, on_behalf: Option<&Part>, done: &mut [bool]) -> At {
    let at = draft.works[place].there.unwrap_or_else(|| begin(draft, book, place));
    if std::mem::replace(&mut done[place], true) {
        return at;
    }
    if let Some(part) = on_behalf {
        let parts = &mut draft.items[at].operation.access_for;
        // Parts ask one after the other, so a part that has asked before stands last.
        if parts.last() != Some(&part.id) {
            parts.push(part.id.clone());
        }
    }
    for first in draft.works[place].after.clone() {
        let before = one(draft, book, first, on_behalf, done);
        // Work that secures never waits for stripping; the book's check does not know stages.
        if draft.stage(before) <= draft.stage(at) {
            draft.order(before, at);
        }
    }
    at
}

fn begin(draft: &mut Draft<'_>, book: &Book, place: usize) -> At {
    let work = draft.works[place].work;
    let stage = if SECURING.contains(&work.base.as_str()) { Stage::Secure } else { Stage::Strip };
    let at = draft.add(stage, "access", None, Some(work.id.as_str()), || work.name());
    draft.items[at].operation.access = Some(work.id.clone());
    draft.amount(at).units = work.units;
    draft.caution(at, work.cautions.iter().copied());
    for part in work.removes.iter().filter_map(|part| book.part(part)) {
        draft.caution(at, of_part(part));
    }
    draft.works[place].there = Some(at);
    at
}

/// Cautions that go with handling a part as such.
pub(super) fn of_part(part: &Part) -> impl Iterator<Item = Caution> {
    [("restraint", Caution::Restraints), ("fuel", Caution::Fuel), ("high-voltage", Caution::HighVoltage)]
        .into_iter()
        .filter(|(tag, _)| part.has(tag))
        .map(|(_, caution)| caution)
        .chain((part.role == crate::terms::Role::Glass).then_some(Caution::Glass))
}

/// Adds the way back of all access work: what came off last goes on first. Work whose every removed part is renewed
/// (`renewed`) has no way back of its own: fitting the new part is that way.
pub(super) fn refit(draft: &mut Draft<'_>, book: &Book, renewed: &[(&Part, At)]) {
    for place in 0..draft.works.len() {
        let work = draft.works[place].work;
        let Some(there) = draft.works[place].there else { continue };
        // A part that earlier work takes off (the tailgate before the bed) goes back on with that work.
        let own: Vec<&PartId> = work.removes.iter().filter(|part| !off_before(book, work, part)).collect();
        let new = |part: &PartId| renewed.iter().find(|(known, _)| known.id == *part).map(|(_, at)| *at);
        let replaced: Vec<At> = own.iter().filter_map(|part| new(part)).collect();
        let back = if !own.is_empty() && replaced.len() == own.len() {
            replaced[0]
        } else {
            let name = || {
                if replaced.is_empty() {
                    return way_back(work);
                }
                // Renewed parts are fitted by operations of their own; the rest goes back on by name.
                let rest = own.iter().filter(|part| new(part).is_none()).filter_map(|part| book.part(part));
                let rest: Vec<String> = rest.map(Part::name_within).collect();
                say(Language::English, "operation-refit-parts", &[("name", &rest.join(", "))])
            };
            let back = draft.add(Stage::Refit, "refit", None, Some(work.id.as_str()), name);
            draft.items[back].operation.access = Some(work.id.clone());
            draft.amount(back).units = work.units;
            let operation = &draft.items[there].operation;
            let (cautions, parts) = (operation.cautions.clone(), operation.access_for.clone());
            draft.caution(back, cautions);
            draft.items[back].operation.access_for = parts;
            back
        };
        for fitted in replaced {
            draft.order(fitted, back);
        }
        draft.works[place].back = Some(back);
    }
    for place in 0..draft.works.len() {
        let (Some(there), Some(back)) = (draft.works[place].there, draft.works[place].back) else { continue };
        draft.order(there, back);
        for first in draft.works[place].after.clone() {
            if let Some(later) = draft.works[first].back {
                draft.order(back, later);
            }
        }
    }
    // The vehicle comes alive again only when all else is back in its place.
    let securing = draft.used().filter(|(work, _, _)| SECURING.contains(&work.base.as_str()));
    let last: Vec<At> = securing.filter_map(|(_, _, back)| back).collect();
    for at in (0..draft.items.len()).filter(|at| draft.stage(*at) == Stage::Refit).collect::<Vec<_>>() {
        if !last.contains(&at) {
            for back in &last {
                draft.order(at, *back);
            }
        }
    }
}

/// Whether work for which this work waits takes the part off.
fn off_before(book: &Book, work: &AccessWork, part: &PartId) -> bool {
    work.after
        .iter()
        .filter_map(|id| book.access.get(id))
        .any(|earlier| earlier.removes.contains(part) || off_before(book, earlier, part))
}

fn way_back(work: &AccessWork) -> String {
    let key = format!("refit-{}", work.base);
    let side = crate::words::word(work.side.key());
    if find(Language::English, &key).is_some() {
        let name = crate::words::word(&key);
        if work.id.as_str() == work.base {
            name
        } else {
            say(Language::English, "operation-refit-side", &[("name", &name), ("side", &side.to_lowercase())])
        }
    } else {
        say(Language::English, "operation-refit", &[("name", &work.name())])
    }
}
