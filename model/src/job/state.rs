//! The job as a plain value: the fold of its log.
//!
//! Facts and human choices only. Never holds a result, a time of day or anything of one tablet's view.

use super::option::{OptionHold, VehicleValue};
use super::photo::Photo;
use super::revision::Revision;
use crate::damage::Mark;
use crate::ids::{MarkId, PartId, PhotoId};
use crate::terms::{Action, Aim, Bed, Cab, ColourFamily, FrameState, Inspection};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Name of a job: 1 to 64 characters out of `a`–`z`, `0`–`9` and `-`.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct JobId(pub String);

/// Name of the device that made a change, in the same alphabet as [`JobId`].
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct DeviceId(pub String);

impl From<&str> for JobId {
    fn from(text: &str) -> Self {
        Self(text.to_owned())
    }
}
impl From<&str> for DeviceId {
    fn from(text: &str) -> Self {
        Self(text.to_owned())
    }
}
impl std::fmt::Display for JobId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

/// The vehicle of a job.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vehicle {
    /// Cab.
    pub cab: Cab,
    /// Bed.
    pub bed: Bed,
    /// Identification number as written on the vehicle, or empty; at most [`VIN_MAX`](super::VIN_MAX) characters.
    #[serde(default)]
    pub vin: String,
    /// Colour in words, or empty.
    #[serde(default)]
    pub colour: String,
    /// Family of the colour; none: nobody named it. Version 4.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub colour_family: Option<ColourFamily>,
}

impl Default for Vehicle {
    fn default() -> Self {
        Self { cab: Cab::FourDoor, bed: Bed::Short, vin: String::new(), colour: String::new(), colour_family: None }
    }
}

/// One damaged vehicle and what people recorded about it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Job {
    /// Name of the job; stands outside the `job` object in a file.
    #[serde(skip)]
    pub id: JobId,
    /// Title in the person's words.
    pub title: String,
    /// Name of the owner, or empty.
    #[serde(default)]
    pub owner: String,
    /// Day of arrival as `YYYY-MM-DD`, or empty.
    #[serde(default)]
    pub received: String,
    /// The vehicle.
    pub vehicle: Vehicle,
    /// A restraint has deployed.
    #[serde(default)]
    pub restraints_deployed: bool,
    /// The vehicle has a high-voltage system.
    #[serde(default)]
    pub high_voltage: bool,
    /// What is known of the frame's shape.
    #[serde(default = "not_measured")]
    pub frame: FrameState,
    /// Marks by name.
    #[serde(default, deserialize_with = "super::wire::unique")]
    pub marks: BTreeMap<MarkId, Mark>,
    /// What a person decided for a part, against the recommendation or with it.
    #[serde(default, deserialize_with = "super::wire::unique")]
    pub holds: BTreeMap<PartId, Action>,
    /// What was found behind; a part that nobody looked at is absent.
    #[serde(default, deserialize_with = "super::wire::unique")]
    pub inspections: BTreeMap<PartId, Inspection>,
    /// A person's note.
    #[serde(default)]
    pub note: String,
    /// Put away; still there.
    #[serde(default)]
    pub archived: bool,
    /// What the plan of this job aims at; none: money. Version 2, as is all that follows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub aim: Option<Aim>,
    /// What a person holds to for a part beyond the action.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty", deserialize_with = "super::wire::unique")]
    pub options: BTreeMap<PartId, OptionHold>,
    /// What the vehicle is worth.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub value: Option<VehicleValue>,
    /// Plans that were given out, in the order in which they were frozen; the first is number 1.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub revisions: Vec<Arc<Revision>>,
    /// Photos by name, those in the bin with them; their bytes are elsewhere. Version 3.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty", deserialize_with = "super::wire::unique")]
    pub photos: BTreeMap<PhotoId, Photo>,
}

fn not_measured() -> FrameState {
    FrameState::NotMeasured
}

impl Job {
    /// A job in which nothing is written yet.
    pub fn empty(id: JobId) -> Self {
        Self {
            id,
            title: String::new(),
            owner: String::new(),
            received: String::new(),
            vehicle: Vehicle::default(),
            restraints_deployed: false,
            high_voltage: false,
            frame: FrameState::NotMeasured,
            marks: BTreeMap::new(),
            holds: BTreeMap::new(),
            inspections: BTreeMap::new(),
            note: String::new(),
            archived: false,
            aim: None,
            options: BTreeMap::new(),
            value: None,
            revisions: Vec::new(),
            photos: BTreeMap::new(),
        }
    }

    /// The version of the file that this job needs at least.
    pub(super) fn needs_version(&self) -> u32 {
        if self.vehicle.colour_family.is_some() {
            return 4;
        }
        if !self.photos.is_empty() {
            return 3;
        }
        let new = self.aim.is_some() || !self.options.is_empty() || self.value.is_some() || !self.revisions.is_empty();
        1 + u32::from(new)
    }
}
