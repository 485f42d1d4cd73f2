//! A large file put together piece by piece. The browser holds the pieces, on disk where it likes to; our memory holds one.

use super::bytes::Bytes;
use super::files;
use js_sys::{Array, Uint8Array};
use wasm_bindgen::JsValue;
use web_sys::{Blob, BlobPropertyBag};

/// Small pieces are handed over together when they have come to this many bytes.
const SMALL: usize = 1 << 20;

/// A file in the making.
#[derive(Default)]
pub struct Parcel {
    parts: Array,
    small: Vec<u8>,
    size: u64,
    refused: bool,
}

impl Parcel {
    /// Adds bytes.
    pub fn push(&mut self, bytes: &[u8]) {
        self.size += bytes.len() as u64;
        self.small.extend_from_slice(bytes);
        if self.small.len() >= SMALL {
            self.settle();
        }
    }

    /// Adds bytes that are the browser's already.
    pub fn push_bytes(&mut self, bytes: &Bytes) {
        self.settle();
        self.size += u64::from(bytes.len());
        self.part(&bytes.0);
    }

    /// How many bytes so far.
    #[must_use]
    pub fn size(&self) -> u64 {
        self.size
    }

    fn settle(&mut self) {
        if !self.small.is_empty() {
            self.part(&Uint8Array::from(self.small.as_slice()));
            self.small.clear();
        }
    }

    fn part(&mut self, bytes: &JsValue) {
        match Blob::new_with_u8_array_sequence(&Array::of1(bytes)) {
            Ok(blob) => {
                self.parts.push(&blob);
            }
            Err(_) => self.refused = true,
        }
    }

    /// Offers the file as a download, with `front` before all that was added; `false` where the browser refuses.
    #[must_use]
    pub fn save(mut self, name: &str, kind: &str, front: &[u8]) -> bool {
        self.settle();
        let all = Array::of1(&Uint8Array::from(front));
        self.parts.iter().for_each(|part| {
            all.push(&part);
        });
        let options = BlobPropertyBag::new();
        options.set_type(kind);
        let blob = Blob::new_with_blob_sequence_and_options(&all, &options);
        !self.refused && blob.is_ok_and(|blob| files::offer(name, &blob).is_some())
    }
}
