//! What the gate asks for besides the ordinary edits: a whole new job, whether a job is safe, and a file of a job that
//! cannot be opened.

use super::AppState;
use super::desk::Link;
use crate::platform::{chance, files, quick};
use crate::words::t;
use leptos::task::spawn_local;
use model::job::keep::job_prefix;
use model::job::{Job, JobId};
use std::collections::BTreeMap;

impl AppState {
    /// Makes a job out of what was asked at the gate, or out of a demo job, under a name of its own, and opens it.
    pub fn arrive(self, job: Job) -> JobId {
        let id = JobId(chance::name('j', 12));
        self.admit_new(&Job { id: id.clone(), ..job });
        self.open_job(&id);
        id
    }

    /// Whether every change of a job is in the journal. A job that is not in memory came from there.
    pub fn is_saved(self, id: &JobId) -> bool {
        self.desk(|desk| desk.sheets.get(id).is_none_or(|sheet| sheet.keeper.is_saved(&sheet.session)))
    }

    /// Offers everything that both stores hold of a job as a download, as it stands there: for a job that is damaged or
    /// made by a newer Cutline. Reads only.
    pub fn save_entries(self, id: &JobId) {
        let (id, link) = (id.clone(), self.desk(|desk| desk.link.clone()));
        spawn_local(async move {
            let mut entries: BTreeMap<String, String> = BTreeMap::new();
            for key in quick::keys(&job_prefix(&id)).unwrap_or_default() {
                if let Ok(Some(text)) = quick::get(&key) {
                    entries.insert(key, text);
                }
            }
            if let Link::Open(journal) = link {
                entries.extend(journal.entries(&job_prefix(&id)).await.unwrap_or_default());
            }
            for (key, text) in self.desk(|desk| desk.aside.clone()) {
                if key.starts_with(&job_prefix(&id)) {
                    entries.insert(key, text);
                }
            }
            let text = serde_json::to_string_pretty(&entries).unwrap_or_default(); // texts always have a JSON text
            if entries.is_empty() || !files::save(&format!("{id}-entries.json"), "application/json", &text) {
                self.notify(true, t("file-refused"), false);
            }
        });
    }
}
