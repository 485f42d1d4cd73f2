//! Jobs in and out as files, and copies.

use super::AppState;
use crate::platform::{chance, files, lifecycle};
use crate::words::{t, tf};
use leptos::prelude::*;
use model::job::{Job, JobId, LINE_MAX, wire};

const KIND: &str = "application/json";

impl AppState {
    /// Takes in a job file. A file that holds its changes is joined with the job of the same name; one written by hand
    /// never overwrites a job that is here already, but becomes a job of its own.
    ///
    /// # Errors
    /// Where the file cannot be read; the error names the field.
    pub fn import_text(self, text: &str) -> model::Result<JobId> {
        let mut file = wire::read_file(text)?;
        let device = self.desk(|desk| desk.device.clone());
        let lists = |id: &JobId| self.jobs.with_untracked(|jobs| jobs.iter().any(|card| card.id == *id));
        if lists(&file.job.id) && file.log.is_none() && !self.holds_already(&file.job) {
            file.job.id = JobId(chance::name('j', 12));
            self.notify(false, tf("import-as-copy", &[("title", &file.job.title)]), false);
        }
        let id = file.job.id.clone();
        let session = file.open(device)?;
        // The job that is here may be in the journal only; joining needs it in memory first.
        if lists(&id) && !self.desk(|desk| desk.sheets.contains_key(&id)) {
            self.load_then(id.clone(), move |state, _, _| state.admit(session));
        } else {
            self.admit(session);
        }
        Ok(id)
    }

    /// Whether the very first change of a file by hand is part of the job here: it was read before.
    fn holds_already(self, job: &Job) -> bool {
        self.desk(|desk| {
            let Some(sheet) = desk.sheets.get(&job.id) else { return false };
            let Ok(again) = model::job::Session::import(job, desk.device.clone()) else { return false };
            again.log().ids().is_subset(sheet.session.log().ids())
        })
    }

    /// The file of a job that is in memory.
    pub fn export_text(self, id: &JobId) -> Option<String> {
        self.desk(|desk| desk.sheets.get(id).map(|sheet| wire::write_file(&sheet.session)))
    }

    /// Offers a job's file as a download.
    pub fn save_file(self, id: &JobId) {
        self.with_job(id, |state, id| {
            if let Some(text) = state.export_text(id)
                && !files::save(&format!("{id}.json"), KIND, &text)
            {
                state.notify(true, t("file-refused"), false);
            }
        });
    }

    /// Offers all entries that were set aside as one file.
    pub fn save_aside(self) {
        let aside = self.desk(|desk| desk.aside.clone());
        let list: Vec<_> = aside.iter().map(|(key, text)| serde_json::json!({ "key": key, "text": text })).collect();
        let text = serde_json::to_string_pretty(&list).unwrap_or_default(); // texts always have a JSON text
        if !files::save("cutline-set-aside.json", KIND, &text) {
            self.notify(true, t("file-refused"), false);
        }
    }

    /// Makes a copy of a job under a new name, without its history. It may take a moment to appear.
    pub fn copy(self, id: &JobId) -> JobId {
        let new = JobId(chance::name('j', 12));
        let name = new.clone();
        lifecycle::ask_to_keep();
        self.with_job(id, move |state, id| {
            let Some(job) = state.desk(|desk| desk.sheets.get(id).map(|sheet| sheet.session.job().clone())) else {
                return;
            };
            let title: String = tf("job-copy-title", &[("title", &job.title)]).chars().take(LINE_MAX).collect();
            state.admit_new(&Job { id: name.clone(), title, archived: false, ..(*job).clone() });
            state.show(&name);
        });
        new
    }
}
