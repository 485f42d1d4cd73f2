//! Backups against an outside reader (Python's tarfile, hashlib and jsonschema) and against every kind of damage: all that
//! is whole comes back, the rest is named, nothing else is taken, and nothing breaks.

#[path = "jobs/random.rs"]
mod random;

use checks::{Numbers, project, python, read};
use model::backup::{self, BLOCK, Found, Known, Made, Making, Name, Reader};
use model::job::{Change, ChangeId, DeviceId, JobId, Session, wire};
use model::words::Language;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

const AT: u64 = 1_764_066_493_123;

/// A backup of the demo jobs, some pictures and a book, with the changes that went in.
struct Sample {
    bytes: Vec<u8>,
    sessions: Vec<Session>,
}

fn demo_jobs() -> Vec<Session> {
    let mut names: Vec<String> = std::fs::read_dir(project().join("public/demo"))
        .expect("demo jobs")
        .map(|entry| entry.expect("readable").file_name().into_string().expect("a plain name"))
        .collect();
    names.sort();
    let open = |name: &String| {
        let text = read(&format!("public/demo/{name}"));
        wire::read_file(&text).expect("good").open(DeviceId::from("tablet")).expect("opens")
    };
    names.iter().map(open).collect()
}

fn picture(seed: u64, size: usize) -> Vec<u8> {
    let mut numbers = Numbers::new(seed);
    let mut bytes = vec![0xff, 0xd8, 0xff, 0xe0];
    bytes.extend((4..size).map(|_| u8::try_from(numbers.bits() & 255).expect("a byte")));
    bytes
}

fn make(sessions: Vec<Session>, photos: &[(&str, Vec<u8>)], shop: &[(&str, &str)]) -> Sample {
    let mut making = Making::new(Made { by: "Cutline 0.1.0".into(), at_ms: AT });
    let mut body = Vec::new();
    for session in &sessions {
        for change in session.log().changes() {
            body.extend(making.change(change).expect("a change"));
        }
    }
    for (key, bytes) in photos {
        body.extend(making.photo(key, bytes).expect("a key").around(bytes));
    }
    for (what, text) in shop {
        body.extend(making.shop(what, text).expect("a name"));
    }
    let (mut bytes, end) = making.finish().expect("a manifest");
    bytes.extend(body);
    bytes.extend(end);
    Sample { bytes, sessions }
}

fn sample() -> Sample {
    let mut sessions = demo_jobs();
    // Some history: a first change and edits.
    let mut numbers = Numbers::new(7);
    let mut edited = random::start(DeviceId::from("tablet"), 1_000);
    for step in 0..40 {
        let command = random::command(&mut numbers, edited.job());
        let _ = edited.apply(&command, 2_000 + step); // some are refused, which leaves the job as it was
    }
    sessions.push(edited);
    let photos = [
        ("demo-hail/p1/full", picture(1, 70_000)),
        ("demo-hail/p1/thumb", picture(2, 4_096)),
        ("demo-hail/p2/full", vec![0; 3_000]), // two blocks of zeros inside an entry
    ];
    make(sessions, &photos, &[("settings", r#"{"look":"sun"}"#), ("prices", "service_part,price\n")])
}

fn outside(bytes: &[u8], name: &str) -> Value {
    let path = file(name);
    std::fs::write(&path, bytes).expect("writable");
    let schema: Value = serde_json::from_str(&read("public/schema/backup.schema.json")).expect("JSON");
    let given = json!({"read": path, "schema": schema});
    serde_json::from_str(&python("tests/outside/backup.py", &given.to_string())).expect("JSON")
}

fn file(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name)
}

fn changes(found: &Found) -> BTreeSet<ChangeId> {
    found.jobs.values().flat_map(|job| job.changes.keys().copied()).collect()
}

fn all(sample: &Sample) -> BTreeSet<ChangeId> {
    sample.sessions.iter().flat_map(|session| session.log().ids().iter().copied()).collect()
}

/// The bytes at a place, as the app cuts them out of the file.
fn cut(bytes: &[u8], place: backup::Place) -> &[u8] {
    let (at, size) = (usize::try_from(place.at).expect("small"), usize::try_from(place.size).expect("small"));
    &bytes[at..at + size]
}

fn keys(found: &Found) -> Vec<&str> {
    found.refused.iter().map(|refused| refused.error.key).collect()
}

#[test]
fn an_outside_reader_opens_it_and_every_demo_job_comes_back() {
    let sample = sample();
    let told = outside(&sample.bytes, "whole.tar");
    assert_eq!(told["at"], "2025-11-25T10:28:13.123Z");
    let found = backup::read(&sample.bytes).expect("a backup");
    assert!(found.is_whole(), "{found:?}");
    assert_eq!(found.made.as_ref().map(|made| (made.by.as_str(), made.at_ms)), Some(("Cutline 0.1.0", AT)));
    assert_eq!(changes(&found), all(&sample));
    let entries = told["entries"].as_array().expect("a list");
    assert_eq!(entries.len(), 1 + all(&sample).len() + 3 + 2);
    // The places that the program tells are those that the outside reader finds.
    let places: BTreeMap<&str, (u64, u64)> = entries
        .iter()
        .map(|e| (e[0].as_str().expect("a name"), (e[2].as_u64().expect("at"), e[3].as_u64().expect("size"))))
        .collect();
    for session in &sample.sessions {
        let job = &found.jobs[&session.job().id];
        assert_eq!(job.title, session.job().title);
        let mut log = model::job::Log::default();
        for (id, place) in &job.changes {
            let name = Name::Change(session.job().id.clone(), *id).text(&[]);
            assert_eq!(places[name.as_str()], (place.at, place.size));
            let text = std::str::from_utf8(cut(&sample.bytes, *place)).expect("text");
            log.add(std::sync::Arc::new(Change::read(*id, text).expect("whole")));
        }
        let back = Session::open(log, DeviceId::from("other")).expect("opens");
        assert_eq!(wire::write_file(&back), wire::write_file(session), "byte for byte");
    }
    for photo in found.photos.values() {
        assert_eq!(ChangeId::of_bytes(cut(&sample.bytes, photo.place)), photo.sum);
    }
    assert_eq!(found.shop["settings"], r#"{"look":"sun"}"#);
}

#[test]
fn an_archive_that_an_outside_program_wrote_is_read() {
    let sample = sample();
    let found = backup::read(&sample.bytes).expect("a backup");
    let mut entries = Vec::new();
    for entry in outside(&sample.bytes, "repacked-from.tar")["entries"].as_array().expect("a list") {
        let place = backup::Place { at: entry[2].as_u64().expect("at"), size: entry[3].as_u64().expect("size") };
        let hex: String = cut(&sample.bytes, place).iter().map(|byte| format!("{byte:02x}")).collect();
        entries.push(json!([entry[0], hex]));
    }
    let path = file("repacked.tar");
    python("tests/outside/backup.py", &json!({"write": path, "entries": entries}).to_string());
    let again = backup::read(&std::fs::read(path).expect("written")).expect("a backup");
    assert!(again.is_whole(), "{again:?}");
    assert_eq!((changes(&again), again.photos.len()), (changes(&found), found.photos.len()));
}

#[test]
fn the_portions_in_which_it_is_read_make_no_difference() {
    let sample = sample();
    let whole = format!("{:?}", backup::read(&sample.bytes).expect("a backup"));
    for seed in 0..20 {
        let mut numbers = Numbers::new(seed);
        let most = [1, 3, 511, 512, 513, 5_000, 100_000][numbers.below(7)];
        let (mut reader, mut at) = (Reader::new(), 0);
        while at < sample.bytes.len() {
            let to = (at + 1 + numbers.below(most)).min(sample.bytes.len());
            reader.feed(&sample.bytes[at..to]).expect("a backup");
            at = to;
        }
        assert_eq!(format!("{:?}", reader.finish().expect("a backup")), whole, "seed {seed}");
    }
}

#[test]
fn cut_short_anywhere_all_that_is_whole_comes_back_and_the_rest_is_named() {
    let sample = sample();
    // Where entries begin and end is the outside reader's word.
    let told = outside(&sample.bytes, "cut.tar");
    let entries: Vec<(String, usize, usize, usize)> = told["entries"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|e| {
            let number = |at: usize| usize::try_from(e[at].as_u64().expect("a number")).expect("small");
            (e[0].as_str().expect("a name").to_owned(), number(1), number(2), number(3))
        })
        .collect();
    let manifest_end = entries[0].2 + entries[0].3;
    let mut cuts = BTreeSet::from([1, 511, 512, 513, manifest_end - 1]);
    for (_, head, data, size) in &entries[1..] {
        cuts.extend([*head, head + 1, head + 156, data - 1, *data, data + 1, data + size / 2, data + size - 1]);
        cuts.extend([data + size, (data + size).next_multiple_of(BLOCK)]);
    }
    cuts.extend([sample.bytes.len() - 1024, sample.bytes.len() - 513, sample.bytes.len() - 1]);
    for at in cuts {
        let found = backup::read(&sample.bytes[..at]);
        if at < BLOCK {
            assert_eq!(found.expect_err("less than a header").key, "error-backup-none");
            continue;
        }
        let found = found.expect("a backup");
        assert!(found.cut && !found.is_whole(), "cut at {at}");
        let whole: BTreeSet<&str> = entries[1..]
            .iter()
            .filter(|(_, _, data, size)| data + size <= at && manifest_end <= at)
            .map(|(name, ..)| name.as_str())
            .collect();
        let mut got: BTreeSet<String> = BTreeSet::new();
        for (job, inner) in &found.jobs {
            got.extend(inner.changes.keys().map(|id| Name::Change(job.clone(), *id).text(&[])));
        }
        for (key, photo) in &found.photos {
            got.insert(Name::Photo(key.clone(), photo.sum).text(cut(&sample.bytes, photo.place)));
        }
        for (what, text) in &found.shop {
            got.insert(Name::Shop(what.clone(), ChangeId::of(text)).text(&[]));
        }
        assert_eq!(got.iter().map(String::as_str).collect::<BTreeSet<_>>(), whole, "cut at {at}");
        if manifest_end <= at {
            let missing = &found.missing;
            let count = missing.changes.values().sum::<usize>() + missing.photos.len() + missing.shop.len();
            assert_eq!(count, entries.len() - 1 - whole.len(), "cut at {at}");
        } else {
            assert!(found.is_empty() && found.made.is_none());
        }
    }
}

#[test]
fn one_altered_byte_costs_one_entry_at_most() {
    let sample = sample();
    let everything = backup::read(&sample.bytes).expect("a backup");
    let count = changes(&everything).len() + everything.photos.len() + everything.shop.len();
    for seed in 0..1_500 {
        let mut numbers = Numbers::new(seed);
        let mut bytes = sample.bytes.clone();
        // Half of the hits in the first 40 kB, where most headers are.
        let most = if seed % 2 == 0 { bytes.len() } else { bytes.len().min(40_000) };
        let at = numbers.below(most);
        bytes[at] ^= 1 << numbers.below(8);
        let found = backup::read(&bytes).unwrap_or_else(|error| panic!("seed {seed}: {error}"));
        assert!(changes(&found).is_subset(&all(&sample)), "seed {seed}: something appeared");
        for (key, photo) in &found.photos {
            assert_eq!(everything.photos.get(key).map(|known| known.sum), Some(photo.sum), "seed {seed}");
        }
        let left = changes(&found).len() + found.photos.len() + found.shop.len();
        assert!(left + 1 >= count, "seed {seed}, byte {at}: {} entries lost", count - left);
        if left < count {
            assert!(!found.is_whole() && !found.missing.is_empty(), "seed {seed}: a loss that is not told");
        }
    }
}

#[test]
fn whatever_is_done_to_it_nothing_breaks_and_nothing_false_is_taken() {
    let sample = make(demo_jobs(), &[("a/b/full", picture(3, 2_000))], &[("settings", "{}")]);
    let known = all(&sample);
    for seed in 0..1_000 {
        let mut numbers = Numbers::new(seed ^ 0xb0b0);
        let mut bytes = sample.bytes.clone();
        for _ in 0..=numbers.below(12) {
            let (at, to) = (numbers.below(bytes.len()), numbers.below(bytes.len()));
            let (at, to) = (at.min(to), at.max(to));
            match numbers.below(6) {
                0 => bytes[at] = u8::try_from(numbers.below(256)).expect("a byte"),
                1 => {
                    bytes.drain(at..to.min(at + 3_000));
                }
                2 => {
                    let piece = bytes[at..to.min(at + 3_000)].to_vec();
                    bytes.splice(to..to, piece);
                }
                3 => bytes[at..to.min(at + 1_500)].fill(0),
                4 => bytes.truncate(to.max(BLOCK)),
                _ => bytes[at..to.min(at + 100)].fill(b'7'),
            }
        }
        // A file that is refused as a whole is told so; one that is read gives only what was once put in.
        if let Ok(found) = backup::read(&bytes) {
            assert!(changes(&found).is_subset(&known), "seed {seed}");
            assert!(found.photos.values().all(|photo| ChangeId::of_bytes(cut(&bytes, photo.place)) == photo.sum));
        }
    }
}

/// An archive of these headers and bytes, without our names' rules.
fn archive(entries: &[(&str, tar::EntryType, u64, &[u8])]) -> Vec<u8> {
    let mut out = Vec::new();
    for (name, kind, size, bytes) in entries {
        let mut header = tar::Header::new_ustar();
        // By hand: the library itself refuses a path with `..` in it.
        header.as_mut_bytes()[..name.len()].copy_from_slice(name.as_bytes());
        header.set_size(*size);
        header.set_entry_type(*kind);
        header.set_mode(0o644);
        header.set_uid(0);
        header.set_gid(0);
        header.set_mtime(0);
        header.set_cksum();
        out.extend(header.as_bytes());
        out.extend(*bytes);
        out.resize(out.len().next_multiple_of(BLOCK), 0);
    }
    out.resize(out.len() + 1024, 0);
    out
}

fn manifest(entries: &str) -> String {
    format!(
        r#"{{"format":"cutline-backup","version":1,"by":"x","at":"2025-11-25T10:28:13.123Z","entries":[{entries}]}}"#
    )
}

#[test]
fn tricks_are_refused_each_with_its_reason() {
    use tar::EntryType as T;
    let list = manifest("");
    let first = ("manifest.json", T::Regular, list.len() as u64, list.as_bytes());
    let sum = ChangeId::of("hello").to_string();
    let photo = format!("photos/j/p/full/{sum}.bin");
    let one = |name: &str, kind, size, bytes: &[u8]| {
        let found = backup::read(&archive(&[first, (name, kind, size, bytes)])).expect("a backup");
        assert!(found.is_empty(), "{name}: taken");
        keys(&found).into_iter().map(str::to_owned).collect::<Vec<_>>()
    };
    let hello: &[u8] = b"hello";
    for path in [
        "../../etc/passwd",
        "/etc/passwd",
        "jobs/../../x.json",
        &format!("jobs/a/../{sum}.json"),
        &format!("photos/j/p/../{sum}.jpg"),
        &format!("/photos/j/p/full/{sum}.jpg"),
        &format!("photos//p/full/{sum}.jpg"),
        &format!("photos/J/p/full/{sum}.jpg"),
        &format!("photos/j/p/full/x/{sum}.jpg"),
        &format!("photos\\j\\p\\full\\{sum}.jpg"),
        &format!("shop/settings/{sum}.exe"),
        &format!("jobs/j/{}.json", sum.to_uppercase()),
        "readme.txt",
    ] {
        assert_eq!(one(path, T::Regular, 5, hello), ["error-backup-path"], "{path}");
    }
    for kind in [T::Symlink, T::Link, T::Block, T::Char, T::Fifo, T::Directory, T::XHeader, T::GNULongName] {
        assert_eq!(one(&photo, kind, 5, hello), ["error-backup-kind"], "{kind:?}");
    }
    assert_eq!(one(&photo, T::Regular, 5, b"jello"), ["error-backup-sum"]);
    assert_eq!(one(&photo, T::Regular, 4, hello), ["error-backup-sum"], "a size that lies");
    assert_eq!(one(&photo, T::Regular, 600, hello), ["error-backup-sum"], "a size that lies");
    assert_eq!(one(&photo, T::Regular, 1 << 20, hello), ["error-backup-cut"], "a size beyond the end");
    assert_eq!(one(&photo, T::Regular, 7 << 30, hello), ["error-backup-large"], "an endless size");
    assert_eq!(one(&photo, T::Regular, 0, b""), ["error-backup-sum"], "no bytes");
    // The same name twice: the first counts.
    let entry = (photo.as_str(), T::Regular, 5, hello);
    let found = backup::read(&archive(&[first, entry, entry])).expect("a backup");
    assert_eq!((keys(&found), found.photos.len()), (vec!["error-backup-twice"], 1));
    let found = backup::read(&archive(&[first, first])).expect("a backup");
    assert_eq!(keys(&found), ["error-backup-twice"]);
    // A control character in a name does not reach the screen.
    let found = backup::read(&archive(&[first, ("a\u{1b}[2Jb", T::Regular, 0, b"")])).expect("a backup");
    assert_eq!(found.refused[0].name, "a\u{fffd}[2Jb");
}

#[test]
fn entries_that_lie_about_what_they_are_are_refused() {
    use tar::EntryType as T;
    let list = manifest("");
    let first = ("manifest.json", T::Regular, list.len() as u64, list.as_bytes());
    let one = |job: &str, text: &[u8]| {
        let name = format!("jobs/{job}/{}.json", ChangeId::of_bytes(text));
        let found = backup::read(&archive(&[first, (&name, T::Regular, text.len() as u64, text)])).expect("a backup");
        assert!(found.is_empty());
        found.refused[0].error.key.to_owned()
    };
    let deep = format!("{}{}", "[".repeat(200_000), "]".repeat(200_000));
    let nested = format!(r#"{{"v":1,"job":"j","at":{deep}}}"#);
    assert_eq!(one("j", deep.as_bytes()), "error-job-field");
    assert!(["error-job-field", "error-json"].contains(&one("j", nested.as_bytes()).as_str()));
    assert_eq!(one("j", &[0xff, 0xfe, 0]), "error-backup-text");
    assert_eq!(one("j", b""), "error-json");
    let sessions = demo_jobs();
    let text = sessions[0].log().changes().next().expect("one").text();
    assert_eq!(one("another-job", text.as_bytes()), "error-job-mixed");
    let newer = r#"{"v":99,"job":"j","at":"2030-01-01T00:00:00.000Z/0000","by":"d","ops":[]}"#;
    assert_eq!(one("j", newer.as_bytes()), "error-job-newer");
}

#[test]
fn lists_of_contents_that_cannot_be_are_refused() {
    use tar::EntryType as T;
    let list =
        |text: &str| backup::read(&archive(&[("manifest.json", T::Regular, text.len() as u64, text.as_bytes())]));
    let refused = |text: &str| {
        let found = list(text).unwrap_or_else(|error| panic!("{text:.80}: {error}"));
        assert!(found.made.is_none() && !found.is_whole(), "{text:.80}");
        assert_eq!(keys(&found), ["error-backup-manifest"], "{text:.80}");
    };
    refused("");
    refused("{}x");
    refused(&"[".repeat(100_000));
    refused(&manifest(&format!(r#"{{"name":{}"#, "[".repeat(100_000))));
    refused(&manifest(r#"{"name":"../x","sha256":"00","bytes":1}"#));
    let sum = ChangeId::of("a").to_string();
    let entry = |name: &str, sum: &str| format!(r#"{{"name":"{name}","sha256":"{sum}","bytes":1}}"#);
    let good = entry(&format!("jobs/j/{sum}.json"), &sum);
    refused(&manifest(&entry(&format!("jobs/j/{sum}.json"), &ChangeId::of("b").to_string())));
    refused(&manifest(&entry("/etc/passwd", &sum)));
    refused(&manifest(&format!("{good},{good}")));
    refused(&manifest(&good).replace("2025-11-25T10", "2025-13-25T10"));
    refused(&manifest(&good).replace(r#""version":1"#, r#""version":0"#));
    refused(&manifest(&good).replace(r#""by":"x""#, r#""by":"x","more":1"#));
    assert_eq!(list(r#"{"format":"other","version":1}"#).expect_err("not ours").key, "error-backup-none");
    let newer = manifest("").replace(r#""version":1"#, r#""version":2"#);
    assert_eq!(list(&newer).expect_err("newer").key, "error-backup-newer");
    let found = list(&manifest(&good)).expect("a backup");
    assert_eq!(found.missing.changes, BTreeMap::from([(JobId::from("j"), 1)]));
}

#[test]
fn what_is_no_archive_is_told_so() {
    let error = |bytes: &[u8]| backup::read(bytes).expect_err("no backup").key;
    assert_eq!(error(b""), "error-backup-empty");
    assert_eq!(error(&[0; 10_240]), "error-backup-none");
    assert_eq!(error(&picture(4, 300_000)), "error-backup-none");
    assert_eq!(error(read("public/demo/hail.json").as_bytes()), "error-backup-none");
    let hello: &[u8] = b"hello";
    assert_eq!(error(&archive(&[("holiday.jpg", tar::EntryType::Regular, 5, hello)])), "error-backup-none");
    // Endless noise, or endless zeros, are left alone before the whole of them was read.
    let mut reader = Reader::new();
    let noise = picture(5, 1 << 20);
    let left = (0..200).find_map(|_| reader.feed(&noise).err()).expect("it gives up");
    assert_eq!(left.key, "error-backup-none");
}

#[test]
fn a_million_entries_are_refused_in_words_and_memory_stays_bounded() {
    // Each an ordinary entry with a good sum and no bytes.
    let sum = ChangeId::of("");
    let mut reader = Reader::new();
    let mut fed = || {
        for n in 0..1_000_000_u32 {
            let name = format!("photos/j/p{n}/full/{sum}.bin");
            let one = archive(&[(&name, tar::EntryType::Regular, 0, b"")]);
            reader.feed(&one[..BLOCK])?;
        }
        Ok(())
    };
    let error: model::Error = fed().expect_err("too many");
    assert_eq!(error.key, "error-backup-entries");
    assert!(error.to_string().contains("500000"), "{error}");
    // A list of contents of a million lines ends there too.
    let mut list = String::new();
    for n in 0..600_000_u32 {
        if n > 0 {
            list.push(',');
        }
        list.push_str(&format!(r#"{{"name":"photos/j/p{n}/f/{sum}.bin","sha256":"{sum}","bytes":0}}"#));
    }
    let text = manifest(&list);
    let found =
        backup::read(&archive(&[("manifest.json", tar::EntryType::Regular, text.len() as u64, text.as_bytes())]));
    let found = found.expect("read as far as it goes");
    assert!(found.made.is_none() && found.refused[0].error.to_string().contains("500000"));
}

#[test]
fn a_large_shop_comes_back_and_is_read_in_seconds() {
    let mut sessions = Vec::new();
    for seed in 0..300_u64 {
        let mut job = model::generate::job(seed, 12).expect("a job");
        job.id = JobId(format!("job-{seed}"));
        let mut session = Session::create(&job, DeviceId::from("tablet"), 1_000 + seed).expect("good");
        for step in 0..12 {
            let note = model::job::Command::SetNote(format!("note {step}"));
            session.apply(&note, 5_000 + step).expect("good");
        }
        sessions.push(session);
    }
    let sample = make(sessions, &[], &[]);
    let begun = std::time::Instant::now();
    let found = backup::read(&sample.bytes).expect("a backup");
    println!("{} MB, {} entries: {:?}", sample.bytes.len() >> 20, all(&sample).len(), begun.elapsed());
    assert!(found.is_whole());
    assert_eq!((changes(&found), found.jobs.len()), (all(&sample), 300));
    assert!(begun.elapsed().as_secs() < 60);
}

#[test]
fn the_plan_tells_what_is_added_and_that_newer_work_stays() {
    let sample = sample();
    let found = backup::read(&sample.bytes).expect("a backup");
    let none = found.plan(&Known::default());
    assert_eq!((none.jobs.len(), none.same, none.photos.len(), none.shop.len()), (7, 0, 3, 2));
    assert!(none.jobs.iter().all(|job| job.new && job.keeps == 0));
    assert!(none.shop.iter().all(|part| !part.replaces));
    // The same tablet, which has worked on: nothing to add, nothing lost.
    let mut known = Known::default();
    for session in &sample.sessions {
        known.jobs.insert(session.job().id.clone(), session.log().ids().clone());
    }
    known.jobs.values_mut().for_each(|ids| {
        ids.insert(ChangeId::of("newer work"));
    });
    known.photos = found.photos.keys().cloned().collect();
    known.shop = BTreeMap::from([("settings".into(), r#"{"look":"dark"}"#.into()), ("prices".into(), String::new())]);
    known.own = BTreeSet::from(["settings".into()]);
    let same = found.plan(&known);
    assert!(same.is_empty() && same.same == 7);
    let replaces: Vec<_> = same.shop.iter().map(|part| (part.what.as_str(), part.replaces)).collect();
    assert_eq!(replaces, [("prices", false), ("settings", true)]);
    // A tablet that lacks an edit and has one of its own.
    let id = &sample.sessions[6].job().id;
    let ids = known.jobs.get_mut(id).expect("known");
    let gone = *sample.sessions[6].log().ids().iter().next().expect("one");
    ids.remove(&gone);
    let joined = found.plan(&known);
    assert_eq!((joined.jobs.len(), joined.jobs[0].adds, joined.jobs[0].keeps), (1, 1, 1));
    let words = joined.jobs[0].words(Language::English);
    assert!(words.contains("gains 1 edit; 1 that only this tablet has stay"), "{words}");
}
