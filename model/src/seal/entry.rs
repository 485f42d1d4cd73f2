//! One entry, closed and opened: text for the stores of texts, bytes for pictures.
//!
//! A plain entry passes through opening unchanged, since both kinds lie side by side while a tablet is being closed.

use super::NONCE;
use crate::error::{Error, Result};
use base64ct::{Base64Unpadded, Encoding};
use chacha20poly1305::aead::{Aead, KeyInit, Payload};
use chacha20poly1305::{XChaCha20Poly1305, XNonce};

/// How a closed text begins; no JSON text begins so.
const TEXT: &str = "sealed-1:";
/// How closed bytes begin; no picture begins so.
const BYTES: &[u8] = b"sealed-1";

/// Closes and opens entries. Its key is wiped from memory when it is dropped.
pub struct Sealer {
    cipher: XChaCha20Poly1305,
}

/// Whether a text is closed.
pub fn is_sealed(text: &str) -> bool {
    text.starts_with(TEXT)
}

/// Whether bytes are closed.
pub fn is_sealed_bytes(bytes: &[u8]) -> bool {
    bytes.starts_with(BYTES)
}

fn failed() -> Error {
    Error::new("error-seal-entry", "")
}

impl Sealer {
    /// A sealer with this data key.
    pub fn new(key: &[u8; 32]) -> Self {
        Self { cipher: XChaCha20Poly1305::new(key.into()) }
    }

    /// Closes a text for its place; `nonce` must be random and new each time.
    ///
    /// # Errors
    /// Only where the text is longer than the cipher takes, 256 GB.
    pub fn seal(&self, place: &str, text: &str, nonce: &[u8; NONCE]) -> Result<String> {
        let closed = self.close(place, text.as_bytes(), nonce)?;
        let mut out = String::with_capacity(TEXT.len() + closed.len().div_ceil(3) * 4);
        out.push_str(TEXT);
        out.push_str(&Base64Unpadded::encode_string(&closed));
        Ok(out)
    }

    /// Opens a text of its place; a plain one comes back as it is.
    ///
    /// # Errors
    /// `error-seal-entry` where a byte was altered, or it was closed for another place or under another key.
    pub fn open(&self, place: &str, text: &str) -> Result<String> {
        let Some(coded) = text.strip_prefix(TEXT) else { return Ok(text.to_owned()) };
        let closed = Base64Unpadded::decode_vec(coded).map_err(|_| failed())?;
        String::from_utf8(self.unclose(place, &closed)?).map_err(|_| failed())
    }

    /// Closes bytes, as [`seal`](Self::seal).
    ///
    /// # Errors
    /// As [`seal`](Self::seal).
    pub fn seal_bytes(&self, place: &str, bytes: &[u8], nonce: &[u8; NONCE]) -> Result<Vec<u8>> {
        let mut out = BYTES.to_vec();
        out.extend(self.close(place, bytes, nonce)?);
        Ok(out)
    }

    /// Opens bytes, as [`open`](Self::open).
    ///
    /// # Errors
    /// As [`open`](Self::open).
    pub fn open_bytes(&self, place: &str, bytes: &[u8]) -> Result<Vec<u8>> {
        match bytes.strip_prefix(BYTES) {
            Some(closed) => self.unclose(place, closed),
            None => Ok(bytes.to_vec()),
        }
    }

    pub(super) fn close(&self, place: &str, bytes: &[u8], nonce: &[u8; NONCE]) -> Result<Vec<u8>> {
        let payload = Payload { msg: bytes, aad: place.as_bytes() };
        let closed = self.cipher.encrypt(&XNonce::from(*nonce), payload).map_err(|_| failed())?;
        let mut out = Vec::with_capacity(NONCE + closed.len());
        out.extend_from_slice(nonce);
        out.extend(closed);
        Ok(out)
    }

    pub(super) fn unclose(&self, place: &str, bytes: &[u8]) -> Result<Vec<u8>> {
        let (nonce, closed) = bytes.split_first_chunk::<NONCE>().ok_or_else(failed)?;
        let payload = Payload { msg: closed, aad: place.as_bytes() };
        self.cipher.decrypt(&XNonce::from(*nonce), payload).map_err(|_| failed())
    }
}

impl std::fmt::Debug for Sealer {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Sealer")
    }
}
