//! What is open in this tab beside the signals: sessions, where their changes are kept, the journal.
//!
//! Plain data; `dispatch.rs`, `flush.rs` and `start.rs` work on it.

use super::card::Readable;
use super::stores::Quick;
use crate::platform::journal::Journal;
use crate::platform::lifecycle::Others;
use crate::platform::picked::Picked;
use crate::platform::{Refusal, chance, quick};
use model::ids::PhotoId;
use model::job::keep::{Keeper, evict};
use model::job::{Change, DeviceId, JobId, Session, is_name};
use std::collections::BTreeMap;
use std::sync::Arc;

const DEVICE_KEY: &str = "cutline-device";

/// One job in memory.
pub(super) struct Sheet {
    pub session: Session,
    pub keeper: Keeper,
    pub readable: Readable,
    /// Local storage refused a change of it, so that only the journal has it.
    pub quick_refused: bool,
}

/// The journal, as far as it is known.
#[derive(Clone)]
pub(super) enum Link {
    /// Being opened.
    Opening,
    /// Open.
    Open(Journal),
    /// The browser refuses it.
    Refused(Refusal),
}

pub(super) struct Desk {
    pub sheets: BTreeMap<JobId, Sheet>,
    pub link: Link,
    pub others: Option<Others>,
    /// The job that the person wants to see; it may still be loading.
    pub wanted: Option<JobId>,
    /// Changes that are not in local storage yet, earliest first.
    pub unput: Vec<(JobId, Arc<Change>)>,
    /// A flush is under way.
    pub flushing: bool,
    /// Sequence number of the settings that the journal holds.
    pub settings_journalled: u64,
    /// Local storage holds the settings as they stand.
    pub settings_quick: bool,
    /// Files of photos on their way, by the number of the capture.
    pub files: BTreeMap<u64, Picked>,
    /// A photo is being made.
    pub developing: bool,
    /// Photos whose bytes are kept and whose change is not in the journal yet.
    pub notes: Vec<(JobId, PhotoId)>,
    /// The person was told that room is short.
    pub room_told: bool,
    /// Entries set aside in this tab's life, as key and text, for the file.
    pub aside: Vec<(String, String)>,
    pub device: DeviceId,
    /// The lock in force, once it is known, while the passphrase is asked for.
    pub lock: Option<String>,
    /// Other tabs are listened to.
    pub listening: bool,
    /// The page is watched, so that it locks when nobody is there.
    pub watching: bool,
    /// Random name of this load of the page.
    pub tab: String,
    notices: u64,
}

impl Desk {
    pub fn new() -> Self {
        let known = quick::get(DEVICE_KEY).ok().flatten().filter(|name| is_name(name));
        let device = known.unwrap_or_else(|| {
            let name = chance::name('d', 12);
            // Where this is refused the device has another name after each start, which costs undo, not work.
            let _ = quick::put(DEVICE_KEY, &name);
            name
        });
        Self {
            sheets: BTreeMap::new(),
            link: Link::Opening,
            others: None,
            wanted: None,
            unput: Vec::new(),
            flushing: false,
            settings_journalled: 0,
            settings_quick: false,
            files: BTreeMap::new(),
            developing: false,
            notes: Vec::new(),
            room_told: false,
            aside: Vec::new(),
            device: DeviceId(device),
            lock: None,
            listening: false,
            watching: false,
            tab: chance::name('t', 12),
            notices: 0,
        }
    }

    pub fn next_notice(&mut self) -> u64 {
        self.notices += 1;
        self.notices
    }

    /// Puts a job into memory. Where it is there already, the changes are joined.
    pub fn put(&mut self, session: Session, readable: Readable) -> &mut Sheet {
        let id = session.job().id.clone();
        let tab = self.tab.clone();
        let sheet = self.sheets.entry(id.clone()).or_insert_with(|| Sheet {
            session: session.clone(),
            keeper: Keeper::new(id, &tab),
            readable: readable.clone(),
            quick_refused: false,
        });
        for change in session.log().changes() {
            // A change of the same job that was read whole is always taken.
            let _ = sheet.session.receive(change.clone());
        }
        if readable != Readable::Ok {
            sheet.readable = readable;
        }
        sheet
    }

    /// Takes a job out of local storage, if the journal holds all of it. Whether it did.
    pub fn leave_quick(&mut self, id: &JobId) -> bool {
        let Some(sheet) = self.sheets.get_mut(id) else { return false };
        let saved = sheet.keeper.is_saved(&sheet.session);
        let left = saved && evict(&mut Quick, id, sheet.session.log().ids()) == Ok(true);
        if left {
            sheet.keeper.forget_quick();
        }
        left
    }

    /// Takes other jobs out of local storage, if the journal holds all of them. Whether there is room now.
    pub fn make_room(&mut self, keep: &JobId) -> bool {
        let mut made = false;
        for (id, sheet) in &mut self.sheets {
            let idle = id != keep && self.wanted.as_ref() != Some(id);
            if idle
                && sheet.keeper.is_saved(&sheet.session)
                && evict(&mut Quick, id, sheet.session.log().ids()) == Ok(true)
            {
                sheet.keeper.forget_quick();
                made = true;
            }
        }
        made
    }
}
