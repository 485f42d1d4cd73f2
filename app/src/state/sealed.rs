//! The passphrase: setting it, asking for it at the start, changing it, taking it away, and locking when nobody is there.
//!
//! The lock is kept in the journal, whose word counts, and in local storage, which knows at once at the start. Closing and
//! opening all entries may be stopped at any moment: both kinds are read meanwhile, and the next start goes on. Locking
//! loads the page anew, so that nothing of a job stays in memory.

use super::{AppState, SaveState};
use crate::platform::journal::{Batch, Journal};
use crate::platform::veil::{self, Veil};
use crate::platform::{Refusal, build, chance, clock, idle, page, quick};
use crate::words::t;
use leptos::prelude::*;
use leptos::task::spawn_local;
use model::job::keep::{ASIDE, Key, PREFIX};
use model::seal::{Cost, DataKey, FRESH, Lock, NONCE, Sealer, Stage};
use model::words::Language;
use std::cell::Cell;
use std::rc::Rc;

/// Key of the lock in both stores.
pub(super) const KEY: &str = "cutline-lock";
/// Key of the last lock that was taken away: what another tab closed at the same moment can still be opened with it.
const LAST: &str = "cutline-lock-last";
/// How long saving may take before locking, ms.
const PATIENCE_MS: u64 = 10_000;

/// Whether jobs are closed under a passphrase.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Privacy {
    /// There is no passphrase.
    #[default]
    None,
    /// The passphrase is asked for.
    Locked,
    /// It was given; all is closed.
    Open,
    /// It was given; entries are still being closed, or opened for good. So many have been looked at.
    Working(usize),
}

/// What is in memory while the passphrase is in force.
struct Curtain {
    sealer: Sealer,
    closes: Cell<bool>,
}

impl Veil for Curtain {
    fn closes(&self) -> bool {
        self.closes.get()
    }
    fn close(&self, place: &str, text: &str) -> Option<String> {
        self.sealer.seal(place, text, &chance::bytes::<NONCE>()?).ok()
    }
    fn open(&self, place: &str, text: &str) -> Option<String> {
        self.sealer.open(place, text).ok()
    }
    fn close_bytes(&self, place: &str, bytes: &[u8]) -> Option<Vec<u8>> {
        self.sealer.seal_bytes(place, bytes, &chance::bytes::<NONCE>()?).ok()
    }
    fn open_bytes(&self, place: &str, bytes: &[u8]) -> Option<Vec<u8>> {
        self.sealer.open_bytes(place, bytes).ok()
    }
}

fn say(error: &model::Error) -> String {
    error.message(Language::English)
}

fn refused(refusal: &Refusal) -> String {
    super::stores::reason(refusal, true)
}

fn fresh() -> Result<[u8; FRESH], String> {
    chance::bytes().ok_or_else(|| t("seal-no-chance"))
}

/// Keeps a lock: the journal first, whose word counts.
async fn keep(journal: &Journal, lock: &Lock) -> Result<(), String> {
    let text = lock.text();
    let batch = Batch { settings: vec![(KEY.to_owned(), text.clone())], ..Batch::default() };
    journal.write(&batch).await.map_err(|refusal| refused(&refusal))?;
    let _ = quick::put(KEY, &text); // where it is refused, the next start learns it from the journal
    Ok(())
}

impl AppState {
    /// Asks both stores which lock is in force, once local storage has said that there is one. Without one, goes on.
    pub(super) fn settle_lock(self, quick_lock: String) {
        spawn_local(async move {
            let (lock, last) = match Journal::open(super::start::NAME).await {
                Ok(journal) => {
                    let kept = (journal.setting(KEY).await, journal.setting(LAST).await);
                    journal.close();
                    kept
                }
                Err(refusal) => (Err(refusal), Ok(None)),
            };
            match lock {
                Ok(Some(text)) => {
                    let _ = quick::put(KEY, &text);
                    self.desk(|desk| desk.lock = Some(text));
                }
                // It was taken away, and a killed browser lost that from local storage: the journal has all of it, open.
                // Where the journal itself was lost, this is all that is left, and the lock stays.
                Ok(None) if last != Ok(None) || quick::closed(PREFIX).is_empty() => {
                    for key in quick::closed(PREFIX).iter().map(String::as_str).chain([KEY]) {
                        let _ = quick::remove(key);
                    }
                    self.privacy.set(Privacy::None);
                    self.begin();
                }
                _ => self.desk(|desk| desk.lock = Some(quick_lock)),
            }
        });
    }

    /// Tries a passphrase; with the right one the app starts.
    ///
    /// # Errors
    /// What is wrong, in words; nothing was changed.
    pub async fn unlock(self, passphrase: &str) -> Result<(), String> {
        let text = loop {
            match self.desk(|desk| desk.lock.clone()) {
                Some(text) => break text,
                None if self.privacy.get_untracked() != Privacy::Locked => return Ok(()),
                None => clock::pause(20).await,
            }
        };
        // Working the passphrase out holds the page: what is said must be painted first.
        page::after_paint().await;
        let lock = Lock::read(&text).map_err(|error| say(&error))?;
        let (sealer, key) = lock.unlock(&page::composed(passphrase)).map_err(|error| say(&error))?;
        veil::set(Rc::new(Curtain { sealer, closes: Cell::new(lock.stage != Stage::Opening) }));
        drop(key);
        self.privacy.set(if lock.stage == Stage::Closed { Privacy::Open } else { Privacy::Working(0) });
        self.begin();
        self.watch_idle();
        spawn_local(async move {
            if let Err(why) = self.go_on(lock).await {
                self.notify(true, why, false);
            }
        });
        Ok(())
    }

    /// After the passphrase was given: keeps the lock where the journal lost it, and ends what was interrupted.
    async fn go_on(self, lock: Lock) -> Result<(), String> {
        let journal = self.answer().await.map_err(|refusal| refused(&refusal))?;
        if journal.setting(KEY).await.map_err(|refusal| refused(&refusal))?.is_none() {
            keep(&journal, &lock).await?;
        }
        match lock.stage {
            Stage::Closed => {
                self.write_quick_again();
                Ok(())
            }
            Stage::Closing => self.close_all(&journal, lock).await,
            Stage::Opening => self.open_all(&journal).await,
        }
    }

    /// Sets a passphrase and closes everything under it.
    ///
    /// # Errors
    /// Why not, in words; nothing was changed, or the next start goes on where this stopped.
    pub async fn set_passphrase(self, passphrase: &str) -> Result<(), String> {
        let journal = self.answer().await.map_err(|refusal| refused(&refusal))?;
        self.all_saved().await?;
        page::after_paint().await;
        let (lock, sealer, _) =
            Lock::new(&page::composed(passphrase), Cost::TABLET, &fresh()?).map_err(|error| say(&error))?;
        keep(&journal, &lock).await?;
        veil::set(Rc::new(Curtain { sealer, closes: Cell::new(true) }));
        self.privacy.set(Privacy::Working(0));
        self.watch_idle();
        self.close_all(&journal, lock).await
    }

    /// Writes everything again, closed, and says so in the lock.
    async fn close_all(self, journal: &Journal, mut lock: Lock) -> Result<(), String> {
        self.write_all_again(journal).await?;
        lock.stage = Stage::Closed;
        keep(journal, &lock).await?;
        self.privacy.set(Privacy::Open);
        Ok(())
    }

    /// Takes the passphrase away: everything is written again, plain, and then the lock goes.
    ///
    /// # Errors
    /// Why not, in words.
    pub async fn drop_passphrase(self, passphrase: &str) -> Result<(), String> {
        let journal = self.answer().await.map_err(|refusal| refused(&refusal))?;
        let mut lock = self.proven(&journal, passphrase).await?.0;
        self.all_saved().await?;
        lock.stage = Stage::Opening;
        keep(&journal, &lock).await?;
        // The page starts anew with a veil that opens only; other tabs do so too, when they hear of the lock.
        let (sealer, _) = lock.unlock(&page::composed(passphrase)).map_err(|error| say(&error))?;
        veil::set(Rc::new(Curtain { sealer, closes: Cell::new(false) }));
        self.privacy.set(Privacy::Working(0));
        self.open_all(&journal).await
    }

    async fn open_all(self, journal: &Journal) -> Result<(), String> {
        self.write_all_again(journal).await?;
        let last = journal.setting(KEY).await.map_err(|refusal| refused(&refusal))?.unwrap_or_default();
        let batch = Batch { settings: vec![(LAST.to_owned(), last)], unset: vec![KEY.to_owned()], ..Batch::default() };
        journal.write(&batch).await.map_err(|refusal| refused(&refusal))?;
        let _ = quick::remove(KEY);
        self.privacy.set(Privacy::None);
        Ok(())
    }

    /// Puts another passphrase in the place of the one in force; nothing else is written.
    ///
    /// # Errors
    /// Why not, in words; the old one is still in force.
    pub async fn change_passphrase(self, old: &str, new: &str) -> Result<(), String> {
        let journal = self.answer().await.map_err(|refusal| refused(&refusal))?;
        let (lock, key) = self.proven(&journal, old).await?;
        let next = lock.renew(&key, &page::composed(new), Cost::TABLET, &fresh()?).map_err(|error| say(&error))?;
        keep(&journal, &next).await
    }

    /// The lock in force, if this passphrase opens it.
    async fn proven(self, journal: &Journal, passphrase: &str) -> Result<(Lock, DataKey), String> {
        let text = journal.setting(KEY).await.map_err(|refusal| refused(&refusal))?.unwrap_or_default();
        page::after_paint().await;
        let lock = Lock::read(&text).map_err(|error| say(&error))?;
        let (_, key) = lock.unlock(&page::composed(passphrase)).map_err(|error| say(&error))?;
        Ok((lock, key))
    }

    /// Brings both stores into the form that the veil wants. Twice, since another tab may have written meanwhile.
    async fn write_all_again(self, journal: &Journal) -> Result<(), String> {
        for round in 0..2 {
            if round > 0 {
                clock::pause(500).await;
            }
            self.write_quick_again();
            let tell = move |seen| self.privacy.set(Privacy::Working(seen));
            journal.write_again(tell).await.map_err(|refusal| refused(&refusal))?;
        }
        Ok(())
    }

    /// Brings local storage alone into the form that the veil wants: after a kill it may hold what stood there before.
    fn write_quick_again(self) {
        for prefix in [PREFIX, ASIDE] {
            for key in quick::keys(prefix).unwrap_or_default() {
                if let Ok(Some(text)) = quick::get(&key)
                    && quick::put(&key, &text).is_err()
                    && let Some(Key::Change(job, _) | Key::Snapshot(job, _)) = Key::parse(&key)
                {
                    // No room for the longer text: the job may leave local storage where the journal has all of it.
                    self.desk(|desk| desk.leave_quick(&job));
                }
            }
        }
    }

    /// Waits until every photo on its way and every edit is safe.
    async fn all_saved(self) -> Result<(), String> {
        while self.photos_on_their_way() {
            clock::pause(50).await;
        }
        self.compact_all();
        self.flush();
        let begun = clock::now_ms();
        while self.saving.get_untracked() != SaveState::Saved {
            if matches!(self.saving.get_untracked(), SaveState::NotSaved { .. })
                || clock::now_ms().abs_diff(begun) > PATIENCE_MS
            {
                return Err(t("seal-not-saved"));
            }
            clock::pause(20).await;
        }
        Ok(())
    }

    /// Locks: what is unsaved is saved first, then the page starts anew and asks for the passphrase. Where an edit cannot
    /// be saved the page stays, and says so.
    pub fn lock_now(self) {
        if !veil::is_set() {
            return;
        }
        spawn_local(async move {
            match self.all_saved().await {
                Ok(()) => build::reload(),
                Err(why) => self.notify(true, why, false),
            }
        });
    }

    /// Locks when nobody has touched the page for as long as the settings say.
    fn watch_idle(self) {
        if self.desk(|desk| std::mem::replace(&mut desk.watching, true)) {
            return;
        }
        let minutes = move || {
            let minutes = self.settings.with_untracked(|settings| settings.lock_minutes);
            (minutes > 0 && veil::is_set()).then(|| u64::from(minutes) * 60_000)
        };
        idle::watch(minutes, move || self.lock_now());
    }

    /// Another tab has written the lock. Where this one must close what it no longer does, or the other way round, it
    /// starts anew, once its edits are safe.
    pub(super) fn hear_lock(self, lock: Option<&str>) {
        let stage = lock.and_then(|text| Lock::read(text).ok()).map(|lock| lock.stage);
        if veil::is_set() == matches!(stage, Some(Stage::Closing | Stage::Closed)) {
            return;
        }
        spawn_local(async move {
            if self.all_saved().await.is_ok() {
                build::reload();
            }
        });
    }
}
