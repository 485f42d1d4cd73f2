//! What a person asks for, in the words of the screens; each becomes one change and one step of undo.
//!
//! Says what to write; never applies it.

use super::change::{MarkField, MarkFieldName, Write};
use super::check;
use super::fold::Fold;
use super::option::{OptionHold, VehicleValue};
use super::photo::{PHOTOS_MAX, Photo, PhotoField};
use super::revision::Revision;
use super::state::{Job, Vehicle};
use crate::damage::Mark;
use crate::error::{Error, Result};
use crate::ids::{MarkId, PartId, PhotoId};
use crate::terms::{Action, Aim, Coat, FrameState, Inspection};
use std::sync::Arc;

/// An edit of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Command {
    /// Records a mark under a name that was never used in this job.
    AddMark {
        /// Name of the new mark.
        id: MarkId,
        /// The mark.
        mark: Mark,
    },
    /// Changes some fields of a mark.
    EditMark {
        /// The mark.
        id: MarkId,
        /// New values.
        fields: Vec<MarkField>,
    },
    /// Takes a mark away.
    RemoveMark {
        /// The mark.
        id: MarkId,
    },
    /// Sets the title.
    SetTitle(String),
    /// Sets the owner's name.
    SetOwner(String),
    /// Sets the day of arrival, `YYYY-MM-DD` or empty.
    SetReceived(String),
    /// Sets the vehicle; only what differs is written.
    SetVehicle(Vehicle),
    /// Says whether a restraint has deployed.
    SetRestraintsDeployed(bool),
    /// Says whether the vehicle has a high-voltage system.
    SetHighVoltage(bool),
    /// Says what is known of the frame.
    SetFrame(FrameState),
    /// Sets the note.
    SetNote(String),
    /// Decides for a part, or takes the decision back.
    Hold {
        /// The part.
        part: PartId,
        /// The decision.
        action: Option<Action>,
    },
    /// Records what was found behind.
    Inspect {
        /// The part.
        part: PartId,
        /// What was found.
        state: Inspection,
    },
    /// Says what the plan aims at; `None`: money.
    SetAim(Option<Aim>),
    /// Decides for a part down to the way to join and the cuts, or takes all of that back.
    HoldOption {
        /// The part.
        part: PartId,
        /// The decision.
        action: Option<Action>,
        /// What else is held to; what is empty is left to the plan.
        option: Option<OptionHold>,
    },
    /// Says what the vehicle is worth.
    SetValue(Option<VehicleValue>),
    /// Keeps the plan as it was given out, for ever.
    Freeze(Arc<Revision>),
    /// Records a photo under a name that was never used in this job; its bytes are kept already.
    AddPhoto {
        /// Name of the new photo.
        id: PhotoId,
        /// The photo.
        photo: Photo,
    },
    /// Changes some fields of a photo: note, pins, mark, or whether it is in the bin.
    EditPhoto {
        /// The photo.
        id: PhotoId,
        /// New values.
        fields: Vec<PhotoField>,
    },
    /// Puts the job away or takes it out again.
    Archive(bool),
    /// Settles a [`Conflict`](super::Conflict): this value stands and the others are done with.
    Settle(Write),
}

impl Command {
    /// What is to be written, checked.
    ///
    /// # Errors
    /// Where a value is out of range, a mark to be edited is not there, or a new mark's name was used before.
    pub(super) fn writes(&self, job: &Job, fold: &Fold) -> Result<Vec<Write>> {
        let there = |id: &MarkId| {
            if job.marks.contains_key(id) { Ok(()) } else { Err(Error::new("error-mark-gone", format!("marks.{id}"))) }
        };
        let writes = match self.clone() {
            Self::AddMark { id, mark } => {
                if fold.knows_mark(&id) {
                    return Err(Error::new("error-mark-exists", format!("marks.{id}")));
                }
                if job.marks.len() >= check::MARKS_MAX {
                    return Err(Error::new("error-job-marks", "marks").with("most", check::MARKS_MAX));
                }
                mark_writes(&id, &mark)
            }
            Self::EditMark { id, fields } => {
                there(&id)?;
                fields.into_iter().map(|set| Write::Mark { id: id.clone(), set }).collect()
            }
            Self::RemoveMark { id } => {
                there(&id)?;
                vec![Write::RemoveMark(id)]
            }
            Self::SetTitle(text) => vec![Write::Title(text)],
            Self::SetOwner(text) => vec![Write::Owner(text)],
            Self::SetReceived(text) => vec![Write::Received(text)],
            Self::SetVehicle(vehicle) => vehicle_writes(&vehicle),
            Self::SetRestraintsDeployed(yes) => vec![Write::RestraintsDeployed(yes)],
            Self::SetHighVoltage(yes) => vec![Write::HighVoltage(yes)],
            Self::SetFrame(state) => vec![Write::Frame(state)],
            Self::SetNote(text) => vec![Write::Note(text)],
            Self::Hold { part, action } => vec![Write::Hold { part, action }],
            Self::Inspect { part, state } => vec![Write::Inspect { part, state }],
            Self::SetAim(aim) => vec![Write::Aim(aim)],
            Self::HoldOption { part, action, option } => vec![
                Write::Hold { part: part.clone(), action },
                Write::HoldOption { part, option: option.and_then(OptionHold::tidy) },
            ],
            Self::SetValue(value) => vec![Write::Value(value)],
            Self::Freeze(revision) => {
                if job.revisions.len() >= check::REVISIONS_MAX {
                    return Err(Error::new("error-job-revisions", "revisions").with("most", check::REVISIONS_MAX));
                }
                vec![Write::Freeze(revision)]
            }
            Self::AddPhoto { id, photo } => {
                if fold.knows_photo(&id) {
                    return Err(Error::new("error-photo-exists", format!("photos.{id}")));
                }
                if job.photos.len() >= PHOTOS_MAX {
                    return Err(Error::new("error-photo-many", "photos").with("most", PHOTOS_MAX));
                }
                photo_writes(&id, photo.fields())
            }
            Self::EditPhoto { id, fields } => {
                if !job.photos.contains_key(&id) {
                    return Err(Error::new("error-photo-gone", format!("photos.{id}")));
                }
                photo_writes(&id, fields)
            }
            Self::Archive(yes) => vec![Write::Archived(yes)],
            Self::Settle(write) => {
                if let Write::Mark { id, .. } | Write::RemoveMark(id) = &write {
                    there(id)?;
                }
                vec![write]
            }
        };
        writes.iter().try_for_each(|write| check::write(write, true))?;
        Ok(writes)
    }
}

/// A new mark as writes; what is at its default is not written, to keep the log small.
pub(super) fn mark_writes(id: &MarkId, mark: &Mark) -> Vec<Write> {
    let fields = [
        Some(MarkField::Part(mark.part.clone())),
        Some(MarkField::Outline { view: mark.view, shape: mark.shape.clone() }),
        Some(MarkField::Kind(mark.kind)),
        Some(MarkField::DepthMm(mark.depth_mm)).filter(|_| mark.depth_mm != 0),
        Some(MarkField::Coat(mark.coat)).filter(|_| mark.coat != Coat::Whole),
        Some(MarkField::Sharp(mark.sharp)).filter(|_| mark.sharp),
        Some(MarkField::Count(mark.count)).filter(|_| mark.count != 0),
        Some(MarkField::Note(mark.note.clone())).filter(|_| !mark.note.is_empty()),
    ];
    fields.into_iter().flatten().map(|set| Write::Mark { id: id.clone(), set }).collect()
}

fn vehicle_writes(vehicle: &Vehicle) -> Vec<Write> {
    vec![
        Write::Cab(vehicle.cab),
        Write::Bed(vehicle.bed),
        Write::Vin(vehicle.vin.clone()),
        Write::Colour(vehicle.colour.clone()),
        Write::ColourFamily(vehicle.colour_family),
    ]
}

fn photo_writes(id: &PhotoId, fields: Vec<PhotoField>) -> Vec<Write> {
    fields.into_iter().map(|set| Write::Photo { id: id.clone(), set }).collect()
}

/// A whole job as writes of its first change.
pub(super) fn job_writes(job: &Job) -> Vec<Write> {
    let mut out = vec![Write::Title(job.title.clone())];
    out.extend([Write::Owner(job.owner.clone()), Write::Received(job.received.clone())]);
    out.extend(vehicle_writes(&job.vehicle));
    out.extend([
        Write::RestraintsDeployed(job.restraints_deployed),
        Write::HighVoltage(job.high_voltage),
        Write::Frame(job.frame),
        Write::Note(job.note.clone()),
        Write::Archived(job.archived),
    ]);
    out.extend(job.marks.iter().flat_map(|(id, mark)| mark_writes(id, mark)));
    out.extend(job.holds.iter().map(|(part, action)| Write::Hold { part: part.clone(), action: Some(*action) }));
    out.extend(job.inspections.iter().map(|(part, state)| Write::Inspect { part: part.clone(), state: *state }));
    out.extend([Write::Aim(job.aim), Write::Value(job.value.clone())]);
    let option =
        |(part, option): (&PartId, &OptionHold)| Write::HoldOption { part: part.clone(), option: Some(option.clone()) };
    out.extend(job.options.iter().map(option));
    out.extend(job.photos.iter().flat_map(|(id, photo)| photo_writes(id, photo.fields())));
    out.extend(job.revisions.iter().cloned().map(Write::Freeze));
    out.retain(|write| Some(write) != default_of(&write.field()).as_ref());
    out
}

/// What a field holds before anyone writes it; `None` where a mark is not there without it.
pub(super) fn default_of(field: &super::Field) -> Option<Write> {
    use super::Field as F;
    let empty = Job::empty(super::JobId::default());
    let mark = |id: &MarkId, set| Some(Write::Mark { id: id.clone(), set });
    match field {
        F::Title => Some(Write::Title(empty.title)),
        F::Owner => Some(Write::Owner(empty.owner)),
        F::Received => Some(Write::Received(empty.received)),
        F::Cab => Some(Write::Cab(empty.vehicle.cab)),
        F::Bed => Some(Write::Bed(empty.vehicle.bed)),
        F::Vin => Some(Write::Vin(empty.vehicle.vin)),
        F::Colour => Some(Write::Colour(empty.vehicle.colour)),
        F::ColourFamily => Some(Write::ColourFamily(empty.vehicle.colour_family)),
        F::RestraintsDeployed => Some(Write::RestraintsDeployed(empty.restraints_deployed)),
        F::HighVoltage => Some(Write::HighVoltage(empty.high_voltage)),
        F::Frame => Some(Write::Frame(empty.frame)),
        F::Note => Some(Write::Note(empty.note)),
        F::Archived => Some(Write::Archived(empty.archived)),
        F::Hold(part) => Some(Write::Hold { part: part.clone(), action: None }),
        F::Inspect(part) => Some(Write::Inspect { part: part.clone(), state: Inspection::NotYet }),
        F::Mark(id, name) => match name {
            MarkFieldName::Part | MarkFieldName::Outline | MarkFieldName::Kind => None,
            MarkFieldName::DepthMm => mark(id, MarkField::DepthMm(0)),
            MarkFieldName::Coat => mark(id, MarkField::Coat(Coat::Whole)),
            MarkFieldName::Sharp => mark(id, MarkField::Sharp(false)),
            MarkFieldName::Count => mark(id, MarkField::Count(0)),
            MarkFieldName::Note => mark(id, MarkField::Note(String::new())),
        },
        F::Aim => Some(Write::Aim(None)),
        F::HoldOption(part) => Some(Write::HoldOption { part: part.clone(), option: None }),
        F::Value => Some(Write::Value(None)),
        F::Photo(id, name) => name.default().map(|set| Write::Photo { id: id.clone(), set }),
        F::MarkIsThere(_) | F::Freeze => None,
    }
}
