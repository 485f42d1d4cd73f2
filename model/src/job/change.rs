//! One change: the unit of saving, of undo and of exchange between devices.
//!
//! A change never alters once made; its id is the SHA-256 of its canonical text, so that a damaged one cannot pass and
//! the same one counts once. The canonical text (compact JSON, fields in the order below, integers, words and texts,
//! never a fraction) must never change: a test holds the ids for ever. A write that an older program does not know raises
//! the version of its own change only, so that an older program is told and never guesses.

use super::option::{OptionHold, VehicleValue};
use super::photo::{PhotoField, PhotoFieldName};
use super::revision::Revision;
use super::stamp::Stamp;
use super::state::{DeviceId, JobId};
use crate::damage::MarkShape;
use crate::error::{Error, Result};
use crate::ids::{MarkId, PartId, PhotoId};
use crate::terms::{Action, Aim, Bed, Cab, Coat, ColourFamily, FrameState, Inspection, MarkKind, View};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::sync::Arc;

/// Newest version of the change's canonical text.
pub const CHANGE_VERSION: u32 = 4;

/// SHA-256 of a change's canonical text; written as 64 lower-case hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ChangeId([u8; 32]);

impl ChangeId {
    /// The id of a canonical text.
    pub fn of(text: &str) -> Self {
        Self::of_bytes(text.as_bytes())
    }
    /// The SHA-256 of any bytes.
    pub fn of_bytes(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }
    /// A sum that was made elsewhere.
    pub fn from_bytes(sum: [u8; 32]) -> Self {
        Self(sum)
    }
    /// Reads the written form; `None` where it is not 64 lower-case hexadecimal digits.
    pub fn parse(text: &str) -> Option<Self> {
        let digits = text.as_bytes();
        if digits.len() != 64 {
            return None;
        }
        let value = |digit: u8| match digit {
            b'0'..=b'9' => Some(digit - b'0'),
            b'a'..=b'f' => Some(digit - b'a' + 10),
            _ => None,
        };
        let mut out = [0; 32];
        for (byte, pair) in out.iter_mut().zip(digits.chunks_exact(2)) {
            *byte = value(pair[0])? << 4 | value(pair[1])?;
        }
        Some(Self(out))
    }
}

impl std::fmt::Display for ChangeId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}
impl std::fmt::Debug for ChangeId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0[..4].iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}
impl Serialize for ChangeId {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}
impl<'de> Deserialize<'de> for ChangeId {
    fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = std::borrow::Cow::<'de, str>::deserialize(from)?;
        Self::parse(&text).ok_or_else(|| serde::de::Error::custom("a change id is 64 digits out of 0-9 and a-f"))
    }
}

/// A change with its id.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    id: ChangeId,
    body: Body,
}

/// What a change says. The order of the fields is the order of the canonical text.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Body {
    /// Version of this form: the least that knows every write in it, at most [`CHANGE_VERSION`].
    pub v: u32,
    /// The job.
    pub job: JobId,
    /// When.
    pub at: Stamp,
    /// The device.
    pub by: DeviceId,
    /// What is written.
    pub ops: Vec<Op>,
    /// The change that this one takes back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub undoes: Option<ChangeId>,
    /// The change that this one does again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub redoes: Option<ChangeId>,
}

/// One write and the earlier writes that its writer saw and replaces with it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Op {
    /// The write.
    #[serde(rename = "do")]
    pub write: Write,
    /// Changes whose write of the same field this one replaces; what is not named here was written at the same time.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub over: Vec<ChangeId>,
}

/// A value for one field of the job.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[allow(missing_docs)] // each is the field of the same name in `Job` and `Vehicle`
pub enum Write {
    Title(String),
    Owner(String),
    Received(String),
    Cab(Cab),
    Bed(Bed),
    Vin(String),
    Colour(String),
    RestraintsDeployed(bool),
    HighVoltage(bool),
    Frame(FrameState),
    Note(String),
    Archived(bool),
    /// What a person decides for a part; `None` takes the decision back.
    Hold {
        part: PartId,
        action: Option<Action>,
    },
    /// What was found behind.
    Inspect {
        part: PartId,
        state: Inspection,
    },
    /// One field of a mark; writing any field also keeps or brings back the mark.
    Mark {
        id: MarkId,
        set: MarkField,
    },
    /// Takes away a mark as far as its writer saw it.
    RemoveMark(MarkId),
    /// What the plan aims at; `None`: money. Version 2, as is all that follows.
    Aim(Option<Aim>),
    /// What a person holds to for a part beyond the action; `None` takes it back.
    HoldOption {
        part: PartId,
        option: Option<OptionHold>,
    },
    /// What the vehicle is worth; `None`: not known.
    Value(Option<VehicleValue>),
    /// A plan that was given out. Stays for ever, beside every other one.
    Freeze(Arc<Revision>),
    /// One field of a photo. Version 3.
    Photo {
        id: PhotoId,
        set: PhotoField,
    },
    /// Family of the colour; `None`: nobody named it. Version 4.
    ColourFamily(Option<ColourFamily>),
}

/// A value for one field of a mark.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[allow(missing_docs)] // each is the field of the same name in `Mark`
pub enum MarkField {
    Part(PartId),
    /// View and shape belong together: a shape means nothing in another view's plane.
    Outline {
        view: View,
        shape: MarkShape,
    },
    Kind(MarkKind),
    DepthMm(u16),
    Coat(Coat),
    Sharp(bool),
    Count(u16),
    Note(String),
}

/// Which field of the job a write is for.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)] // as in `Write`
pub enum Field {
    Title,
    Owner,
    Received,
    Cab,
    Bed,
    Vin,
    Colour,
    RestraintsDeployed,
    HighVoltage,
    Frame,
    Note,
    Archived,
    Hold(PartId),
    Inspect(PartId),
    Mark(MarkId, MarkFieldName),
    /// Whether the mark is there.
    MarkIsThere(MarkId),
    Aim,
    HoldOption(PartId),
    Value,
    /// No field: each stands for itself.
    Freeze,
    Photo(PhotoId, PhotoFieldName),
    ColourFamily,
}

/// Which field of a mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)] // as in `MarkField`
pub enum MarkFieldName {
    Part,
    Outline,
    Kind,
    DepthMm,
    Coat,
    Sharp,
    Count,
    Note,
}

impl MarkField {
    /// Which field it is.
    pub fn name(&self) -> MarkFieldName {
        match self {
            Self::Part(_) => MarkFieldName::Part,
            Self::Outline { .. } => MarkFieldName::Outline,
            Self::Kind(_) => MarkFieldName::Kind,
            Self::DepthMm(_) => MarkFieldName::DepthMm,
            Self::Coat(_) => MarkFieldName::Coat,
            Self::Sharp(_) => MarkFieldName::Sharp,
            Self::Count(_) => MarkFieldName::Count,
            Self::Note(_) => MarkFieldName::Note,
        }
    }
}

impl Write {
    /// Which field it is for.
    pub fn field(&self) -> Field {
        match self {
            Self::Title(_) => Field::Title,
            Self::Owner(_) => Field::Owner,
            Self::Received(_) => Field::Received,
            Self::Cab(_) => Field::Cab,
            Self::Bed(_) => Field::Bed,
            Self::Vin(_) => Field::Vin,
            Self::Colour(_) => Field::Colour,
            Self::RestraintsDeployed(_) => Field::RestraintsDeployed,
            Self::HighVoltage(_) => Field::HighVoltage,
            Self::Frame(_) => Field::Frame,
            Self::Note(_) => Field::Note,
            Self::Archived(_) => Field::Archived,
            Self::Hold { part, .. } => Field::Hold(part.clone()),
            Self::Inspect { part, .. } => Field::Inspect(part.clone()),
            Self::Mark { id, set } => Field::Mark(id.clone(), set.name()),
            Self::RemoveMark(id) => Field::MarkIsThere(id.clone()),
            Self::Aim(_) => Field::Aim,
            Self::HoldOption { part, .. } => Field::HoldOption(part.clone()),
            Self::Value(_) => Field::Value,
            Self::Freeze(_) => Field::Freeze,
            Self::Photo { id, set } => Field::Photo(id.clone(), set.name()),
            Self::ColourFamily(_) => Field::ColourFamily,
        }
    }

    /// The version of the change's form that first knew this write.
    pub(super) fn since(&self) -> u32 {
        match self {
            Self::ColourFamily(_) => 4,
            Self::Photo { .. } => 3,
            Self::Aim(_) | Self::HoldOption { .. } | Self::Value(_) | Self::Freeze(_) => 2,
            _ => 1,
        }
    }
}

impl Body {
    /// The least version that knows every one of these writes.
    pub(super) fn version_of(ops: &[Op]) -> u32 {
        ops.iter().map(|op| op.write.since()).max().unwrap_or(1)
    }
    /// Whether it gives out a revision, which no one takes back.
    pub(super) fn freezes(&self) -> bool {
        self.ops.iter().any(|op| matches!(op.write, Write::Freeze(_)))
    }
}

impl Change {
    /// Seals what a change says.
    pub fn new(body: Body) -> Self {
        let id = ChangeId::of(&canonical(&body));
        Self { id, body }
    }
    /// Its id.
    pub fn id(&self) -> ChangeId {
        self.id
    }
    /// What it says.
    pub fn body(&self) -> &Body {
        &self.body
    }
    /// The canonical text: what is stored under the id.
    pub fn text(&self) -> String {
        canonical(&self.body)
    }

    /// Reads a stored change and proves that it is the one with this id.
    ///
    /// # Errors
    /// `error-job-newer` where a newer program made it, `error-job-damaged` where a byte differs, and the field where a
    /// value is out of range.
    pub fn read(id: ChangeId, text: &str) -> Result<Self> {
        if ChangeId::of(text) != id {
            return Err(Error::new("error-job-damaged", format!("changes.{id}")));
        }
        if let Some(version) = super::wire::change_version(text).filter(|version| *version > u64::from(CHANGE_VERSION))
        {
            return Err(Error::new("error-job-newer", format!("changes.{id}")).with("version", version));
        }
        let body: Body = super::wire::from_text(text).map_err(|error| error.within(&format!("changes.{id}")))?;
        let change = Self { id, body };
        if change.text() != text {
            return Err(Error::new("error-job-damaged", format!("changes.{id}")));
        }
        super::check::body(&change.body, false).map_err(|error| error.within(&format!("changes.{id}")))?;
        Ok(change)
    }
}

fn canonical(body: &Body) -> String {
    // A struct of texts, integers and lists always has a JSON text.
    serde_json::to_string(body).unwrap_or_default()
}
