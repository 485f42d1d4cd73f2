//! Makes a backup piece by piece: the caller reads one picture at a time and puts the pieces one behind another.
//!
//! The manifest stands first in the file and is written last, when every sum is known.

use super::header::{pad, write};
use super::manifest::{self, Listed, Made};
use super::name::Name;
use super::{ENTRIES_MAX, MANIFEST_MAX};
use crate::error::{Error, Result};
use crate::job::{Change, ChangeId};

/// Bytes of one block of the archive.
pub const BLOCK: usize = 512;

/// A backup in the making.
#[derive(Debug)]
pub struct Making {
    made: Made,
    listed: Vec<Listed>,
}

/// What stands round the bytes of one entry: its header before, zeros after.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Goes before the bytes.
    pub before: [u8; BLOCK],
    /// How many zeros go behind them.
    pub after: usize,
}

impl Making {
    /// Begins.
    pub fn new(made: Made) -> Self {
        Self { made, listed: Vec::new() }
    }

    /// How many entries there are so far.
    pub fn len(&self) -> usize {
        self.listed.len()
    }
    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.listed.is_empty()
    }

    /// One change, whole.
    ///
    /// # Errors
    /// As [`photo`](Self::photo).
    pub fn change(&mut self, change: &Change) -> Result<Vec<u8>> {
        let text = change.text();
        let piece = self.entry(&Name::Change(change.body().job.clone(), change.id()), text.as_bytes())?;
        Ok(piece.around(text.as_bytes()))
    }

    /// Settings or a book of the shop, whole.
    ///
    /// # Errors
    /// As [`photo`](Self::photo), and where `what` is no name.
    pub fn shop(&mut self, what: &str, text: &str) -> Result<Vec<u8>> {
        let piece = self.entry(&Name::Shop(what.to_owned(), ChangeId::of_bytes(text.as_bytes())), text.as_bytes())?;
        Ok(piece.around(text.as_bytes()))
    }

    /// What stands round a picture; `key` is `<job>/<photo>/<kind>`.
    ///
    /// # Errors
    /// Where the key is none, or one file holds as many entries as it may.
    pub fn photo(&mut self, key: &str, bytes: &[u8]) -> Result<Piece> {
        self.entry(&Name::Photo(key.to_owned(), ChangeId::of_bytes(bytes)), bytes)
    }

    fn entry(&mut self, name: &Name, bytes: &[u8]) -> Result<Piece> {
        let text = name.text(bytes);
        let Some((sha256, _)) = name.sum().zip(Name::parse(&text)) else {
            return Err(Error::new("error-backup-name", text).with("detail", "a-z 0-9 -"));
        };
        if self.listed.len() >= ENTRIES_MAX {
            return Err(Error::new("error-backup-entries", "").with("most", ENTRIES_MAX));
        }
        let before = write(&text, bytes.len() as u64, self.made.at_ms / 1000)?;
        self.listed.push(Listed { name: text, sha256, bytes: bytes.len() as u64 });
        Ok(Piece { before, after: pad(bytes.len() as u64) })
    }

    /// What goes before all entries, and what goes behind them.
    ///
    /// # Errors
    /// Where the list of contents is longer than one file's may be.
    pub fn finish(self) -> Result<(Vec<u8>, Vec<u8>)> {
        let text = manifest::write(&self.made, &self.listed);
        let size = text.len() as u64;
        if size > MANIFEST_MAX {
            return Err(Error::new("error-backup-entries", "").with("most", ENTRIES_MAX));
        }
        let before = write(&Name::Manifest.text(&[]), size, self.made.at_ms / 1000)?;
        let front = Piece { before, after: pad(size) }.around(text.as_bytes());
        Ok((front, vec![0; 2 * BLOCK]))
    }
}

impl Piece {
    /// The entry as one run of bytes.
    pub fn around(&self, bytes: &[u8]) -> Vec<u8> {
        let mut out = Vec::with_capacity(BLOCK + bytes.len() + self.after);
        out.extend_from_slice(&self.before);
        out.extend_from_slice(bytes);
        out.resize(out.len() + self.after, 0);
        out
    }
}
