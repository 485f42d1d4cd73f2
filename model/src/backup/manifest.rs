//! The manifest: who made the backup, when, and what every entry is, so that what is missing can be named.

use super::name::Name;
use super::{ENTRIES_MAX, FORMAT, VERSION};
use crate::error::{Error, Result};
use crate::job::{ChangeId, Stamp};
use serde::de::{Deserializer, Error as _, SeqAccess, Visitor};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// Who made a backup and when.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Made {
    /// The program, such as `Cutline 0.1.0`.
    pub by: String,
    /// Milliseconds since the start of 1970, UTC.
    pub at_ms: u64,
}

/// One entry as the manifest lists it.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Listed {
    pub name: String,
    pub sha256: ChangeId,
    pub bytes: u64,
}

#[derive(Serialize)]
struct Written<'a> {
    format: &'a str,
    version: u32,
    by: &'a str,
    at: String,
    entries: &'a [Listed],
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Read {
    #[allow(dead_code)] // checked by `Head`
    format: String,
    #[allow(dead_code)]
    version: u32,
    by: String,
    at: String,
    entries: List,
}

#[derive(Deserialize)]
struct Head {
    format: Option<String>,
    version: Option<u64>,
}

/// The entries, straight into their table: a list that is too long is left at once.
struct List(BTreeSet<Name>);

/// The text of a manifest.
pub(super) fn write(made: &Made, entries: &[Listed]) -> String {
    // 24 characters of a stamp are the time of RFC 3339; its counter means nothing here.
    let at: String = Stamp::after(Stamp::default(), made.at_ms).to_string().chars().take(24).collect();
    let written = Written { format: FORMAT, version: VERSION, by: &made.by, at, entries };
    serde_json::to_string(&written).unwrap_or_default() // texts and numbers always have a JSON text
}

/// Reads a manifest: who made it, and the names of all entries.
///
/// # Errors
/// Where it is no manifest, of a newer version, or says something that cannot be.
pub(super) fn read(text: &str) -> Result<(Made, BTreeSet<Name>)> {
    let wrong = |detail: &dyn std::fmt::Display| Error::new("error-backup-manifest", "").with("detail", detail);
    let head: Head = serde_json::from_str(text).map_err(|error| wrong(&error))?;
    if head.format.as_deref() != Some(FORMAT) {
        return Err(Error::new("error-backup-none", ""));
    }
    match head.version {
        Some(1) => {}
        Some(newer) if newer > u64::from(VERSION) => {
            return Err(Error::new("error-backup-newer", "").with("version", newer));
        }
        _ => return Err(wrong(&"version")),
    }
    let read: Read = serde_json::from_str(text).map_err(|error| wrong(&error))?;
    let at = Stamp::parse(&format!("{}/0000", read.at)).map_err(|error| wrong(&error))?;
    Ok((Made { by: read.by.chars().take(120).collect(), at_ms: at.ms() }, read.entries.0))
}

impl<'de> Deserialize<'de> for List {
    fn deserialize<D: Deserializer<'de>>(from: D) -> std::result::Result<Self, D::Error> {
        struct Entries;
        impl<'de> Visitor<'de> for Entries {
            type Value = List;
            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a list of entries")
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> std::result::Result<List, A::Error> {
                let mut out = BTreeSet::new();
                while let Some(listed) = list.next_element::<Listed>()? {
                    let name = Name::parse(&listed.name).filter(|name| name.sum() == Some(listed.sha256));
                    let Some(name) = name else {
                        return Err(A::Error::custom("an entry's name does not bear its sum"));
                    };
                    if out.len() >= ENTRIES_MAX {
                        return Err(A::Error::custom(format_args!("more than {ENTRIES_MAX} entries")));
                    }
                    if !out.insert(name) {
                        return Err(A::Error::custom("an entry is listed twice"));
                    }
                }
                Ok(List(out))
            }
        }
        from.deserialize_seq(Entries)
    }
}
