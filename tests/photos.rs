//! Photos of a job: what is taken as one, judged on files that Pillow made; the facts in the log, their undo and versions.
//!
//! Outside check: the sizes of the samples are those that Pillow reads back (`tests/outside/pictures.py`).

use checks::{python, read};
use model::ids::{MarkId, PhotoId};
use model::job::{
    Change, ChangeId, Command, DeviceId, Job, JobId, Original, PINS_MAX, Photo, PhotoField, Pin, Session, Taken, wire,
};
use model::photo::{self, Kind};
use serde_json::Value;

const DAY: u64 = 86_400_000;

fn taken() -> Taken {
    Taken {
        at: "2026-11-25T14:03".into(),
        width: 2048,
        height: 1536,
        bytes: 400_000,
        sha256: "ab".repeat(32),
        original: None,
    }
}

fn session() -> Session {
    let mut job = Job::empty(JobId::from("photographed"));
    job.title = "Photographed".into();
    Session::create(&job, DeviceId::from("one"), DAY).expect("a good job")
}

fn take(session: &mut Session, id: &str) {
    let command = Command::AddPhoto { id: PhotoId::from(id), photo: Photo::new(taken(), Some(MarkId::from("m1"))) };
    session.apply(&command, 2 * DAY).expect("fine").expect("new");
}

fn edit(session: &mut Session, id: &str, set: PhotoField) -> model::Result<Option<std::sync::Arc<Change>>> {
    session.apply(&Command::EditPhoto { id: PhotoId::from(id), fields: vec![set] }, 3 * DAY)
}

fn binned(session: &Session, id: &str) -> Option<String> {
    session.job().photos[&PhotoId::from(id)].binned.clone()
}

#[test]
fn every_form_that_pillow_writes_is_judged_right() {
    let samples: Vec<Value> = serde_json::from_str(&python("tests/outside/pictures.py", "")).expect("JSON");
    assert!(samples.len() > 15);
    for sample in samples {
        let name = sample["name"].as_str().expect("a name");
        let digits = sample["file"].as_str().expect("a file");
        let file: Vec<u8> =
            (0..digits.len()).step_by(2).map(|at| u8::from_str_radix(&digits[at..at + 2], 16).expect("hex")).collect();
        let kind = match sample["kind"].as_str() {
            Some("jpeg") => Kind::Jpeg,
            Some("png") => Kind::Png,
            Some("webp") => Kind::WebP,
            _ => {
                let said = photo::judge(&file, file.len() as u64, "").expect_err(name);
                assert_eq!(said.key, "photo-kind", "{name}");
                continue;
            }
        };
        let head = photo::judge(&file, file.len() as u64, kind.media_type()).unwrap_or_else(|e| panic!("{name}: {e}"));
        let size = (sample["width"].as_u64(), sample["height"].as_u64());
        assert_eq!((Some(head.width.into()), Some(head.height.into())), size, "{name}");
        assert_eq!(head.kind, kind, "{name}");
        // A file that ends before its size does is named as such, and never taken for something else.
        for cut in 3..file.len().min(400) {
            if let Err(error) = photo::judge(&file[..cut], file.len() as u64, "") {
                assert!(["photo-cut", "photo-no-picture"].contains(&error.key), "{name} cut at {cut}: {}", error.key);
            }
        }
    }
}

#[test]
fn a_photo_goes_into_the_bin_and_comes_out_of_it_by_undo_and_redo() {
    let mut session = session();
    take(&mut session, "p1");
    assert_eq!(session.job().photos.len(), 1);
    assert_eq!(session.job().photos[&PhotoId::from("p1")].mark, Some(MarkId::from("m1")));
    edit(&mut session, "p1", PhotoField::Binned(Some("1970-01-04".into()))).expect("fine").expect("new");
    session.undo(4 * DAY).expect("the bin");
    assert_eq!(binned(&session, "p1"), None);
    session.undo(4 * DAY).expect("the taking");
    assert_eq!(binned(&session, "p1").as_deref(), Some("1970-01-05"), "nothing is taken back but into the bin");
    assert!(session.undo(4 * DAY).is_none());
    session.redo(5 * DAY).expect("the taking");
    assert_eq!(binned(&session, "p1"), None);
    session.redo(5 * DAY).expect("the bin");
    assert_eq!(binned(&session, "p1").as_deref(), Some("1970-01-04"));
    assert!(session.redo(5 * DAY).is_none());
    let again =
        wire::read_file(&wire::write_file(&session)).expect("reads").open(DeviceId::from("one")).expect("opens");
    assert_eq!(again.job(), session.job());
}

#[test]
fn what_another_wrote_meanwhile_stands() {
    let mut one = session();
    take(&mut one, "p1");
    let mut two = Session::open(one.log().clone(), DeviceId::from("two")).expect("opens");
    edit(&mut two, "p1", PhotoField::Note("theirs".into())).expect("fine");
    let pins = vec![Pin { mark: MarkId::from("m1"), x: 0, y: 10_000 }];
    edit(&mut one, "p1", PhotoField::Pins(pins.clone())).expect("fine");
    for change in two.log().changes() {
        one.receive(change.clone()).expect("the same job");
    }
    let photo = one.job().photos[&PhotoId::from("p1")].clone();
    assert_eq!((photo.note.as_str(), photo.pins), ("theirs", pins));
    one.undo(5 * DAY).expect("the pins");
    assert_eq!(one.job().photos[&PhotoId::from("p1")].note, "theirs");
    assert!(one.conflicts().is_empty());
}

#[test]
fn a_job_without_photos_stays_at_its_version_and_one_with_them_is_refused_by_an_older_program() {
    let mut session = session();
    let file = |session: &Session| serde_json::from_str::<Value>(&wire::write_file(session)).expect("JSON");
    assert_eq!(file(&session)["version"], 1);
    take(&mut session, "p1");
    assert_eq!(file(&session)["version"], 3);
    let text = wire::write_file(&session);
    for version in ["1", "2"] {
        let older = text.replacen("\"version\": 3", &format!("\"version\": {version}"), 1);
        assert_eq!(wire::read_file(&older).expect_err("refused").key, "error-job-needs");
        let change = session.log().changes().next_back().expect("some").text();
        let older = change.replacen("\"v\":3", &format!("\"v\":{version}"), 1);
        assert_eq!(Change::read(ChangeId::of(&older), &older).expect_err("refused").key, "error-job-needs");
    }
}

#[test]
fn what_is_out_of_range_is_refused_by_name_and_changes_nothing() {
    let mut session = session();
    take(&mut session, "p1");
    let before = session.job().clone();
    let refused = |session: &mut Session, set: PhotoField| edit(session, "p1", set).expect_err("refused").key;
    let pin = |x: u16| Pin { mark: MarkId::from("m1"), x, y: 0 };
    assert_eq!(refused(&mut session, PhotoField::Pins(vec![pin(10_001)])), "error-job-number");
    assert_eq!(refused(&mut session, PhotoField::Pins(vec![pin(1); PINS_MAX + 1])), "error-photo-pins");
    assert_eq!(refused(&mut session, PhotoField::Note("x".repeat(4_001))), "error-job-long");
    assert_eq!(refused(&mut session, PhotoField::Mark(Some(MarkId::from("M 1")))), "error-job-name");
    assert_eq!(refused(&mut session, PhotoField::Binned(Some("today".into()))), "error-job-date");
    assert_eq!(edit(&mut session, "p2", PhotoField::Note("a".into())).expect_err("refused").key, "error-photo-gone");
    let original = Some(Original { bytes: 1, sha256: "0".into() });
    for (wrong, key) in [
        (Taken { at: "2026-11-25".into(), ..taken() }, "error-photo-time"),
        (Taken { at: "2026-11-25T24:00".into(), ..taken() }, "error-photo-time"),
        (Taken { at: "2026-02-30T12:00".into(), ..taken() }, "error-photo-time"),
        (Taken { at: "2026-11-25T+1:00".into(), ..taken() }, "error-photo-time"),
        (Taken { width: 0, ..taken() }, "error-photo-size"),
        (Taken { width: 100_000, height: 100_000, ..taken() }, "error-photo-size"),
        (Taken { sha256: "AB".repeat(32), ..taken() }, "error-photo-hash"),
        (Taken { original, ..taken() }, "error-photo-hash"),
    ] {
        let command = Command::AddPhoto { id: PhotoId::from("p2"), photo: Photo::new(wrong.clone(), None) };
        assert_eq!(session.apply(&command, 9 * DAY).expect_err("refused").key, key, "{wrong:?}");
    }
    let command = Command::AddPhoto { id: PhotoId::from("p1"), photo: Photo::new(taken(), None) };
    assert_eq!(session.apply(&command, 9 * DAY).expect_err("refused").key, "error-photo-exists");
    assert_eq!(session.job(), &before);
}

#[test]
fn saved_photos_of_version_3_open_as_they_were_saved() {
    let text = read("tests/saved/v3-with-changes.json");
    let session = wire::read_file(&text).expect("reads").open(DeviceId::from("reader")).expect("opens");
    assert_eq!(wire::write_file(&session), text, "written again, byte for byte");
    let last = session.log().changes().next_back().expect("some").id().to_string();
    assert_eq!(last, LAST, "the canonical text of a change never alters");
    let photos = &session.job().photos;
    let one = &photos[&PhotoId::from("p1")];
    assert_eq!((photos.len(), one.pins.len(), one.note.as_str()), (2, 1, "Lower edge"));
    assert_eq!(photos[&PhotoId::from("p2")].binned.as_deref(), Some("2026-11-25"));
    let by_hand = wire::read_file(&read("tests/saved/v3-by-hand.json")).expect("reads");
    let session = by_hand.open(DeviceId::from("reader")).expect("opens");
    assert_eq!(session.job().photos.len(), 2);
    assert!(session.job().photos[&PhotoId::from("p2")].taken.original.is_some());
}

const LAST: &str = "81bb442db40ae40da84acc1fc7f8bb8d0b953bd14c8080cd5ecb5de502e55870";
