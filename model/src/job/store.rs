//! A place that keeps texts under keys: the browser's stores look like this, and so does the memory one for tests.
//!
//! No rule of the job lives here. [`Memory`] fails on demand, loses what was not committed and damages values, as real
//! stores do.

use std::collections::{BTreeMap, BTreeSet};

/// Why a store did not do what was asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StoreError {
    /// No room is left.
    Full,
    /// The browser does not let this page store anything.
    Blocked,
    /// Something else, in the store's own words.
    Broken(String),
}

/// Texts under keys.
pub trait Store {
    /// All keys that begin with `prefix`, sorted.
    ///
    /// # Errors
    /// Where the store cannot be read.
    fn keys(&self, prefix: &str) -> Result<Vec<String>, StoreError>;
    /// The text under a key.
    ///
    /// # Errors
    /// Where the store cannot be read.
    fn get(&self, key: &str) -> Result<Option<String>, StoreError>;
    /// Puts a text under a key.
    ///
    /// # Errors
    /// Where it was not put; the old text, if any, is still there.
    fn put(&mut self, key: &str, text: &str) -> Result<(), StoreError>;
    /// Removes a key.
    ///
    /// # Errors
    /// Where it is still there.
    fn remove(&mut self, key: &str) -> Result<(), StoreError>;
}

/// A store in memory that can be told to fail.
#[derive(Clone, Debug, Default)]
pub struct Memory {
    now: BTreeMap<String, String>,
    committed: BTreeMap<String, String>,
    /// Greatest sum of the lengths of keys and texts, in UTF-16 units as browsers count; `None`: no limit.
    pub quota: Option<usize>,
    /// Numbers of the writes (puts and removals, from 1) that fail.
    pub fail_at: BTreeSet<u64>,
    /// The store refuses everything.
    pub blocked: bool,
    writes: u64,
}

impl Memory {
    /// How many writes were tried.
    pub fn writes(&self) -> u64 {
        self.writes
    }
    /// Makes everything so far survive [`crash`](Self::crash).
    pub fn commit(&mut self) {
        self.committed.clone_from(&self.now);
    }
    /// Loses everything since the last commit, as a killed browser process does to local storage.
    pub fn crash(&mut self) {
        self.now.clone_from(&self.committed);
    }
    /// Changes a text behind everybody's back.
    pub fn damage(&mut self, key: &str, damage: impl FnOnce(&str) -> String) {
        if let Some(text) = self.now.get(key) {
            let damaged = damage(text);
            self.now.insert(key.to_owned(), damaged);
            self.commit();
        }
    }
    /// Everything, by key.
    pub fn entries(&self) -> &BTreeMap<String, String> {
        &self.now
    }
    /// Puts several texts or, where one fails, none: a transaction of a journal.
    ///
    /// # Errors
    /// Where none was put.
    pub fn put_all(&mut self, entries: &[(String, String)]) -> Result<(), StoreError> {
        let before = self.now.clone();
        for (key, text) in entries {
            if let Err(error) = self.put(key, text) {
                self.now = before;
                return Err(error);
            }
        }
        self.commit();
        Ok(())
    }
    fn write(&mut self) -> Result<(), StoreError> {
        self.writes += 1;
        if self.blocked {
            return Err(StoreError::Blocked);
        }
        if self.fail_at.contains(&self.writes) { Err(StoreError::Broken("told to fail".to_owned())) } else { Ok(()) }
    }
}

fn units(text: &str) -> usize {
    text.encode_utf16().count()
}

impl Store for Memory {
    fn keys(&self, prefix: &str) -> Result<Vec<String>, StoreError> {
        if self.blocked {
            return Err(StoreError::Blocked);
        }
        Ok(self.now.keys().filter(|key| key.starts_with(prefix)).cloned().collect())
    }
    fn get(&self, key: &str) -> Result<Option<String>, StoreError> {
        if self.blocked { Err(StoreError::Blocked) } else { Ok(self.now.get(key).cloned()) }
    }
    fn put(&mut self, key: &str, text: &str) -> Result<(), StoreError> {
        self.write()?;
        if let Some(quota) = self.quota {
            let others: usize =
                self.now.iter().filter(|(known, _)| *known != key).map(|(k, v)| units(k) + units(v)).sum();
            if others + units(key) + units(text) > quota {
                return Err(StoreError::Full);
            }
        }
        self.now.insert(key.to_owned(), text.to_owned());
        Ok(())
    }
    fn remove(&mut self, key: &str) -> Result<(), StoreError> {
        self.write()?;
        self.now.remove(key);
        Ok(())
    }
}

/// What every [`Store`] must do; run against the memory store natively and against the real ones in a browser.
///
/// # Errors
/// A sentence that says which promise was broken.
pub fn keeps_its_promises(store: &mut impl Store, prefix: &str) -> Result<(), String> {
    fn ok<T>(result: Result<T, StoreError>, what: &str) -> Result<T, String> {
        result.map_err(|error| format!("{what}: {error:?}"))
    }
    let (first, second) = (format!("{prefix}contract/a"), format!("{prefix}contract/b"));
    for text in ["", "{}", "ä\u{1f6e0}\"\\\n\u{0}", &"x".repeat(70_000)] {
        ok(store.put(&first, text), "putting")?;
        if ok(store.get(&first), "reading back")?.as_deref() != Some(text) {
            return Err(format!("a text of {} bytes came back different", text.len()));
        }
    }
    ok(store.put(&second, "second"), "putting a second")?;
    if ok(store.keys(&format!("{prefix}contract/")), "listing")? != [first.clone(), second.clone()] {
        return Err("the two keys are not listed in order".to_owned());
    }
    ok(store.remove(&first), "removing")?;
    ok(store.remove(&first), "removing again")?;
    if ok(store.get(&first), "reading a removed key")?.is_some() {
        return Err("a removed key is still there".to_owned());
    }
    if ok(store.get(&second), "reading the other")?.as_deref() != Some("second") {
        return Err("removing one key took another".to_owned());
    }
    ok(store.remove(&second), "cleaning up")
}
