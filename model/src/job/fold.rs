//! Log to job: every field is a register that the latest writer wins; marks are a set from which only what was seen
//! can be taken away; revisions only grow.
//!
//! Adding changes in any order, any batches and any number of times gives the same fold, byte for byte. What loses
//! stays readable: see [`Conflict`].

use super::change::{Change, ChangeId, Field, MarkField, MarkFieldName, Write};
use super::photo::{Partial, PhotoFieldName};
use super::revision::Revision;
use super::stamp::Stamp;
use super::state::{DeviceId, Job, JobId};
use crate::damage::Mark;
use crate::ids::{MarkId, PhotoId};
use crate::terms::{Coat, Inspection};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// All writes of one field.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Register {
    writes: BTreeMap<(Stamp, ChangeId), (Write, DeviceId)>,
    /// Changes that a later writer saw and replaced.
    replaced: BTreeSet<ChangeId>,
}

impl Register {
    fn live(&self) -> impl DoubleEndedIterator<Item = (&(Stamp, ChangeId), &(Write, DeviceId))> {
        self.writes.iter().filter(|((_, id), _)| !self.replaced.contains(id))
    }
}

/// Whether a mark is there.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Presence {
    /// Changes that wrote any field of the mark.
    touched: BTreeSet<ChangeId>,
    /// Of these, the ones that a removal saw.
    removed: BTreeSet<ChangeId>,
    /// Removals, with who and when.
    removals: BTreeMap<ChangeId, (Stamp, DeviceId)>,
    /// Removals that a later writer saw and overruled.
    answered: BTreeSet<ChangeId>,
}

impl Presence {
    fn is_there(&self) -> bool {
        self.touched.iter().any(|id| !self.removed.contains(id))
    }
    fn unanswered(&self) -> impl Iterator<Item = &ChangeId> {
        self.removals.keys().filter(|id| !self.answered.contains(id))
    }
}

/// The fold of a log, which grows by one change at a time.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Fold {
    registers: BTreeMap<Field, Register>,
    marks: BTreeMap<MarkId, Presence>,
    /// Revisions, by the change and the place in it: none replaces another.
    revisions: BTreeMap<(Stamp, ChangeId, usize), Arc<Revision>>,
}

/// A field that two people wrote at the same time, or a mark that one removed while another edited it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// The field.
    pub field: Field,
    /// The value that stands; `None` for a mark that was kept against a removal.
    pub kept: Option<Write>,
    /// What lost, latest first.
    pub lost: Vec<Lost>,
}

/// A write that lost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lost {
    /// The write.
    pub write: Write,
    /// Who wrote it.
    pub by: DeviceId,
    /// When.
    pub at: Stamp,
    /// In which change.
    pub change: ChangeId,
}

impl Conflict {
    /// The mark that it is about, if any.
    pub fn mark(&self) -> Option<&MarkId> {
        match &self.field {
            Field::Mark(id, _) | Field::MarkIsThere(id) => Some(id),
            _ => None,
        }
    }
}

impl Fold {
    /// Takes in one change.
    pub fn add(&mut self, change: &Change) {
        let (id, at, by) = (change.id(), change.body().at, &change.body().by);
        for (place, op) in change.body().ops.iter().enumerate() {
            if let Write::Freeze(revision) = &op.write {
                self.revisions.insert((at, id, place), revision.clone());
                continue;
            }
            let field = op.write.field();
            if let Write::RemoveMark(mark) = &op.write {
                let presence = self.marks.entry(mark.clone()).or_default();
                presence.removed.extend(op.over.iter().copied());
                presence.removals.insert(id, (at, by.clone()));
                continue;
            }
            if let Field::Mark(mark, _) = &field {
                let presence = self.marks.entry(mark.clone()).or_default();
                presence.touched.insert(id);
                presence.answered.extend(op.over.iter().copied());
            }
            let register = self.registers.entry(field).or_default();
            register.writes.insert((at, id), (op.write.clone(), by.clone()));
            register.replaced.extend(op.over.iter().copied().filter(|over| *over != id));
        }
    }

    /// The write that stands in a field, and its change.
    pub fn shown(&self, field: &Field) -> Option<(ChangeId, &Write)> {
        let register = self.registers.get(field)?;
        register.writes.iter().next_back().map(|((_, id), (write, _))| (*id, write))
    }

    /// The latest of some changes' writes of a field, and its change.
    pub fn written_by(&self, field: &Field, changes: &[ChangeId]) -> Option<(ChangeId, &Write)> {
        let register = self.registers.get(field)?;
        register.writes.iter().rev().find(|((_, id), _)| changes.contains(id)).map(|((_, id), (write, _))| (*id, write))
    }

    /// What a new write of this field replaces: everything that nobody has replaced yet.
    pub fn over(&self, write: &Write) -> Vec<ChangeId> {
        if let Write::RemoveMark(mark) = write {
            return self
                .marks
                .get(mark)
                .map(|p| p.touched.difference(&p.removed).copied().collect())
                .unwrap_or_default();
        }
        let field = write.field();
        let mut over: BTreeSet<ChangeId> =
            self.registers.get(&field).map(|r| r.live().map(|((_, id), _)| *id).collect()).unwrap_or_default();
        if let Field::Mark(mark, _) = &field {
            over.extend(self.marks.get(mark).into_iter().flat_map(Presence::unanswered));
        }
        over.into_iter().collect()
    }

    /// Whether two writes of the field stand beside each other, or a removal waits for an answer.
    pub fn is_disputed(&self, field: &Field) -> bool {
        let values = self.registers.get(field).is_some_and(|register| {
            let mut live = register.live().map(|(_, (write, _))| write);
            live.next().is_some_and(|first| live.any(|other| other != first))
        });
        let removal = match field {
            Field::Mark(mark, _) => self.marks.get(mark).is_some_and(|p| p.unanswered().next().is_some()),
            _ => false,
        };
        values || removal
    }

    /// Whether the mark is there, in whole or in part.
    pub fn has_mark(&self, mark: &MarkId) -> bool {
        self.marks.get(mark).is_some_and(Presence::is_there)
    }

    /// Whether a mark of this name was ever there.
    pub fn knows_mark(&self, mark: &MarkId) -> bool {
        self.marks.contains_key(mark)
    }

    /// Whether a photo of this name was ever taken.
    pub fn knows_photo(&self, photo: &PhotoId) -> bool {
        self.registers.contains_key(&Field::Photo(photo.clone(), PhotoFieldName::Taken))
    }

    /// The removals of a mark that nobody has overruled.
    pub fn removals(&self, mark: &MarkId) -> Vec<ChangeId> {
        self.marks.get(mark).map(|p| p.unanswered().copied().collect()).unwrap_or_default()
    }

    /// The fields of a mark as writes, whether or not it is there now.
    pub fn mark_writes(&self, mark: &MarkId) -> Vec<Write> {
        MarkFieldName::ALL
            .iter()
            .filter_map(|name| Some(self.shown(&Field::Mark(mark.clone(), *name))?.1.clone()))
            .collect()
    }

    /// How many revisions there are up to and with this change.
    pub(super) fn revisions_until(&self, (at, id): (Stamp, ChangeId)) -> usize {
        self.revisions.range(..=(at, id, usize::MAX)).count()
    }

    /// The job.
    pub fn job(&self, id: JobId) -> Job {
        let mut job = Job::empty(id);
        let mut photos: BTreeMap<PhotoId, Partial> = BTreeMap::new();
        for (field, register) in &self.registers {
            let Some((_, (write, _))) = register.writes.iter().next_back() else { continue };
            match write.clone() {
                Write::Title(text) => job.title = text,
                Write::Owner(text) => job.owner = text,
                Write::Received(text) => job.received = text,
                Write::Cab(cab) => job.vehicle.cab = cab,
                Write::Bed(bed) => job.vehicle.bed = bed,
                Write::Vin(text) => job.vehicle.vin = text,
                Write::Colour(text) => job.vehicle.colour = text,
                Write::ColourFamily(family) => job.vehicle.colour_family = family,
                Write::RestraintsDeployed(yes) => job.restraints_deployed = yes,
                Write::HighVoltage(yes) => job.high_voltage = yes,
                Write::Frame(state) => job.frame = state,
                Write::Note(text) => job.note = text,
                Write::Archived(yes) => job.archived = yes,
                Write::Hold { part, action: Some(action) } => {
                    job.holds.insert(part, action);
                }
                Write::Inspect { part, state } if state != Inspection::NotYet => {
                    job.inspections.insert(part, state);
                }
                Write::Aim(aim) => job.aim = aim,
                Write::Value(value) => job.value = value,
                Write::HoldOption { part, option: Some(option) } => {
                    job.options.insert(part, option);
                }
                Write::Photo { id, set } => photos.entry(id).or_default().set(set),
                Write::Hold { .. }
                | Write::Inspect { .. }
                | Write::HoldOption { .. }
                | Write::RemoveMark(_)
                | Write::Freeze(_) => {}
                Write::Mark { .. } => debug_assert!(matches!(field, Field::Mark(..))),
            }
        }
        for (mark, presence) in &self.marks {
            if presence.is_there()
                && let Some(value) = self.mark(mark)
            {
                job.marks.insert(mark.clone(), value);
            }
        }
        job.photos = photos.into_iter().filter_map(|(id, photo)| Some((id, photo.whole()?))).collect();
        job.revisions = self.revisions.values().cloned().collect();
        job
    }

    /// A mark from its fields; `None` while a change that carries part, outline or kind has not arrived.
    fn mark(&self, mark: &MarkId) -> Option<Mark> {
        let (mut part, mut outline, mut kind) = (None, None, None);
        let (mut depth_mm, mut coat, mut sharp, mut count, mut note) = (0, Coat::Whole, false, 0, String::new());
        for write in self.mark_writes(mark) {
            let Write::Mark { set, .. } = write else { continue };
            match set {
                MarkField::Part(value) => part = Some(value),
                MarkField::Outline { view, shape } => outline = Some((view, shape)),
                MarkField::Kind(value) => kind = Some(value),
                MarkField::DepthMm(value) => depth_mm = value,
                MarkField::Coat(value) => coat = value,
                MarkField::Sharp(value) => sharp = value,
                MarkField::Count(value) => count = value,
                MarkField::Note(value) => note = value,
            }
        }
        let (view, shape) = outline?;
        Some(Mark { part: part?, view, shape, kind: kind?, depth_mm, coat, sharp, count, note })
    }

    /// What people wrote at the same time, in the order of the fields.
    pub fn conflicts(&self) -> Vec<Conflict> {
        let mut out = Vec::new();
        for (field, register) in &self.registers {
            if matches!(field, Field::Mark(mark, _) if !self.has_mark(mark)) {
                continue;
            }
            let Some(((_, kept_by), (kept, _))) = register.writes.iter().next_back() else { continue };
            let lost: Vec<Lost> = register
                .live()
                .rev()
                .filter(|((_, id), (write, _))| id != kept_by && write != kept)
                .map(|((at, id), (write, by))| Lost { write: write.clone(), by: by.clone(), at: *at, change: *id })
                .collect();
            if !lost.is_empty() {
                out.push(Conflict { field: field.clone(), kept: Some(kept.clone()), lost });
            }
        }
        for (mark, presence) in &self.marks {
            if !presence.is_there() {
                continue;
            }
            let lost: Vec<Lost> = presence
                .unanswered()
                .filter_map(|id| {
                    let (at, by) = presence.removals.get(id)?;
                    Some(Lost { write: Write::RemoveMark(mark.clone()), by: by.clone(), at: *at, change: *id })
                })
                .collect();
            if !lost.is_empty() {
                out.push(Conflict { field: Field::MarkIsThere(mark.clone()), kept: None, lost });
            }
        }
        out
    }
}

impl MarkFieldName {
    /// Every field of a mark.
    pub const ALL: &'static [Self] =
        &[Self::Part, Self::Outline, Self::Kind, Self::DepthMm, Self::Coat, Self::Sharp, Self::Count, Self::Note];
}
