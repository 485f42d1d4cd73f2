//! Keeps the settings: local storage first, the journal second, as for edits; at the start the newer text wins.
//!
//! Never drops a text that it cannot read: it is set aside and offered as a file.

use super::AppState;
use super::SaveState;
use super::settings::{KEY, Settings};
use crate::platform::journal::Journal;
use crate::platform::{Refusal, clock, quick};
use crate::words::t;
use leptos::prelude::*;
use leptos::task::spawn_local;

impl AppState {
    /// Changes the settings and keeps them on this device.
    pub fn update_settings(self, change: impl FnOnce(&mut Settings)) {
        self.settings.update(|settings| {
            change(settings);
            settings.sequence = clock::now_ms().max(settings.sequence + 1);
        });
        self.put_settings_quick();
        self.saving.set(SaveState::Saving);
        self.flush();
    }

    fn put_settings_quick(self) {
        let text = self.settings.with_untracked(Settings::text);
        // Where it is refused, the journal comes next, and its word is what the person is told.
        let put = quick::put(KEY, &text).is_ok();
        self.desk(|desk| desk.settings_quick = put);
    }

    /// Takes what local storage holds, at once.
    pub(super) fn begin_settings(self) {
        if let Ok(Some(text)) = quick::get(KEY) {
            self.take_settings(&text);
            self.desk(|desk| desk.settings_quick = true);
        }
    }

    /// Joins the settings with those of the journal.
    pub(super) async fn join_settings(self, journal: &Journal) -> Result<(), Refusal> {
        for (key, text) in journal.settings().await? {
            if key == KEY
                && let Some(sequence) = self.take_settings(&text)
            {
                self.desk(|desk| desk.settings_journalled = sequence);
                if self.settings.with_untracked(|settings| settings.sequence) == sequence {
                    self.put_settings_quick();
                }
            }
        }
        Ok(())
    }

    /// Takes a text over if it is newer; gives its sequence number where it can be read.
    pub(super) fn take_settings(self, text: &str) -> Option<u64> {
        let Some(found) = Settings::read(text) else {
            self.desk(|desk| desk.aside.push((KEY.to_owned(), text.to_owned())));
            self.notify(true, t("settings-damaged"), true);
            return None;
        };
        let sequence = found.sequence;
        if sequence > self.settings.with_untracked(|settings| settings.sequence) {
            self.settings.set(found);
        }
        Some(sequence)
    }

    /// Another tab's settings are in the journal.
    pub(super) fn hear_settings(self) {
        spawn_local(async move {
            if let Ok(journal) = self.answer().await {
                let _ = self.join_settings(&journal).await; // what cannot be read now comes with the next start
            }
        });
    }

    /// The text that the journal lacks, with its sequence number.
    pub(super) fn lacking_settings(self) -> Option<(u64, String)> {
        let sequence = self.settings.with_untracked(|settings| settings.sequence);
        let lacks = self.desk(|desk| desk.settings_journalled < sequence);
        lacks.then(|| (sequence, self.settings.with_untracked(Settings::text)))
    }
}
