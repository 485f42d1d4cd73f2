//! Access work: what must come off to reach a part, each piece once for the whole job, and its way back.
//!
//! Follows the book's access graph and adds nothing of its own.

use super::draft::{At, Draft};
use crate::catalogue::{AccessWork, Book, Part};
use crate::ids::{AccessId, PartId};
use crate::terms::{Caution, Stage};
use crate::words::{Language, find, say};
use std::collections::BTreeSet;

/// Access work that makes the vehicle safe and therefore belongs to the first stage; ids of the book.
pub(super) const SECURING: [&str; 2] = ["battery-off", "restraints-safe"];

/// Asks for this access work and all that it waits for, on behalf of a part (or of the whole job). Returns the
/// operations that do the work asked for directly.
pub(super) fn ask(draft: &mut Draft, book: &Book, wanted: &[AccessId], on_behalf: Option<&Part>) -> Vec<At> {
    let mut done = BTreeSet::new();
    wanted.iter().filter_map(|id| one(draft, book, id, on_behalf, &mut done)).collect()
}

fn one(
    draft: &mut Draft,
    book: &Book,
    id: &AccessId,
    on_behalf: Option<&Part>,
    done: &mut BTreeSet<AccessId>,
) -> Option<At> {
    let work = book.access.get(id)?;
    let known = draft.access.get(id).map(|(at, _)| *at);
    if !done.insert(id.clone()) {
        return known;
    }
    let at = known.unwrap_or_else(|| begin(draft, book, work));
    if let Some(part) = on_behalf {
        let parts = &mut draft.items[at].operation.access_for;
        // Parts ask one after the other, so a part that has asked before stands last.
        if parts.last() != Some(&part.id) {
            parts.push(part.id.clone());
        }
    }
    for first in &work.after {
        if let Some(before) = one(draft, book, first, on_behalf, done) {
            // Work that secures never waits for stripping; the book's check does not know stages.
            if draft.stage(before) <= draft.stage(at) {
                draft.order(before, at);
            }
        }
    }
    Some(at)
}

fn begin(draft: &mut Draft, book: &Book, work: &AccessWork) -> At {
    let stage = if SECURING.contains(&work.base.as_str()) { Stage::Secure } else { Stage::Strip };
    let at = draft.add(stage, "access", None, Some(work.id.as_str()), || work.name());
    draft.items[at].operation.access = Some(work.id.clone());
    draft.amount(at).units = work.units;
    draft.caution(at, work.cautions.iter().copied());
    let removed = work.removes.iter().filter_map(|part| book.part(part));
    for part in removed {
        draft.caution(at, of_part(part));
    }
    draft.access.insert(work.id.clone(), (at, None));
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
pub(super) fn refit(draft: &mut Draft, book: &Book, renewed: &[(&Part, At)]) {
    let used: Vec<AccessId> = draft.access.keys().cloned().collect();
    for id in &used {
        let Some(work) = book.access.get(id) else { continue };
        // A part that earlier work takes off (the tailgate before the bed) goes back on with that work.
        let own: Vec<&PartId> = work.removes.iter().filter(|part| !off_before(book, work, part)).collect();
        let new = |part: &PartId| renewed.iter().find(|(known, _)| known.id == *part).map(|(_, at)| *at);
        let replaced: Vec<At> = own.iter().filter_map(|part| new(part)).collect();
        let back = if !own.is_empty() && replaced.len() == own.len() {
            replaced[0]
        } else {
            let back = draft.add(Stage::Refit, "refit", None, Some(id.as_str()), || way_back(work));
            draft.items[back].operation.access = Some(id.clone());
            draft.amount(back).units = work.units;
            let (there, _) = draft.access[id];
            let (cautions, parts) = {
                let operation = &draft.items[there].operation;
                (operation.cautions.clone(), operation.access_for.clone())
            };
            draft.caution(back, cautions);
            draft.items[back].operation.access_for = parts;
            back
        };
        for fitted in replaced {
            draft.order(fitted, back);
        }
        if let Some(entry) = draft.access.get_mut(id) {
            entry.1 = Some(back);
        }
    }
    for id in &used {
        let Some(work) = book.access.get(id) else { continue };
        let (there, Some(back)) = draft.access[id] else { continue };
        draft.order(there, back);
        for first in &work.after {
            if let Some((_, Some(later))) = draft.access.get(first).copied() {
                draft.order(back, later);
            }
        }
    }
    // The vehicle comes alive again only when all else is back in its place.
    let securing = |id: &AccessId| book.access.get(id).is_some_and(|work| SECURING.contains(&work.base.as_str()));
    let last: Vec<At> = used.iter().filter(|id| securing(id)).filter_map(|id| draft.access[id].1).collect();
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
