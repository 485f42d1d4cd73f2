//! `check-backup`: reads a backup in portions and says whether it is whole, and what is missing where it is not.

use model::backup::{Found, Reader};
use model::words::{Language, say};
use std::io::Read;

/// Bytes that are read at once.
const PORTION: usize = 1 << 20;

/// Reads the file; the answer is a fault where not everything is whole.
pub fn run(file: &str) -> Result<String, String> {
    let told = |error: &dyn std::fmt::Display| format!("{file}: {error}");
    let mut source = std::fs::File::open(file).map_err(|error| told(&error))?;
    let mut reader = Reader::new();
    let mut portion = vec![0; PORTION];
    loop {
        let count = source.read(&mut portion).map_err(|error| told(&error))?;
        if count == 0 {
            break;
        }
        reader.feed(&portion[..count]).map_err(|error| told(&error))?;
    }
    let found = reader.finish().map_err(|error| told(&error))?;
    let held = held(&found);
    if found.is_whole() {
        return Ok(held + "\n");
    }
    let mut lines = vec![told(&held)];
    if found.cut {
        lines.push(word("backup-cut", &[]));
    }
    for refused in &found.refused {
        let why = refused.error.message(Language::English);
        lines.push(word("backup-refused-entry", &[("name", &refused.name), ("why", &why)]));
    }
    if found.refused_more > 0 {
        lines.push(counted("backup-more", found.refused_more));
    }
    for (job, edits) in &found.missing.changes {
        let edits = counted("backup-edits", *edits);
        lines.push(word("backup-missing-edits", &[("title", &job.0), ("edits", &edits)]));
    }
    let others = found.missing.photos.iter().chain(&found.missing.shop);
    lines.extend(others.map(|name| word("command-backup-missing", &[("name", name)])));
    Err(lines.join("\n"))
}

fn held(found: &Found) -> String {
    let edits = counted("backup-edits", found.jobs.values().map(|job| job.changes.len()).sum());
    let jobs = counted("backup-jobs", found.jobs.len());
    let photos = counted("backup-photos", found.photos.len());
    let key = if found.is_whole() { "command-backup-good" } else { "command-backup-part" };
    word(key, &[("edits", &edits), ("jobs", &jobs), ("photos", &photos)])
}

fn word(key: &str, arguments: &[(&str, &str)]) -> String {
    say(Language::English, key, arguments)
}

fn counted(key: &str, count: usize) -> String {
    let number = count.to_string();
    if count == 1 { word(&format!("{key}-one"), &[("count", &number)]) } else { word(key, &[("count", &number)]) }
}
