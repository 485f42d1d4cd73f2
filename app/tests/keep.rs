//! Keeping jobs in a real browser: both stores, a start after a kill, another tab, full, blocked, damaged and newer.
//!
//! A "restart" makes a second app state in the same page: it has only what the stores hold. The first lives on beside
//! it, as another tab would.

use app::platform::journal::{Batch, Journal};
use app::platform::{Refusal, clock, quick};
use app::state::{AppState, Quick, Readable, SaveState};
use leptos::prelude::*;
use model::catalogue::Body;
use model::damage::{Mark, MarkShape};
use model::ids::{MarkId, PartId};
use model::job::keep::{ASIDE, PREFIX, change_key, job_prefix};
use model::job::store::keeps_its_promises;
use model::job::{CHANGE_VERSION, ChangeId, Command, JobId, MarkField};
use model::terms::{Bed, Cab, Coat, MarkKind, View};
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

mod desk;

use desk::{begin, ready, saved, until};

wasm_bindgen_test_configure!(run_in_browser);

fn body() -> Body {
    Body { cab: Cab::Extended, bed: Bed::Long }
}

fn dent(x: i32) -> Mark {
    Mark {
        part: PartId::from("fender-left"),
        view: View::Left,
        shape: MarkShape::Ellipse { at: [x, 820], radii: [80, 60], turn_deg: 0 },
        kind: MarkKind::Dent,
        depth_mm: 8,
        coat: Coat::Whole,
        sharp: false,
        count: 0,
        note: String::new(),
    }
}

fn add(state: AppState, x: i32) -> MarkId {
    let id = state.new_mark_id();
    state.dispatch(Command::AddMark { id: id.clone(), mark: dent(x) });
    id
}

fn marks(state: AppState) -> usize {
    state.open.with_untracked(|open| open.as_ref().map_or(0, |open| open.job.marks.len()))
}

fn is_open(state: AppState, id: &JobId) -> bool {
    state.open.with_untracked(|open| open.as_ref().is_some_and(|open| open.job.id == *id))
}

fn quick_keys(id: &JobId) -> Vec<String> {
    quick::keys(&job_prefix(id)).expect("local storage answers")
}

fn forget_quick(id: &JobId) {
    quick_keys(id).iter().for_each(|key| quick::remove(key).expect("removed"));
}

/// A job with some marks, saved.
async fn job_with(count: usize) -> (AppState, JobId) {
    let state = ready().await;
    let id = state.create("Kept", body());
    for at in 0..count {
        add(state, i32::try_from(at).expect("small") * 10);
    }
    assert_ne!(state.saving.get_untracked(), SaveState::Saved, "never called saved before the journal has answered");
    saved(state).await;
    (state, id)
}

#[wasm_bindgen_test]
fn local_storage_keeps_its_promises() {
    keeps_its_promises(&mut Quick, "check/").expect("all of them");
}

#[wasm_bindgen_test]
async fn the_journal_keeps_whole_batches() {
    let journal = Journal::open("check-journal").await.expect("opens");
    let text = |n: usize| format!("{{\"n\":{n},\"text\":\"ä\u{1f6e0}\"}}");
    let put = (0..30).map(|n| (format!("a/{n:02}"), text(n))).collect();
    journal.write(&Batch { put, cards: vec![("a".into(), "card".into())], ..Batch::default() }).await.expect("written");
    journal
        .write(&Batch {
            put: vec![("b/1".into(), "other".into())],
            remove: vec!["a/00".into()],
            settings: vec![("shop".into(), "ours".into()), ("look".into(), "sun".into())],
            ..Batch::default()
        })
        .await
        .expect("written");
    journal.close();
    let again = Journal::open("check-journal").await.expect("opens");
    let found = again.entries("a/").await.expect("read");
    assert_eq!(found.len(), 29);
    assert_eq!(found[0], ("a/01".to_owned(), text(1)));
    assert_eq!(again.keys("").await.expect("read").last().map(String::as_str), Some("b/1"));
    assert_eq!(again.card("a").await, Ok(Some("card".to_owned())));
    // A connection that was closed behind its back is mended.
    again.close();
    assert_eq!(again.entries("b/").await.expect("read").len(), 1);
}

#[wasm_bindgen_test]
async fn a_job_comes_back_with_its_undo_from_either_store() {
    for lose in ["neither", "local storage", "journal"] {
        let (first, id) = job_with(3).await;
        first.undo();
        saved(first).await;
        match lose {
            "local storage" => forget_quick(&id),
            "journal" => {
                let journal = Journal::open("cutline").await.expect("opens");
                let remove = journal.keys(&job_prefix(&id)).await.expect("read");
                assert!(remove.len() >= 5, "each change has its own entry");
                journal.write(&Batch { remove, ..Batch::default() }).await.expect("removed");
                journal.close();
            }
            _ => {}
        }
        let second = ready().await;
        saved(second).await;
        let card = second.jobs.with_untracked(|jobs| jobs.iter().find(|card| card.id == id).cloned()).expect("listed");
        assert_eq!((card.title.as_str(), card.marks, card.vehicle.cab), ("Kept", 2, Cab::Extended), "lost {lose}");
        second.open_job(&id);
        until("it is open", || is_open(second, &id)).await;
        let open = second.open.get_untracked().expect("open");
        assert!(open.can_undo && open.can_redo, "undo survives, lost {lose}");
        second.redo();
        assert_eq!(marks(second), 3);
        saved(second).await;
        // What one store lacked is there again.
        let journal = Journal::open("cutline").await.expect("opens");
        assert_eq!(journal.keys(&job_prefix(&id)).await.expect("read").len(), 6, "lost {lose}");
        journal.close();
    }
}

#[wasm_bindgen_test]
async fn a_job_whose_card_cannot_be_read_is_listed_from_its_changes() {
    let (first, id) = job_with(2).await;
    // Of this one there is a card: jobs without one are looked for behind the start.
    job_with(1).await;
    first.close_job();
    forget_quick(&id);
    let journal = Journal::open("cutline").await.expect("opens");
    let cards = vec![(id.to_string(), "no card".to_owned())];
    journal.write(&Batch { cards, ..Batch::default() }).await.expect("written");
    journal.close();
    let second = ready().await;
    let listed = || second.jobs.with_untracked(|jobs| jobs.iter().any(|card| card.id == id && card.marks == 2));
    until("it is listed", listed).await;
}

#[wasm_bindgen_test]
async fn the_list_is_there_at_once_from_local_storage() {
    let (_, id) = job_with(1).await;
    let second = begin();
    assert!(second.jobs.with_untracked(|jobs| jobs.iter().any(|card| card.id == id && card.marks == 1)));
    second.open_job(&id);
    assert!(is_open(second, &id), "without waiting for the journal");
    until("ready", || second.ready.get_untracked()).await;
}

#[wasm_bindgen_test]
async fn local_storage_holds_few_keys_of_a_long_job() {
    let (state, id) = job_with(30).await;
    assert!(quick_keys(&id).len() < 20, "{}", quick_keys(&id).len());
    state.close_job();
    assert_eq!(quick_keys(&id).len(), 1, "closed: one snapshot");
}

#[wasm_bindgen_test]
async fn two_tabs_see_each_others_edits() {
    let (one, id) = job_with(1).await;
    let two = ready().await;
    two.open_job(&id);
    let mark = add(one, 300);
    add(two, 600);
    until("both have three marks", || marks(one) == 3 && marks(two) == 3).await;
    let edit = |x| Command::EditMark { id: mark.clone(), fields: vec![MarkField::DepthMm(x)] };
    one.dispatch(edit(20));
    two.dispatch(edit(21));
    let depth =
        |state: AppState| state.open.with_untracked(|open| open.as_ref().map(|open| open.job.marks[&mark].depth_mm));
    until("both show the same depth", || depth(one) == depth(two) && depth(one) != Some(8)).await;
    saved(one).await;
    saved(two).await;
    let lost = |state: AppState| untrack(|| state.conflicts().len());
    until("both show what lost", || lost(one) == 1 && lost(two) == 1).await;
    // A job that one makes is listed by the other.
    let new = one.create("Second", body());
    until("it is listed", || two.jobs.with_untracked(|jobs| jobs.iter().any(|card| card.id == new))).await;
}

#[wasm_bindgen_test]
async fn a_full_local_storage_leaves_the_journal_and_nothing_is_lost() {
    let (state, id) = job_with(1).await;
    let mut size = 1 << 22;
    let mut fillers = 0;
    while size > 8 {
        match quick::put(&format!("filler/{fillers}"), &"x".repeat(size)) {
            Ok(()) => fillers += 1,
            Err(refusal) => {
                assert_eq!(refusal, Refusal::Full);
                size /= 2;
            }
        }
    }
    add(state, 400);
    add(state, 500);
    assert_eq!(marks(state), 3, "the edits stay on screen");
    saved(state).await;
    for filler in quick::keys("filler/").expect("answers") {
        quick::remove(&filler).expect("removed");
    }
    let second = ready().await;
    second.open_job(&id);
    until("open", || is_open(second, &id)).await;
    assert_eq!(marks(second), 3);
}

#[wasm_bindgen_test]
async fn a_damaged_entry_is_set_aside_and_named_and_the_job_is_whole() {
    let (first, id) = job_with(2).await;
    first.close_job();
    let journal = Journal::open("cutline").await.expect("opens");
    let (key, text) = journal.entries(&job_prefix(&id)).await.expect("read").remove(1);
    let damaged = text.replacen("fender", "bender", 1).replacen("20", "21", 1);
    assert_ne!(damaged, text);
    let put = vec![(key.clone(), damaged.clone())];
    journal.write(&Batch { put, ..Batch::default() }).await.expect("damaged");
    let second = ready().await;
    saved(second).await;
    second.open_job(&id);
    assert_eq!(marks(second), 2, "the snapshot in local storage has it");
    assert!(
        second.notices.with_untracked(|all| all.iter().any(|notice| notice.has_file && notice.text.contains(&id.0)))
    );
    let aside = journal.entries(ASIDE).await.expect("read");
    assert!(aside.contains(&(format!("{ASIDE}{key}"), damaged)), "kept as it was, under another key");
    let mended = journal.entries(&key).await.expect("read");
    assert_eq!(mended, [(key, text)], "and the good one written back");
    journal.close();
}

#[wasm_bindgen_test]
async fn what_a_newer_cutline_made_is_named_and_never_touched() {
    let (first, id) = job_with(1).await;
    first.close_job();
    let newer = CHANGE_VERSION + 1;
    let text = format!(
        r#"{{"v":{newer},"job":"{id}","at":"2030-01-01T00:00:00.000Z/0000","by":"d","ops":[],"weather":"fine"}}"#
    );
    let key = change_key(&id, ChangeId::of(&text));
    let snapshot = format!("{PREFIX}only-newer/s/t1");
    let file = r#"{"format":"cutline-job","version":9,"id":"only-newer","shape":"unknown"}"#;
    let journal = Journal::open("cutline").await.expect("opens");
    journal.write(&Batch { put: vec![(key.clone(), text.clone())], ..Batch::default() }).await.expect("put");
    quick::put(&snapshot, file).expect("put");
    let second = ready().await;
    let card = |id: &str| {
        second.jobs.with_untracked(|jobs| jobs.iter().find(|card| card.id.0 == id).map(|card| card.readable.clone()))
    };
    assert_eq!(card(&id.0), Some(Readable::NewerVersion(newer.to_string())));
    assert_eq!(card("only-newer"), Some(Readable::NewerVersion("9".into())));
    for name in [id.0.as_str(), "only-newer"] {
        let before = second.notices.with_untracked(Vec::len);
        second.open_job(&JobId::from(name));
        until("it is refused in words", || second.notices.with_untracked(Vec::len) > before).await;
        assert!(second.open.with_untracked(Option::is_none));
        second
            .notices
            .with_untracked(|all| all.iter().map(|notice| notice.id).collect::<Vec<_>>())
            .into_iter()
            .for_each(|id| second.dismiss(id));
    }
    second.archive(&id, true);
    clock::pause(100).await;
    assert_eq!(journal.entries(&key).await.expect("read"), [(key, text)]);
    assert_eq!(quick::get(&snapshot).expect("answers").as_deref(), Some(file));
    quick::remove(&snapshot).expect("cleaned");
    journal.close();
}

#[wasm_bindgen_test]
async fn files_go_out_and_come_back() {
    let (state, id) = job_with(2).await;
    let text = state.export_text(&id).expect("in memory");
    assert_eq!(state.import_text(&text).expect("a good file"), id, "the same job, joined");
    saved(state).await;
    assert_eq!(state.export_text(&id).as_ref(), Some(&text), "nothing added");
    let wrong = text.replacen("\"depth_mm\": 8", "\"depth_mm\": 8000", 1);
    assert!(state.import_text(&wrong).expect_err("refused").place.ends_with("depth_mm"));
    // A file by hand of a job that is here already stands beside it.
    let by_hand = format!(
        r#"{{"format":"cutline-job","version":1,"id":"{id}","job":{{"title":"By hand","vehicle":{{"cab":"two-door","bed":"long"}}}}}}"#
    );
    let beside = state.import_text(&by_hand).expect("a good file");
    assert_ne!(beside, id);
    let copy = state.copy(&id);
    saved(state).await;
    let titles: Vec<String> = state.jobs.with_untracked(|jobs| {
        [&id, &beside, &copy]
            .iter()
            .filter_map(|id| jobs.iter().find(|card| card.id == **id))
            .map(|card| card.title.clone())
            .collect()
    });
    assert_eq!(titles, ["Kept", "By hand", "Kept (copy)"]);
    state.archive(&copy, true);
    assert!(state.jobs.with_untracked(|jobs| jobs.iter().any(|card| card.id == copy && card.archived)));
}

#[wasm_bindgen_test]
async fn a_file_restores_a_job_of_which_nothing_can_be_read() {
    let (first, id) = job_with(2).await;
    let file = first.export_text(&id).expect("in memory");
    first.close_job();
    let journal = Journal::open("cutline").await.expect("opens");
    let spoiled = journal
        .entries(&job_prefix(&id))
        .await
        .expect("read")
        .into_iter()
        .map(|(key, text)| (key, text.replace("at", "ta")));
    journal.write(&Batch { put: spoiled.collect(), ..Batch::default() }).await.expect("spoiled");
    forget_quick(&id);
    let second = ready().await;
    second.open_job(&id);
    until("it is said", || second.notices.with_untracked(|all| all.iter().any(|notice| notice.text.contains(&id.0))))
        .await;
    assert!(second.open.with_untracked(Option::is_none));
    assert_eq!(second.import_text(&file).expect("a good file"), id);
    second.open_job(&id);
    until("it is back", || marks(second) == 2).await;
    saved(second).await;
    journal.close();
}

#[wasm_bindgen_test]
async fn a_refused_command_says_why_and_changes_nothing() {
    let (state, _) = job_with(1).await;
    let before = state.open.get_untracked();
    state.dispatch(Command::SetReceived("tomorrow".into()));
    assert_eq!(state.open.get_untracked(), before);
    assert!(
        state
            .notices
            .with_untracked(|all| all.iter().any(|notice| notice.is_problem && notice.text.contains("tomorrow")))
    );
}

#[wasm_bindgen_test]
async fn settings_are_kept_and_told() {
    let state = ready().await;
    state.update_settings(|settings| settings.gloves = !settings.gloves);
    assert_eq!(begin().settings.get_untracked(), state.settings.get_untracked());
}
