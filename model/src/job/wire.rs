//! The saved file: JSON that a person can read, write by hand and check against `public/schema/job.schema.json`.
//!
//! Reading never panics and never guesses: a field that is unknown, missing or out of range is named. A newer version is
//! its own error, so that nobody takes it for damage and writes over it.

use super::change::{Body, Change, ChangeId};
use super::log::Log;
use super::session::Session;
use super::state::{DeviceId, Job, JobId};
use super::{check, migrate};
use crate::error::{Error, Result, from_json};
use serde::de::{DeserializeOwned, Deserializer, Error as _, MapAccess, Visitor};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::marker::PhantomData;
use std::sync::Arc;

/// What the file calls itself.
pub const FORMAT: &str = "cutline-job";
/// The newest version that this program writes and reads. A job that says nothing new is written as version 1, so that
/// an older program can open it.
pub const VERSION: u32 = 4;
/// Longest text that is read, bytes: some hundred times a job of 200 marks.
pub const TEXT_MAX: usize = 32 << 20;

/// A job that was read from a file.
#[derive(Clone, Debug)]
pub struct JobFile {
    /// The job; its `id` is the file's.
    pub job: Job,
    /// Its changes; `None` for a file written by hand, which holds the job alone.
    pub log: Option<Log>,
}

impl JobFile {
    /// Opens the job on this device. A file without changes becomes one first change, the same on every device.
    ///
    /// # Errors
    /// Where the job is out of range, which [`read_file`] has excluded.
    pub fn open(self, device: DeviceId) -> Result<Session> {
        match self.log {
            Some(log) => Session::open(log, device),
            None => Session::import(&self.job, device),
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    format: String,
    version: u32,
    id: JobId,
    job: Job,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    changes: Vec<Listed>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Listed {
    id: ChangeId,
    change: Body,
}

#[derive(Deserialize)]
struct Head {
    format: Option<serde_json::Value>,
    version: Option<serde_json::Value>,
}

/// Reads a job file.
///
/// # Errors
/// `error-json` with line and column where the text is no JSON; otherwise an error whose place is the field at fault,
/// such as `job.marks.m1.depth_mm`.
pub fn read_file(text: &str) -> Result<JobFile> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.len() > TEXT_MAX {
        return Err(Error::new("error-job-size", "").with("most", TEXT_MAX >> 20));
    }
    let version = version(text)?;
    let file: File = match migrate::to_current(version, text)? {
        None => from_text(text)?,
        Some(migrated) => from_text(&migrated)?,
    };
    check::job_id(&file.id)?;
    let mut job = file.job;
    job.id = file.id;
    needs(version, job.needs_version(), "version")?;
    check::job(&job).map_err(|error| error.within("job"))?;
    job.inspections.retain(|_, state| *state != crate::terms::Inspection::NotYet);
    if file.changes.is_empty() {
        return Ok(JobFile { job, log: None });
    }
    let mut log = Log::default();
    for (at, listed) in file.changes.into_iter().enumerate() {
        let place = format!("changes[{at}]");
        let change = listed_change(listed, &job.id).map_err(|error| error.within(&place))?;
        needs(version, change.body().v, "version")?;
        log.add(Arc::new(change));
    }
    let folded = Session::open(log.clone(), DeviceId::from("reader"))?;
    if **folded.job() != job {
        return Err(Error::new("error-job-differs", "job"));
    }
    Ok(JobFile { job, log: Some(log) })
}

/// Checks what a file calls itself, and returns its version.
fn version(text: &str) -> Result<u32> {
    let head: Head = from_text(text)?;
    if head.format.as_ref().and_then(serde_json::Value::as_str) != Some(FORMAT) {
        return Err(Error::new("error-job-format", "format"));
    }
    let version = head.version.as_ref().and_then(serde_json::Value::as_u64);
    match version {
        Some(number) if number > u64::from(VERSION) => {
            Err(Error::new("error-job-newer", "version").with("version", number))
        }
        Some(number) if number >= 1 => Ok(u32::try_from(number).unwrap_or(VERSION)),
        _ => Err(Error::new("error-job-version", "version").with("version", VERSION)),
    }
}

/// What stands in a form must have been known to its version.
pub(super) fn needs(version: u32, least: u32, place: &str) -> Result<()> {
    if version >= least { Ok(()) } else { Err(Error::new("error-job-needs", place).with("version", least)) }
}

fn listed_change(listed: Listed, job: &JobId) -> Result<Change> {
    let change = Change::new(listed.change);
    if change.id() != listed.id {
        return Err(Error::new("error-job-damaged", "id"));
    }
    check::body(change.body(), true).map_err(|error| error.within("change"))?;
    if change.body().job != *job {
        return Err(Error::new("error-job-mixed", "change.job"));
    }
    Ok(change)
}

/// Writes a job with all its changes, indented for people.
pub fn write_file(session: &Session) -> String {
    // The structures below always have a JSON text.
    let mut text = serde_json::to_string_pretty(&file(session)).unwrap_or_default();
    text.push('\n');
    text
}

/// The same in one line, for snapshots.
pub(super) fn write_compact(session: &Session) -> String {
    serde_json::to_string(&file(session)).unwrap_or_default()
}

fn file(session: &Session) -> File {
    let listed = |change: &Arc<Change>| Listed { id: change.id(), change: change.body().clone() };
    File {
        format: FORMAT.to_owned(),
        version: session.log().changes().map(|change| change.body().v).max().unwrap_or(VERSION),
        id: session.job().id.clone(),
        job: (**session.job()).clone(),
        changes: session.log().changes().map(listed).collect(),
    }
}

/// What can still be read of a damaged snapshot: every change whose id proves it whole.
pub(super) fn salvage(text: &str) -> Vec<Change> {
    let Ok(value) = serde_json::from_str::<serde_json::Value>(text) else { return Vec::new() };
    let Some(list) = value.get("changes").and_then(serde_json::Value::as_array) else { return Vec::new() };
    let whole = |item: &serde_json::Value| {
        let listed: Listed = serde_json::from_value(item.clone()).ok()?;
        let job = listed.change.job.clone();
        listed_change(listed, &job).ok()
    };
    list.iter().filter_map(whole).collect()
}

/// The ids that a snapshot names, without proving them.
pub(super) fn named(text: &str) -> Vec<ChangeId> {
    #[derive(Deserialize)]
    struct Names {
        #[serde(default)]
        changes: Vec<Name>,
    }
    #[derive(Deserialize)]
    struct Name {
        id: ChangeId,
    }
    serde_json::from_str::<Names>(text)
        .map(|names| names.changes.into_iter().map(|name| name.id).collect())
        .unwrap_or_default()
}

/// The version that a stored change claims.
pub(super) fn change_version(text: &str) -> Option<u64> {
    #[derive(Deserialize)]
    struct Version {
        v: u64,
    }
    serde_json::from_str::<Version>(text).ok().map(|version| version.v)
}

/// Reads a JSON text; the error's place is the field.
pub(super) fn from_text<T: DeserializeOwned>(text: &str) -> Result<T> {
    let mut reader = serde_json::Deserializer::from_str(text);
    let value = serde_path_to_error::deserialize(&mut reader).map_err(|error| {
        let place = error.path().to_string();
        let inner = error.into_inner();
        if !inner.is_data() {
            return from_json(&inner);
        }
        // The reader's own words end in line and column, which the place says better.
        let words = inner.to_string();
        let detail = words.split(" at line ").next().unwrap_or_default().to_owned();
        Error::new("error-job-field", if place == "." { String::new() } else { place }).with("detail", detail)
    })?;
    reader.end().map_err(|error| from_json(&error))?;
    Ok(value)
}

/// Reads a map and refuses a name that stands twice, of which one value would vanish unseen.
pub(super) fn unique<'de, D, K, V>(from: D) -> std::result::Result<BTreeMap<K, V>, D::Error>
where
    D: Deserializer<'de>,
    K: Deserialize<'de> + Ord + std::fmt::Display,
    V: Deserialize<'de>,
{
    struct Unique<K, V>(PhantomData<(K, V)>);
    impl<'de, K: Deserialize<'de> + Ord + std::fmt::Display, V: Deserialize<'de>> Visitor<'de> for Unique<K, V> {
        type Value = BTreeMap<K, V>;
        fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
            f.write_str("an object")
        }
        fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> std::result::Result<Self::Value, A::Error> {
            let mut out = BTreeMap::new();
            while let Some(key) = map.next_key::<K>()? {
                if out.contains_key(&key) {
                    return Err(A::Error::custom(format_args!("`{key}` stands here twice")));
                }
                let value = map.next_value()?;
                out.insert(key, value);
            }
            Ok(out)
        }
    }
    from.deserialize_map(Unique(PhantomData))
}
