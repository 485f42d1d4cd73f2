//! Names of a backup's entries. Each carries the SHA-256 of its bytes; nothing else is a name, so that no path leads
//! anywhere.

use crate::job::{ChangeId, JobId, is_name};

/// What an entry holds, by its name in the archive.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Name {
    /// `manifest.json`.
    Manifest,
    /// `jobs/<job>/<sha>.json`: the canonical text of one change; its id is the sum.
    Change(JobId, ChangeId),
    /// `photos/<job>/<photo>/<kind>/<sha>.<ending>`: one picture. The text is the key `<job>/<photo>/<kind>`.
    Photo(String, ChangeId),
    /// `shop/<what>/<sha>.txt`: settings or a book of the shop.
    Shop(String, ChangeId),
}

impl Name {
    /// Reads a name; `None` for anything that this program would not have written.
    pub fn parse(text: &str) -> Option<Self> {
        if text == "manifest.json" {
            return Some(Self::Manifest);
        }
        let (rest, ending) = text.rsplit_once('.')?;
        let (folder, sum) = rest.rsplit_once('/')?;
        let sum = ChangeId::parse(sum)?;
        let (kind, key) = folder.split_once('/')?;
        let mut pieces = key.split('/');
        let count = pieces.clone().count();
        if !pieces.all(is_name) {
            return None;
        }
        match (kind, count, ending) {
            ("jobs", 1, "json") => Some(Self::Change(JobId::from(key), sum)),
            ("photos", 3, "jpg" | "png" | "webp" | "bin") => Some(Self::Photo(key.to_owned(), sum)),
            ("shop", 1, "txt") => Some(Self::Shop(key.to_owned(), sum)),
            _ => None,
        }
    }

    /// The name as written; a photo's ending follows its first bytes.
    pub fn text(&self, bytes: &[u8]) -> String {
        match self {
            Self::Manifest => "manifest.json".to_owned(),
            Self::Change(job, sum) => format!("jobs/{job}/{sum}.json"),
            Self::Photo(key, sum) => format!("photos/{key}/{sum}.{}", ending(bytes)),
            Self::Shop(what, sum) => format!("shop/{what}/{sum}.txt"),
        }
    }

    /// The sum that the bytes must have; `None` for the manifest.
    pub fn sum(&self) -> Option<ChangeId> {
        match self {
            Self::Manifest => None,
            Self::Change(_, sum) | Self::Photo(_, sum) | Self::Shop(_, sum) => Some(*sum),
        }
    }
}

/// The usual ending of a picture's form, so that other programs show it.
fn ending(bytes: &[u8]) -> &'static str {
    match bytes {
        [0xff, 0xd8, 0xff, ..] => "jpg",
        [0x89, b'P', b'N', b'G', ..] => "png",
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => "webp",
        _ => "bin",
    }
}
