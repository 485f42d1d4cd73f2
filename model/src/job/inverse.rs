//! Undo and redo as new forward changes, found from the log alone, so that they survive a killed tab.
//!
//! Takes back only what still stands: where someone else has written since, their value stays. A frozen revision is no
//! step: it was given out, and undo passes over it. A photo that was taken goes into the bin and comes back out of it.

use super::change::{Body, Change, ChangeId, Field, MarkFieldName, Write};
use super::command::default_of;
use super::fold::Fold;
use super::log::Log;
use super::photo::{PhotoField, PhotoFieldName};
use super::state::DeviceId;
use crate::ids::PhotoId;
use std::collections::BTreeSet;

/// What this device can take back and do again, latest last.
pub(super) struct Steps {
    pub undo: Vec<ChangeId>,
    pub redo: Vec<ChangeId>,
}

/// Reads both stacks from a device's own changes, in the order of time. The change that made the job is not a step.
pub(super) fn steps(log: &Log, device: &DeviceId) -> Steps {
    let mut steps = Steps { undo: Vec::new(), redo: Vec::new() };
    let first = log.changes().next().map(|change| change.id());
    let step = |change: &Change| change.body().by == *device && Some(change.id()) != first && !change.body().freezes();
    for change in log.changes().filter(|change| step(change)) {
        if let Some(undone) = change.body().undoes {
            steps.undo.retain(|id| *id != undone);
            steps.redo.push(undone);
        } else if let Some(redone) = change.body().redoes {
            steps.redo.retain(|id| *id != redone);
            steps.undo.push(redone);
        } else {
            steps.undo.push(change.id());
            steps.redo.clear();
        }
    }
    steps
}

/// The writes that take `change` back; empty where nothing of it still stands.
pub(super) fn undo(log: &Log, fold: &Fold, change: &Change) -> Vec<Write> {
    let mine = linked(log, change.id(), |body| body.redoes);
    let made: BTreeSet<_> = change
        .body()
        .ops
        .iter()
        .filter_map(|op| match (&op.write, op.over.is_empty()) {
            (Write::Mark { id, set }, true) if set.name() == MarkFieldName::Part => Some(id.clone()),
            _ => None,
        })
        .collect();
    let mut out: Vec<Write> =
        made.iter().filter(|id| fold.has_mark(id)).map(|id| Write::RemoveMark(id.clone())).collect();
    let photo = photo_of(change);
    for op in &change.body().ops {
        let field = op.write.field();
        match &field {
            Field::Photo(id, name) if photo == Some(id) => {
                if *name == PhotoFieldName::Taken && binned(fold, id).is_none() {
                    let set = PhotoField::Binned(Some(log.last().day()));
                    out.push(Write::Photo { id: id.clone(), set });
                }
            }
            Field::MarkIsThere(mark) => {
                if !fold.has_mark(mark) && fold.removals(mark).iter().any(|id| mine.contains(id)) {
                    out.extend(fold.mark_writes(mark));
                }
            }
            Field::Mark(mark, _) if made.contains(mark) || !fold.has_mark(mark) => {}
            _ => {
                if standing(log, fold, &field) == Some(change.id()) {
                    let before = fold.written_by(&field, &op.over).map(|(_, write)| write.clone());
                    out.extend(before.or_else(|| default_of(&field)));
                }
            }
        }
    }
    out
}

/// The writes that do `change` again after it was taken back.
pub(super) fn redo(log: &Log, fold: &Fold, change: &Change) -> Vec<Write> {
    let undone = linked(log, change.id(), |body| body.undoes);
    let mut out = Vec::new();
    let photo = photo_of(change);
    for op in &change.body().ops {
        let field = op.write.field();
        if let Field::Photo(id, name) = &field
            && photo == Some(id)
        {
            if *name == PhotoFieldName::Taken && binned(fold, id).is_some_and(|by| undone.contains(&by)) {
                out.push(Write::Photo { id: id.clone(), set: PhotoField::Binned(None) });
            }
            continue;
        }
        let again = match &field {
            Field::MarkIsThere(mark) => fold.has_mark(mark),
            Field::Freeze => false,
            // A mark that undo took away comes back with every field.
            Field::Mark(mark, _) if !fold.has_mark(mark) => fold.removals(mark).iter().any(|id| undone.contains(id)),
            // Otherwise only what stands as the change found it when it was first made.
            _ => standing(log, fold, &field) == before(log, fold, &field, &op.over),
        };
        if again {
            out.push(op.write.clone());
        }
    }
    out
}

/// The photo that a change took, if it took one.
fn photo_of(change: &Change) -> Option<&PhotoId> {
    change.body().ops.iter().find_map(|op| match &op.write {
        Write::Photo { id, set: PhotoField::Taken(_) } => Some(id),
        _ => None,
    })
}

/// The change that put a photo into the bin, while it is there.
fn binned(fold: &Fold, id: &PhotoId) -> Option<ChangeId> {
    match fold.shown(&Field::Photo(id.clone(), PhotoFieldName::Binned))? {
        (by, Write::Photo { set: PhotoField::Binned(Some(_)), .. }) => Some(by),
        _ => None,
    }
}

/// The change itself and those that refer to it by `link`.
fn linked(log: &Log, id: ChangeId, link: impl Fn(&Body) -> Option<ChangeId>) -> BTreeSet<ChangeId> {
    log.changes().filter(|change| link(change.body()) == Some(id)).map(|change| change.id()).chain([id]).collect()
}

/// The change whose own value stands in a field, seen through undo and redo; `None`: nobody's, the field is at its default.
fn standing(log: &Log, fold: &Fold, field: &Field) -> Option<ChangeId> {
    let (id, _) = fold.shown(field)?;
    origin(log, fold, field, id)
}

/// The change whose value stood before a write that replaced `over`.
fn before(log: &Log, fold: &Fold, field: &Field, over: &[ChangeId]) -> Option<ChangeId> {
    let (id, _) = fold.written_by(field, over)?;
    origin(log, fold, field, id)
}

/// The change that first made the value which `id` wrote: an undo brings back what was before, a redo what was undone.
/// Ends, because a change can only name changes that were there before it.
fn origin(log: &Log, fold: &Fold, field: &Field, id: ChangeId) -> Option<ChangeId> {
    let Some(change) = log.get(id) else { return Some(id) };
    let body = change.body();
    let over = |body: &Body| body.ops.iter().find(|op| op.write.field() == *field).map(|op| op.over.clone());
    match (body.undoes, body.redoes) {
        (Some(undone), _) => {
            // Undoing a removal writes the mark's fields again although the removal wrote none: as they were.
            let replaced = log.get(undone).and_then(|undone| over(undone.body())).or_else(|| over(body))?;
            before(log, fold, field, &replaced)
        }
        (None, Some(redone)) => match log.get(redone).map(|redone| over(redone.body())) {
            // Taking a photo again writes the bin, which the taking did not: as it stood before the photo went there.
            Some(None) => before(log, fold, field, &over(body)?),
            _ => Some(redone),
        },
        (None, None) => Some(id),
    }
}
