//! Bytes that stay in the browser's memory until they are asked for: a picture of some megabytes never crosses into ours
//! only to be stored or shown.

use js_sys::{ArrayBuffer, Uint8Array};

/// Some bytes. Copies share them.
#[derive(Clone, Debug, PartialEq)]
pub struct Bytes(pub(super) ArrayBuffer);

impl Bytes {
    /// Takes bytes over from our memory.
    #[must_use]
    pub fn new(bytes: &[u8]) -> Self {
        Self(Uint8Array::from(bytes).buffer())
    }
    /// How many.
    #[must_use]
    pub fn len(&self) -> u32 {
        self.0.byte_length()
    }
    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
    /// A copy in our memory.
    #[must_use]
    pub fn to_vec(&self) -> Vec<u8> {
        Uint8Array::new(&self.0).to_vec()
    }
    /// A copy of the first bytes, `most` of them or as many as there are.
    #[must_use]
    pub fn first(&self, most: u32) -> Vec<u8> {
        Uint8Array::new_with_byte_offset_and_length(&self.0, 0, most.min(self.len())).to_vec()
    }
}
