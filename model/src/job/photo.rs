//! What a job knows of its photos: when each was taken, what it shows, where the pins stand. Facts only.
//!
//! The bytes of a picture are never in the log: the app keeps them beside it, and `sha256` says which they are.

use super::check::{self, NOTE_MAX};
use crate::error::{Error, Result};
use crate::ids::{MarkId, PhotoId};
use crate::photo::PIXELS_MAX;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// Most photos of one job.
pub const PHOTOS_MAX: usize = 2_000;
/// Most pins on one photo.
pub const PINS_MAX: usize = 100;
/// The far edge of a picture on the scale of a pin.
pub const PIN_FAR: u16 = 10_000;

/// A photo of a job.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Photo {
    /// What never changes.
    pub taken: Arc<Taken>,
    /// The mark that it is of; none: it is of the job.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mark: Option<MarkId>,
    /// Where marks are to be seen on it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pins: Vec<Pin>,
    /// A person's note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// The day (`YYYY-MM-DD`) on which it went into the bin; none: it is not there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub binned: Option<String>,
}

/// How a photo was taken.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Taken {
    /// Day and time by the tablet, `YYYY-MM-DDTHH:MM`.
    pub at: String,
    /// Width of the kept picture, upright, pixels.
    pub width: u32,
    /// Height, pixels.
    pub height: u32,
    /// Size of the kept picture, bytes.
    pub bytes: u32,
    /// SHA-256 of the kept picture, 64 lower-case hexadecimal digits.
    pub sha256: String,
    /// The file as the camera made it, where the shop keeps that too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub original: Option<Original>,
}

/// The camera's own file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Original {
    /// Size, bytes.
    pub bytes: u32,
    /// SHA-256, 64 lower-case hexadecimal digits.
    pub sha256: String,
}

/// A place on a photo where a mark is to be seen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pin {
    /// The mark.
    pub mark: MarkId,
    /// From the left edge, in ten-thousandths of the width, 0 to [`PIN_FAR`].
    pub x: u16,
    /// From the upper edge, in ten-thousandths of the height, 0 to [`PIN_FAR`].
    pub y: u16,
}

/// A value for one field of a photo.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[allow(missing_docs)] // each is the field of the same name in `Photo`
pub enum PhotoField {
    Taken(Arc<Taken>),
    Mark(Option<MarkId>),
    Pins(Vec<Pin>),
    Note(String),
    Binned(Option<String>),
}

/// Which field of a photo.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)] // as in `PhotoField`
pub enum PhotoFieldName {
    Taken,
    Mark,
    Pins,
    Note,
    Binned,
}

impl PhotoField {
    /// Which field it is.
    pub fn name(&self) -> PhotoFieldName {
        match self {
            Self::Taken(_) => PhotoFieldName::Taken,
            Self::Mark(_) => PhotoFieldName::Mark,
            Self::Pins(_) => PhotoFieldName::Pins,
            Self::Note(_) => PhotoFieldName::Note,
            Self::Binned(_) => PhotoFieldName::Binned,
        }
    }
}

impl PhotoFieldName {
    /// What the field holds before anyone writes it; a photo is not there before it was taken.
    pub(super) fn default(self) -> Option<PhotoField> {
        match self {
            Self::Taken => None,
            Self::Mark => Some(PhotoField::Mark(None)),
            Self::Pins => Some(PhotoField::Pins(Vec::new())),
            Self::Note => Some(PhotoField::Note(String::new())),
            Self::Binned => Some(PhotoField::Binned(None)),
        }
    }
}

/// A photo as its fields come in.
#[derive(Default)]
pub(super) struct Partial {
    taken: Option<Arc<Taken>>,
    mark: Option<MarkId>,
    pins: Vec<Pin>,
    note: String,
    binned: Option<String>,
}

impl Partial {
    pub fn set(&mut self, field: PhotoField) {
        match field {
            PhotoField::Taken(value) => self.taken = Some(value),
            PhotoField::Mark(value) => self.mark = value,
            PhotoField::Pins(value) => self.pins = value,
            PhotoField::Note(value) => self.note = value,
            PhotoField::Binned(value) => self.binned = value,
        }
    }
    /// The photo; `None` while the change that carries how it was taken has not arrived.
    pub fn whole(self) -> Option<Photo> {
        let Self { taken, mark, pins, note, binned } = self;
        Some(Photo { taken: taken?, mark, pins, note, binned })
    }
}

impl Photo {
    /// A photo that nobody has written on yet.
    pub fn new(taken: Taken, mark: Option<MarkId>) -> Self {
        Self { taken: Arc::new(taken), mark, pins: Vec::new(), note: String::new(), binned: None }
    }
    /// Its fields, those at their defaults left out.
    pub(super) fn fields(&self) -> Vec<PhotoField> {
        let mut fields = vec![
            PhotoField::Taken(self.taken.clone()),
            PhotoField::Mark(self.mark.clone()),
            PhotoField::Pins(self.pins.clone()),
            PhotoField::Note(self.note.clone()),
            PhotoField::Binned(self.binned.clone()),
        ];
        fields.retain(|field| field.name().default().as_ref() != Some(field));
        fields
    }
}

/// A whole photo, as read from a file.
pub(super) fn check(id: &PhotoId, photo: &Photo) -> Result<()> {
    check::name(id.as_str(), "photos")?;
    photo.fields().iter().try_for_each(check_field).map_err(|error| error.within(&format!("photos.{id}")))
}

/// One field's ranges.
pub(super) fn check_field(field: &PhotoField) -> Result<()> {
    match field {
        PhotoField::Taken(taken) => check_taken(taken).map_err(|error| error.within("taken")),
        PhotoField::Mark(mark) => mark.iter().try_for_each(|mark| check::name(mark.as_str(), "mark")),
        PhotoField::Pins(pins) => {
            if pins.len() > PINS_MAX {
                return Err(Error::new("error-photo-pins", "pins").with("most", PINS_MAX));
            }
            for (at, pin) in pins.iter().enumerate() {
                let place = format!("pins[{at}]");
                check::name(pin.mark.as_str(), &place)?;
                check::at_most(pin.x.max(pin.y), PIN_FAR, &place)?;
            }
            Ok(())
        }
        PhotoField::Note(text) => check::length(text, NOTE_MAX, "note"),
        PhotoField::Binned(day) => day.iter().try_for_each(|day| check::date(day, "binned")),
    }
}

fn check_taken(taken: &Taken) -> Result<()> {
    let (day, time) = taken.at.split_once('T').unwrap_or_default();
    let clock = time.len() == 5
        && time.split_once(':').is_some_and(|(hour, minute)| {
            let digits = |text: &str| text.len() == 2 && text.bytes().all(|byte| byte.is_ascii_digit());
            let below = |text: &str, most: u8| digits(text) && text.parse::<u8>().is_ok_and(|value| value < most);
            below(hour, 24) && below(minute, 60)
        });
    if !clock || !check::is_date(day) {
        return Err(Error::new("error-photo-time", "at").with("value", taken.at.chars().take(40).collect::<String>()));
    }
    if taken.width == 0 || taken.height == 0 || u64::from(taken.width) * u64::from(taken.height) > PIXELS_MAX {
        return Err(Error::new("error-photo-size", "width").with("most", PIXELS_MAX / 1_000_000));
    }
    for sha256 in taken.original.iter().map(|original| &original.sha256).chain([&taken.sha256]) {
        if super::ChangeId::parse(sha256).is_none() {
            return Err(Error::new("error-photo-hash", "sha256"));
        }
    }
    Ok(())
}
