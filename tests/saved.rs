//! Files and stores: everything shown as saved comes back after any crash; damage and newer versions are named and
//! nothing of them is lost or overwritten; a wrong file gets an error that names the field.
//!
//! The stores are the model's memory ones with faults as real browsers have them (see `model::job::store`): the quick
//! store loses what was not committed, either store fails at its nth write, fills up, is damaged or gone.

#[path = "jobs/random.rs"]
mod random;
#[path = "jobs/tablet.rs"]
mod tablet;

use checks::{Numbers, read};
use model::ids::PartId;
use model::job::keep::{Key, change_key};
use model::job::recover::{Origin, Recovered};
use model::job::store::{Memory, Store, StoreError, keeps_its_promises};
use model::job::{Change, ChangeId, Command, DeviceId, JobId, OptionHold, Session, VehicleValue, wire};
use model::terms::{Aim, ColourFamily, Route};
use std::collections::BTreeSet;
use tablet::Tablet;

const BY_HAND: &str = "tests/saved/v1-by-hand.json";
const WITH_CHANGES: &str = "tests/saved/v1-with-changes.json";
const BY_HAND_2: &str = "tests/saved/v2-by-hand.json";
const WITH_CHANGES_2: &str = "tests/saved/v2-with-changes.json";
const BY_HAND_4: &str = "tests/saved/v4-by-hand.json";
const WITH_CHANGES_4: &str = "tests/saved/v4-with-changes.json";

fn open(text: &str) -> Session {
    wire::read_file(text).expect("a good file").open(DeviceId::from("reader")).expect("opens")
}

#[test]
fn files_of_every_version_open_and_say_the_same_as_when_they_were_saved() {
    let session = open(&read(WITH_CHANGES));
    assert_eq!(wire::write_file(&session), read(WITH_CHANGES), "written again, byte for byte");
    let job = session.job();
    assert_eq!((job.id.0.as_str(), job.marks.len(), job.title.as_str()), ("saved-sample", 2, "Sample, edited"));
    // The canonical text of a change never alters: these ids were noted when each version was made.
    assert_eq!(ids(&session), IDS);
    let by_hand = open(&read(BY_HAND));
    assert_eq!(by_hand.job().marks.len(), 1);
    assert_eq!(ids(&by_hand), [BY_HAND_ID]);
}

#[test]
fn a_planned_job_opens_with_all_that_was_held_to_and_given_out() {
    let session = open(&read(WITH_CHANGES_2));
    assert_eq!(wire::write_file(&session), read(WITH_CHANGES_2), "written again, byte for byte");
    assert_eq!(ids(&session), IDS_2);
    let job = session.job();
    assert_eq!((job.aim, job.revisions.len(), job.revisions[0].aim), (None, 1, Aim::Hours));
    assert_eq!(job.value, Some(VehicleValue { minor: 1_850_000, currency: "EUR".into() }));
    let held = &job.options[&PartId::from("fender-left")];
    assert_eq!((held.route, held.cells.len(), held.moves.len()), (Some(Route::RivetedBonded), 2, 1));
    let by_hand = open(&read(BY_HAND_2));
    assert_eq!(ids(&by_hand), [BY_HAND_ID_2]);
    assert_eq!((by_hand.job().aim, by_hand.job().revisions.len()), (Some(Aim::Days), 1));
    assert_eq!(open(&wire::write_file(&by_hand)).job(), by_hand.job());
}

#[test]
fn the_kind_of_a_colour_opens_as_it_was_saved_and_is_unknown_to_an_older_program() {
    let session = open(&read(WITH_CHANGES_4));
    assert_eq!(wire::write_file(&session), read(WITH_CHANGES_4), "written again, byte for byte");
    assert_eq!(ids(&session).last().map(String::as_str), Some(LAST_4));
    assert_eq!(session.job().vehicle.colour_family, Some(ColourFamily::Metallic));
    assert_eq!(open(&read(BY_HAND_4)).job().vehicle.colour_family, Some(ColourFamily::Pearl));
    for version in ["1", "2", "3"] {
        let older = read(WITH_CHANGES_4).replacen("\"version\": 4", &format!("\"version\": {version}"), 1);
        assert_eq!(wire::read_file(&older).expect_err("refused").key, "error-job-needs");
    }
    let wrong = read(BY_HAND_4).replace("\"pearl\"", "\"matt\"");
    assert_eq!(wire::read_file(&wrong).expect_err("refused").place, "job.vehicle.colour_family");
}

/// The SHA-256 of the change's canonical text, made with Python's hashlib.
const LAST_4: &str = "60b115969b8816588e48941c13c529c95853d995f71f2a518e0e217d26775a9b";

/// An older program reads no change and no file whose version is above its own. So a write that it does not know must
/// raise both versions, and a job without such a write must stay at the version that it can read.
#[test]
fn only_what_an_older_program_does_not_know_raises_the_version() {
    let mut session = open(&read(WITH_CHANGES));
    let versions = |session: &Session| {
        let file: serde_json::Value = serde_json::from_str(&wire::write_file(session)).expect("JSON");
        let last = session.log().changes().next_back().expect("some").text();
        let change: serde_json::Value = serde_json::from_str(&last).expect("JSON");
        (file["version"].as_u64(), change["v"].as_u64())
    };
    assert_eq!(versions(&session), (Some(1), Some(1)));
    session.apply(&Command::SetNote("old".into()), 1 << 41).expect("fine").expect("new");
    assert_eq!(versions(&session), (Some(1), Some(1)));
    let value = VehicleValue { minor: 5, currency: "EUR".into() };
    let part = PartId::from("hood");
    let option = OptionHold { route: Some(Route::Bonded), ..OptionHold::default() };
    for command in [
        Command::SetAim(Some(Aim::Hours)),
        Command::HoldOption { part, action: None, option: Some(option) },
        Command::SetValue(Some(value)),
        Command::Freeze(open(&read(WITH_CHANGES_2)).job().revisions[0].clone()),
    ] {
        let mut planned = session.clone();
        planned.apply(&command, 1 << 41).expect("fine").expect("new");
        assert_eq!(versions(&planned), (Some(2), Some(2)), "{command:?}");
        // The older program's own check, which compares the number alone, is in `what_a_newer_program_made_is_left_alone`.
        let text = wire::write_file(&planned).replacen("\"version\": 2", "\"version\": 1", 1);
        assert_eq!(wire::read_file(&text).expect_err("refused").key, "error-job-needs");
        let change = planned.log().changes().next_back().expect("some").text().replacen("\"v\":2", "\"v\":1", 1);
        let id = ChangeId::of(&change);
        assert_eq!(Change::read(id, &change).expect_err("refused").key, "error-job-needs");
    }
}

fn ids(session: &Session) -> Vec<String> {
    session.log().changes().map(|change| change.id().to_string()).collect()
}

const IDS: &[&str] = &[
    "0814603de9d90bbe12e1600aa6b4d493caccc5b9ea16afa65025f27b06883389",
    "c5110396b4cb300dc0f897199a053d25f4bb4b507462a891f05562f3c4f6486e",
    "1e1a20198b16cc835d75a12de9eeacd57a6b63840f6c4d18e0afde102796393c",
    "aa63f82c2bc2b083b25d22f82b93f3a0265b3206178cd5b3fff6d74d1a328d70",
    "94d7008b8dd2f81933c68b126e237b7afe81b482a456998982fbef3a6b01c208",
    "1610bf64f068db035df757e1d0d242f8ad94750f2d34d58c78475b8007e4d170",
];
const IDS_2: &[&str] = &[
    "de53803d7d0b7bbc798e6763a0129ed36cac10efe82ae44e5c0dc999d6844cf0",
    "d8658f78c72d421449ff3f3c2aa41d7e030e29fc4f896cf3b1038370044179c6",
    "90d67a42855bfa863af407651c2f1cd8e111b762b65c08ffed55c77466f894ee",
    "b423d8f14ff1bc66c485db7971a1584180522ce76bfae2451b0b18aae4de2ba5",
    "65cdaf460e74315ce93d39df19563539df9abf1a43031253850da759e1eb4533",
    "8f8fadbdcc1a6b55d8c25d7a4cb0fface7eae19079b33043981e27e6c7aee440",
    "16273466176c2098d2451ca4cd0cece4db4a0094c16b29d252ce3c0fb91e5233",
    "8de9b4e84bcd46d22ce3878202c4d942e9f064a87a32558985e3b074c566f756",
];
const BY_HAND_ID_2: &str = "de9a175ab562f3a8622a2280d70dbad4fe75a4111d77e396616a6719df0228cb";
const BY_HAND_ID: &str = "6bfbc28532ef2be65c111ad59715486a1e6896adc2e9a6456ef8c771a176fc6e";

#[test]
fn a_file_by_hand_becomes_the_same_change_everywhere_and_only_once() {
    let (one, mut two) = (open(&read(BY_HAND)), open(&read(BY_HAND)));
    for change in one.log().changes() {
        assert_eq!(two.receive(change.clone()), Ok(false));
    }
    let text = wire::write_file(&one);
    assert_eq!(open(&text).job(), one.job());
}

/// A change of the file by hand, and the place and message key that the error must bear.
const WRONG: &[(&str, &str, &str, &str)] = &[
    ("\"format\": \"cutline-job\"", "\"format\": \"other\"", "format", "error-job-format"),
    ("\"version\": 1", "\"version\": 9", "version", "error-job-newer"),
    ("\"version\": 1", "\"version\": 0", "version", "error-job-version"),
    ("\"version\": 1", "\"version\": \"1\"", "version", "error-job-version"),
    ("\"id\": \"by-hand\"", "\"id\": \"By Hand\"", "id", "error-job-name"),
    ("\"depth_mm\": 18", "\"depth_mm\": 1001", "job.marks.m1.depth_mm", "error-job-number"),
    ("\"depth_mm\": 18", "\"depth_mm\": -1", "job.marks.m1.depth_mm", "error-job-field"),
    ("\"depth_mm\": 18", "\"depth_mm\": 1.5", "job.marks.m1.depth_mm", "error-job-field"),
    ("\"depth_mm\": 18", "\"deep_mm\": 18", "job.marks.m1.deep_mm", "error-job-field"),
    ("\"kind\": \"dent\"", "\"kind\": \"dint\"", "job.marks.m1.kind", "error-job-field"),
    ("\"radii\": [180, 120]", "\"radii\": [180, 0]", "job.marks.m1.shape", "error-mark-range"),
    ("\"radii\": [180, 120]", "\"radii\": [180]", "job.marks.m1.shape.ellipse.radii", "error-job-field"),
    ("\"at\": [120, 820]", "\"at\": [120, 10001]", "job.marks.m1.shape", "error-mark-range"),
    ("\"cab\": \"four-door\"", "\"cab\": \"six-door\"", "job.vehicle.cab", "error-job-field"),
    ("\"received\": \"2026-11-20\"", "\"received\": \"2026-11-31\"", "job.received", "error-job-date"),
    ("\"hood\": \"replace\"", "\"hood\": \"paint\"", "job.holds.hood", "error-job-field"),
    ("\"hood\": \"replace\"", "\"Hood\": \"replace\"", "job.holds.Hood", "error-job-name"),
    ("\"hood\": \"replace\"", "\"hood\": \"replace\", \"hood\": \"repair\"", "job.holds", "error-job-field"),
    ("\"archived\": false", "\"archived\": false, \"price\": 1", "job.price", "error-job-field"),
    ("\"archived\": false", "\"archived\": false, \"aim\": \"hours\"", "version", "error-job-needs"),
];

/// The same of the file by hand of version 2.
const WRONG_2: &[(&str, &str, &str, &str)] = &[
    ("\"version\": 2", "\"version\": 1", "version", "error-job-needs"),
    ("\"aim\": \"days\"", "\"aim\": \"beauty\"", "job.aim", "error-job-field"),
    ("\"arch\": -12", "\"arch\": -1001", "job.options.fender-left.moves.arch", "error-job-move"),
    ("\"arch\": -12", "\"arch\": 0", "job.options.fender-left.moves.arch", "error-job-move"),
    ("\"arch\": -12", "\"arch\": 1, \"arch\": 2", "job.options.fender-left.moves", "error-job-field"),
    ("[\"front\", \"lower\"]", "[\"lower\", \"front\"]", "job.options.fender-left.cells", "error-job-option-order"),
    ("[\"front\", \"lower\"]", "[\"front\", \"front\"]", "job.options.fender-left.cells", "error-job-option-order"),
    ("{\"minor\": 1850000", "{\"minor\": -1", "job.value.minor", "error-job-number"),
    ("\"EUR\"}", "\"Eur\"}", "job.value.currency", "error-currency"),
    ("\"total\": 4487", "\"total\": 4488", "job.revisions[0].total", "error-revision-sum"),
    ("\"seconds\": 5804", "\"seconds\": 5805", "job.revisions[0].total", "error-revision-sum"),
    ("\"line-1\"", "\"line-0\"", "job.revisions[0].lines.line-0", "error-revision-twice"),
    ("\"days\": [5804, 28800]", "\"days\": [5804, 0]", "job.revisions[0].total", "error-revision-sum"),
    ("\"percent\": \"19\"", "\"percent\": \"19,5\"", "job.revisions[0].taxes.parts", "error-number-comma"),
    ("\"digits\": 2", "\"digits\": 3", "job.revisions[0].digits", "error-job-digits"),
    ("\"amount\": 436", "\"amount\": 4.36", "job.revisions[0].lines[0].amount", "error-job-field"),
];

#[test]
fn a_wrong_field_is_named() {
    let text = read(BY_HAND);
    let text_2 = read(BY_HAND_2);
    let cases = WRONG.iter().map(|case| (&text, case)).chain(WRONG_2.iter().map(|case| (&text_2, case)));
    for (text, (right, wrong, place, key)) in cases {
        assert!(text.contains(right), "{right} stands in the sample");
        let error = wire::read_file(&text.replacen(right, wrong, 1)).expect_err(wrong);
        assert_eq!((error.place.as_str(), error.key), (*place, *key), "{wrong}");
        let said = error.to_string();
        assert!(!said.contains('{') && said.len() > place.len() + 20, "{said}");
    }
    let error = wire::read_file(&text[..text.len() / 2]).expect_err("half a file");
    assert!(error.key == "error-json" && error.place.starts_with("line "), "{error}");
    for other in ["", "[]", "null", "{}", "\u{feff}", "[[[[[[[["] {
        assert!(wire::read_file(other).is_err(), "{other}");
    }
    assert!(wire::read_file(&"[".repeat(200_000)).is_err(), "deep nesting ends in an error, not in a crash");
}

#[test]
fn changes_that_were_altered_or_belong_elsewhere_are_refused() {
    let text = read(WITH_CHANGES);
    let altered = text.replacen("\"title\": \"Sample, edited\"\n", "\"title\": \"Sample, Edited\"\n", 1);
    let error = wire::read_file(&altered).expect_err("altered");
    assert!(["error-job-damaged", "error-job-differs"].contains(&error.key), "{error}");
    let differs = text.replacen("\"note\": \"\"", "\"note\": \"sneaked in\"", 1);
    assert_eq!(wire::read_file(&differs).expect_err("differs").key, "error-job-differs");
    let elsewhere = text.replacen("\"id\": \"saved-sample\"", "\"id\": \"other\"", 1);
    let error = wire::read_file(&elsewhere).expect_err("mixed");
    assert_eq!((error.key, error.place.as_str()), ("error-job-mixed", "changes[0].change.job"));
}

#[test]
fn damaged_files_never_panic_and_never_pass_for_another_job() {
    let whole = open(&read(WITH_CHANGES)).job().clone();
    let mut numbers = Numbers::new(7);
    for _ in 0..3_000 {
        let mut bytes = read(WITH_CHANGES).into_bytes();
        for _ in 0..=numbers.below(3) {
            if bytes.is_empty() {
                break;
            }
            let at = numbers.below(bytes.len());
            match numbers.below(3) {
                0 => bytes[at] ^= 1 << numbers.below(7),
                1 => drop(bytes.remove(at)),
                _ => bytes.truncate(at.max(1)),
            }
        }
        if let Ok(file) = wire::read_file(&String::from_utf8_lossy(&bytes)) {
            // Only white space, or the list of changes as a whole, can go unseen.
            assert!(file.job == *whole, "a damaged file passed as another job");
        }
    }
}

#[test]
fn the_memory_store_keeps_its_promises() {
    keeps_its_promises(&mut Memory::default(), "cutline/").expect("all of them");
}

#[test]
fn keys_say_what_they_name_and_nothing_else_is_taken_for_one() {
    let id = ChangeId::of("x");
    let job = JobId::from("job-1");
    assert_eq!(Key::parse(&change_key(&job, id)), Some(Key::Change(job, id)));
    for other in [
        "cutline-settings",
        "cutline/",
        "cutline/job-1/c/12",
        "cutline/job-1/s/",
        "cutline/Job/s/t1",
        "cutline/j/x/t1",
        "cutline/j/s/t1/more",
    ] {
        assert_eq!(Key::parse(other), None, "{other}");
    }
}

/// Kills the browser after every possible number of store writes, with and without the quick store's losing its tail.
#[test]
fn whatever_was_shown_as_saved_survives_a_kill_after_any_step() {
    for seed in 0..6 {
        for fatal in 1..90 {
            for quick_loses in [true, false] {
                let mut tablet = Tablet::new(seed);
                tablet.kill_at(fatal);
                while tablet.step() {}
                let saved = tablet.shown_as_saved.clone();
                let known = tablet.all.clone();
                tablet.crash(quick_loses);
                let back = tablet.recover();
                let ids = back.log().ids().clone();
                assert!(
                    saved.is_subset(&ids),
                    "seed {seed}, killed at write {fatal}: {} lost",
                    saved.difference(&ids).count()
                );
                assert!(ids.is_subset(&known), "something appeared that nobody wrote");
            }
        }
    }
}

#[test]
fn a_quick_store_alone_would_lose_edits() {
    // The control: without the journal the same kills must lose something, or they are no kills.
    let mut lost = 0;
    for seed in 0..6 {
        let mut tablet = Tablet::new(seed);
        tablet.kill_at(60);
        while tablet.step() {}
        let saved = tablet.shown_as_saved.len();
        tablet.journal = Memory::default();
        tablet.crash(true);
        lost += saved - tablet.recovered_ids().len().min(saved);
    }
    assert!(lost > 0);
}

#[test]
fn one_failed_write_of_either_store_loses_nothing() {
    for seed in 0..4 {
        for nth in 1..80 {
            for journal_fails in [true, false] {
                let mut tablet = Tablet::new(seed);
                let store = if journal_fails { &mut tablet.journal } else { &mut tablet.quick };
                store.fail_at = BTreeSet::from([nth]);
                while tablet.step() {}
                tablet.finish();
                assert_eq!(tablet.shown_as_saved, tablet.all, "the edit after the failure, or the end, mends it");
                tablet.crash(true);
                assert_eq!(tablet.recover().log().ids(), &tablet.all, "seed {seed}, write {nth}");
            }
        }
    }
}

#[test]
fn a_full_or_blocked_quick_store_leaves_the_journal() {
    for blocked in [true, false] {
        let mut tablet = Tablet::new(1);
        tablet.quick.blocked = blocked;
        tablet.quick.quota = Some(3_000);
        while tablet.step() {}
        tablet.finish();
        assert!(tablet.quick_refused > 0);
        tablet.quick.blocked = false;
        assert_eq!(tablet.recover().log().ids(), &tablet.all);
    }
}

#[test]
fn a_journal_that_is_gone_leaves_the_quick_store_and_nothing_is_called_saved() {
    let mut tablet = Tablet::new(2);
    let before = tablet.shown_as_saved.clone();
    tablet.journal.blocked = true;
    while tablet.step() {}
    tablet.finish();
    assert!(tablet.shown_as_saved == before && tablet.all.len() > 30);
    tablet.journal = Memory::default();
    tablet.quick.commit();
    assert_eq!(tablet.recover().log().ids(), &tablet.all);
}

#[test]
fn either_store_alone_brings_back_a_finished_job() {
    for lose_quick in [true, false] {
        let mut tablet = Tablet::new(3);
        while tablet.step() {}
        tablet.finish();
        tablet.quick.commit();
        let gone = if lose_quick { &mut tablet.quick } else { &mut tablet.journal };
        *gone = Memory::default();
        assert_eq!(tablet.recover().log().ids(), &tablet.all, "the tidied store holds everything");
    }
}

#[test]
fn one_damaged_entry_is_set_aside_and_the_rest_comes_back() {
    for seed in 0..8 {
        let mut tablet = Tablet::new(seed);
        while tablet.step() {}
        tablet.finish();
        tablet.quick.commit();
        let keys: Vec<String> = tablet.quick.entries().keys().chain(tablet.journal.entries().keys()).cloned().collect();
        let mut numbers = Numbers::new(seed);
        let key = keys[numbers.below(keys.len())].clone();
        let flip = |text: &str| {
            let mut bytes = text.as_bytes().to_vec();
            let at = bytes.len() / 2;
            bytes[at] ^= 1;
            String::from_utf8_lossy(&bytes).into_owned()
        };
        let mut before = String::new();
        for store in [&mut tablet.quick, &mut tablet.journal] {
            store.damage(&key, flip);
            before = store.entries().get(&key).cloned().unwrap_or(before);
        }
        let recovered = tablet.recovered();
        assert!(!recovered.aside.is_empty(), "{key}");
        assert!(
            recovered.aside.iter().all(|entry| entry.key == key && entry.text == before),
            "the bytes are kept as they are"
        );
        assert!(recovered.jobs.values().all(|found| found.damaged));
        // The job as a whole is in the other store, unless the entry stood alone.
        let lost = tablet.all.len() - tablet.recovered_ids().len();
        assert!(lost <= 1, "{lost} changes lost by one damaged entry");
    }
}

#[test]
fn what_a_newer_program_made_is_left_alone() {
    let text = r#"{"v":9,"job":"j1","at":"2030-01-01T00:00:00.000Z/0000","by":"d","ops":[],"weather":"fine"}"#;
    let key = change_key(&JobId::from("j1"), ChangeId::of(text));
    let mut recovered = Recovered::default();
    recovered.take(Origin::Journal, &key, text);
    recovered.take(Origin::Quick, "cutline/j2/s/t1", r#"{"format":"cutline-job","version":7,"id":"j2","new":[]}"#);
    assert!(recovered.aside.is_empty(), "not damaged");
    let newer: Vec<_> = recovered.jobs.values().map(|found| found.newer.as_deref()).collect();
    assert_eq!(newer, [Some("9"), Some("7")]);
}

#[test]
fn tidying_keeps_the_job_and_bounds_the_number_of_keys() {
    let mut tablet = Tablet::new(5);
    let mut most = 0;
    while tablet.step() {
        most = most.max(tablet.quick.entries().len());
    }
    assert!(tablet.all.len() > 30 && most < 20, "{most} keys for {} changes", tablet.all.len());
}

#[test]
fn a_job_leaves_the_quick_store_only_if_the_journal_has_all_of_it() {
    let mut tablet = Tablet::new(6);
    while tablet.step() {}
    tablet.finish();
    let job = tablet.session.job().id.clone();
    let extra =
        tablet.session.apply(&Command::SetNote("not yet journalled".into()), 1 << 40).expect("fine").expect("new");
    tablet.keeper.put_quick(&mut tablet.quick, &extra).expect("room");
    let journal = tablet.all.clone();
    let count = tablet.quick.entries().len();
    assert_eq!(model::job::keep::evict(&mut tablet.quick, &job, &journal), Ok(false));
    assert_eq!(tablet.quick.entries().len(), count);
    let mut with = journal;
    with.insert(extra.id());
    assert_eq!(model::job::keep::evict(&mut tablet.quick, &job, &with), Ok(true));
    assert_eq!(tablet.quick.keys("cutline/"), Ok(vec![]));
    assert_ne!(tablet.quick.put("cutline/other", "x"), Err(StoreError::Full));
}
