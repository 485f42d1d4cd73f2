//! Reads a backup as its bytes come, in any portions: memory holds the list of contents and one entry, never a picture.
//!
//! Trusts nothing: an entry counts when its name is one of ours, stands once, and its bytes have the sum in the name.
//! After a fault the reader goes on at the next block that is a header.

use super::found::{Found, FoundPhoto, Place};
use super::header::{self, Head};
use super::name::Name;
use super::{BLOCK, ENTRIES_MAX, MANIFEST_MAX, PHOTO_MAX, SHOP_MAX, manifest};
use crate::error::{Error, Result};
use crate::job::{Change, ChangeId, DeviceId, JobId, Log, Session, wire};
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::sync::Arc;

/// Bytes without any header after which a file counts as no backup at all.
const PATIENCE: u64 = MANIFEST_MAX + (1 << 20);
/// Bytes of one job's changes that are kept to say its title.
const TITLE_MAX: u64 = 64 << 20;

enum State {
    /// Looking for a header.
    Seek,
    /// Inside an entry.
    Body(Box<Body>),
    /// Between an entry's end and the next block.
    Pad(usize),
}

struct Body {
    name: Name,
    text: String,
    place: Place,
    left: u64,
    sum: Sha256,
}

/// A reader that is fed.
pub struct Reader {
    state: State,
    /// A block that is not full yet, or the bytes of an entry that is no picture.
    held: Vec<u8>,
    at: u64,
    zeros: usize,
    headers: usize,
    /// The list of contents was begun, whole or not.
    listed: bool,
    /// Inside a stretch that is no archive, which is told once.
    lost: bool,
    expected: BTreeSet<Name>,
    run: Option<Run>,
    found: Found,
}

/// The changes of the job that is being read, for its title.
struct Run {
    job: JobId,
    log: Log,
    bytes: u64,
}

/// Reads a whole file that is in memory.
///
/// # Errors
/// As [`Reader::feed`] and [`Reader::finish`].
pub fn read(bytes: &[u8]) -> Result<Found> {
    let mut reader = Reader::new();
    reader.feed(bytes)?;
    reader.finish()
}

impl Default for Reader {
    fn default() -> Self {
        Self::new()
    }
}

impl Reader {
    /// Nothing is read yet.
    pub fn new() -> Self {
        Self {
            state: State::Seek,
            held: Vec::new(),
            at: 0,
            zeros: 0,
            headers: 0,
            listed: false,
            lost: false,
            expected: BTreeSet::new(),
            run: None,
            found: Found::default(),
        }
    }

    /// Takes the next bytes of the file.
    ///
    /// # Errors
    /// Where the file as a whole cannot be one of ours: no archive, too many entries, a newer version.
    pub fn feed(&mut self, mut bytes: &[u8]) -> Result<()> {
        while !bytes.is_empty() {
            let taken = match &mut self.state {
                State::Pad(left) => {
                    let taken = bytes.len().min(*left);
                    *left -= taken;
                    if *left == 0 {
                        self.state = State::Seek;
                    }
                    taken
                }
                State::Seek => {
                    let taken = bytes.len().min(BLOCK - self.held.len());
                    self.held.extend_from_slice(&bytes[..taken]);
                    taken
                }
                State::Body(body) => {
                    #[allow(clippy::cast_possible_truncation)] // not above a length in memory
                    let taken = body.left.min(bytes.len() as u64) as usize;
                    body.sum.update(&bytes[..taken]);
                    if !matches!(body.name, Name::Photo(..)) {
                        self.held.extend_from_slice(&bytes[..taken]);
                    }
                    body.left -= taken as u64;
                    taken
                }
            };
            self.at += taken as u64;
            bytes = &bytes[taken..];
            match &self.state {
                State::Seek if self.held.len() == BLOCK => self.block()?,
                State::Body(body) if body.left == 0 => self.entry()?,
                _ => {}
            }
        }
        Ok(())
    }

    /// A full block where a header may stand.
    fn block(&mut self) -> Result<()> {
        let held = std::mem::take(&mut self.held);
        let Ok(block) = <&[u8; BLOCK]>::try_from(held.as_slice()) else { return Ok(()) };
        if self.headers == 0 && self.at > PATIENCE {
            return Err(Error::new("error-backup-none", ""));
        }
        if block.iter().all(|byte| *byte == 0) {
            // Two blocks of zeros end an archive; but a damaged entry may hold as many, so the reader goes on.
            self.zeros += 1;
            return Ok(());
        }
        self.zeros = 0;
        let Some(head) = header::read(block) else {
            if !self.lost && self.headers > 0 {
                let at = self.at - BLOCK as u64;
                self.found.refuse(&at.to_string(), Error::new("error-backup-stretch", "").with("at", at));
            }
            self.lost = true;
            return Ok(());
        };
        self.lost = false;
        self.headers += 1;
        if self.headers > ENTRIES_MAX + 1 {
            return Err(Error::new("error-backup-entries", "").with("most", ENTRIES_MAX));
        }
        match self.admit(&head) {
            Ok(name) => {
                let place = Place { at: self.at, size: head.size };
                let body = Body { name, text: head.name, place, left: head.size, sum: Sha256::new() };
                self.state = State::Body(Box::new(body));
                if head.size == 0 {
                    self.entry()?;
                }
            }
            Err(error) => {
                self.found.refuse(&head.name, error);
                // What follows belongs to it: not to be told as a fault of its own.
                self.lost = true;
            }
        }
        Ok(())
    }

    /// Whether an entry with this header is read at all.
    fn admit(&mut self, head: &Head) -> Result<Name> {
        if !head.plain {
            return Err(Error::new("error-backup-kind", ""));
        }
        let Some(name) = Name::parse(&head.name) else { return Err(Error::new("error-backup-path", "")) };
        let most = match &name {
            Name::Manifest if self.headers > 1 => return Err(Error::new("error-backup-twice", "")),
            Name::Manifest => MANIFEST_MAX,
            Name::Change(job, id) if self.has_change(job, *id) => return Err(Error::new("error-backup-twice", "")),
            Name::Photo(key, _) if self.found.photos.contains_key(key) => {
                return Err(Error::new("error-backup-twice", ""));
            }
            Name::Shop(what, _) if self.found.shop.contains_key(what) => {
                return Err(Error::new("error-backup-twice", ""));
            }
            Name::Change(..) => wire::TEXT_MAX as u64,
            Name::Photo(..) => PHOTO_MAX,
            Name::Shop(..) => SHOP_MAX,
        };
        if head.size > most {
            return Err(Error::new("error-backup-large", "").with("most", most >> 20));
        }
        // Neither the list nor the size in it is asked: the sum in the name is the better witness.
        Ok(name)
    }

    fn has_change(&self, job: &JobId, id: ChangeId) -> bool {
        self.found.jobs.get(job).is_some_and(|found| found.changes.contains_key(&id))
    }

    /// An entry whose bytes are all here.
    fn entry(&mut self) -> Result<()> {
        let held = std::mem::take(&mut self.held);
        let State::Body(body) = std::mem::replace(&mut self.state, State::Seek) else { return Ok(()) };
        let pad = header::pad(body.place.size);
        if pad > 0 {
            self.state = State::Pad(pad);
        }
        let sum = ChangeId::from_bytes(body.sum.finalize().into());
        if body.name.sum().is_some_and(|named| named != sum) {
            self.found.refuse(&body.text, Error::new("error-backup-sum", ""));
            return Ok(());
        }
        if let Err(error) = self.take(&body.name, body.place, held) {
            if matches!(error.key, "error-backup-newer" | "error-backup-none") {
                return Err(error);
            }
            self.found.refuse(&body.text, error);
        }
        Ok(())
    }

    /// Takes an entry whose sum is right.
    fn take(&mut self, name: &Name, place: Place, held: Vec<u8>) -> Result<()> {
        let text = || String::from_utf8(held).map_err(|_| Error::new("error-backup-text", ""));
        match name {
            Name::Manifest => {
                self.listed = true;
                let (made, expected) = manifest::read(&text()?)?;
                self.found.made = Some(made);
                self.expected = expected;
            }
            Name::Change(job, id) => {
                let change = Change::read(*id, &text()?)?;
                if change.body().job != *job {
                    return Err(Error::new("error-job-mixed", ""));
                }
                if self.run.as_ref().is_none_or(|run| run.job != *job) {
                    self.title();
                    self.run = Some(Run { job: job.clone(), log: Log::default(), bytes: 0 });
                }
                if let Some(run) = self.run.as_mut().filter(|run| run.bytes < TITLE_MAX) {
                    run.bytes += place.size;
                    run.log.add(Arc::new(change));
                }
                self.found.jobs.entry(job.clone()).or_default().changes.insert(*id, place);
            }
            Name::Photo(key, sum) => {
                self.found.photos.insert(key.clone(), FoundPhoto { place, sum: *sum });
            }
            Name::Shop(what, _) => {
                self.found.shop.insert(what.clone(), text()?);
            }
        }
        self.expected.remove(name);
        Ok(())
    }

    /// Says the title of the job whose changes have just ended.
    fn title(&mut self) {
        let Some(run) = self.run.take() else { return };
        let Some(found) = self.found.jobs.get_mut(&run.job).filter(|found| found.title.is_empty()) else { return };
        if let Ok(session) = Session::open(run.log, DeviceId::from("reader")) {
            found.title.clone_from(&session.job().title);
        }
    }

    /// What was found, once the file has ended.
    ///
    /// # Errors
    /// Where the file holds nothing of a backup.
    pub fn finish(mut self) -> Result<Found> {
        self.title();
        if self.at == 0 {
            return Err(Error::new("error-backup-empty", ""));
        }
        if let State::Body(body) = &self.state {
            self.listed |= body.name == Name::Manifest;
            let (name, error) = (body.text.clone(), Error::new("error-backup-cut", ""));
            self.found.refuse(&name, error);
        }
        if !self.listed && self.found.is_empty() {
            return Err(Error::new("error-backup-none", ""));
        }
        self.found.cut = self.zeros < 2 || !matches!(self.state, State::Seek);
        for name in std::mem::take(&mut self.expected) {
            let missing = &mut self.found.missing;
            match name {
                Name::Manifest => {}
                Name::Change(job, _) => *missing.changes.entry(job).or_default() += 1,
                Name::Photo(key, _) => {
                    missing.photos.insert(key);
                }
                Name::Shop(what, _) => {
                    missing.shop.insert(what);
                }
            }
        }
        Ok(self.found)
    }
}
