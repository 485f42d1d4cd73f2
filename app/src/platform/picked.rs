//! Files that a person gives to the app: picked in a field or dropped on it.
//!
//! Reads text, and only what the person gave; a file larger than the limit is not read at all.

use super::bytes::Bytes;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;
use web_sys::{DragEvent, Event, File, FileList, HtmlInputElement};

/// A file that the person gave. Copies stand for the same file.
#[derive(Clone)]
pub struct Picked(File);

/// Why a given file has no text for us.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unread {
    /// It is larger than the limit.
    Large,
    /// The browser could not read it, or it is no text.
    Broken,
}

impl Picked {
    /// Its name on the person's device.
    #[must_use]
    pub fn name(&self) -> String {
        self.0.name()
    }

    /// How many bytes it has.
    #[must_use]
    pub fn size(&self) -> f64 {
        self.0.size()
    }

    /// Its bytes from one place up to another, not reaching it; fewer where it ends before. The rest is not read.
    ///
    /// # Errors
    /// Where the browser cannot read it, as when it was changed or removed since.
    pub async fn bytes(&self, from: f64, to: f64) -> Result<Bytes, Unread> {
        let piece = self.0.slice_with_f64_and_f64(from, to).map_err(|_| Unread::Broken)?;
        let buffer = JsFuture::from(piece.array_buffer()).await.map_err(|_| Unread::Broken)?;
        buffer.dyn_into().map(Bytes).map_err(|_| Unread::Broken)
    }

    /// The media type that it is said to have, or empty.
    #[must_use]
    pub fn kind(&self) -> String {
        self.0.type_()
    }

    /// When it was made by the tablet's own calendar and clock, `YYYY-MM-DDTHH:MM`.
    #[must_use]
    pub fn made(&self) -> String {
        super::clock::minute(self.0.last_modified())
    }

    pub(super) fn file(&self) -> &File {
        &self.0
    }

    /// Its text.
    ///
    /// # Errors
    /// Where it is larger than `most` bytes or cannot be read.
    pub async fn text(&self, most: usize) -> Result<String, Unread> {
        #[allow(clippy::cast_precision_loss)] // limits are far below 2⁵³
        if self.0.size() > most as f64 {
            return Err(Unread::Large);
        }
        let text = JsFuture::from(self.0.text()).await.ok().and_then(|text| text.as_string());
        text.ok_or(Unread::Broken)
    }
}

/// What a file field holds after its `change`; the field is emptied, so that the same file can be picked again.
#[must_use]
pub fn chosen(event: &Event) -> Vec<Picked> {
    let Some(field) = event.target().and_then(|target| target.dyn_into::<HtmlInputElement>().ok()) else {
        return Vec::new();
    };
    let picked = field.files().map(list).unwrap_or_default();
    field.set_value("");
    picked
}

/// What was dropped.
#[must_use]
pub fn dropped(event: &DragEvent) -> Vec<Picked> {
    event.data_transfer().and_then(|data| data.files()).map(list).unwrap_or_default()
}

fn list(files: FileList) -> Vec<Picked> {
    (0..files.length()).filter_map(|at| files.get(at)).map(Picked).collect()
}
