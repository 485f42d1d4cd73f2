//! Settings in a real browser: both stores, the newer wins, damage costs one setting alone, samples of every version open.
//!
//! All tests of this file share one page and one database, and the states of earlier tests live on as other tabs do: each
//! test puts settings that are newer than all before.

use app::platform::journal::{Batch, Journal};
use app::platform::{clock, quick};
use app::state::{AppState, Hand, Look, SaveState, Settings, Units};
use leptos::prelude::*;
use std::sync::atomic::{AtomicU64, Ordering};
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

mod desk;

use desk::{begin, ready, saved, until};

wasm_bindgen_test_configure!(run_in_browser);

const KEY: &str = "cutline-settings";
const V1: &str = include_str!("../../tests/saved/settings/v1.json");
const V2: &str = include_str!("../../tests/saved/settings/v2.json");

/// A sequence number above all before, and above every clock.
fn next() -> u64 {
    static NEXT: AtomicU64 = AtomicU64::new(1 << 50);
    NEXT.fetch_add(100, Ordering::Relaxed)
}

fn text(sequence: u64, price_list: &str) -> String {
    serde_json::to_string(&Settings { sequence, price_list: price_list.to_owned(), ..Settings::default() })
        .expect("a text")
}

/// Puts texts into both stores, or takes them out; gives the open journal.
async fn stores(local: Option<&str>, journalled: Option<&str>) -> Journal {
    // What the other tabs still do about the test before.
    clock::pause(200).await;
    match local {
        Some(text) => quick::put(KEY, text).expect("put"),
        None => quick::remove(KEY).expect("removed"),
    }
    let journal = Journal::open("cutline").await.expect("opens");
    let settings = journalled.map(|text| (KEY.to_owned(), text.to_owned())).into_iter().collect();
    let unset = if journalled.is_none() { vec![KEY.to_owned()] } else { vec![] };
    journal.write(&Batch { settings, unset, ..Batch::default() }).await.expect("written");
    journal
}

async fn journalled(journal: &Journal) -> String {
    let all = journal.settings().await.expect("read");
    all.into_iter().find(|(key, _)| key == KEY).map(|(_, text)| text).unwrap_or_default()
}

fn now(state: AppState) -> Settings {
    state.settings.get_untracked()
}

#[wasm_bindgen_test]
async fn what_local_storage_loses_the_journal_brings_back() {
    let journal = stores(Some(&text(next(), "old")), None).await;
    let state = ready().await;
    saved(state).await;
    state.update_settings(|settings| settings.price_list = "mine".to_owned());
    assert_eq!(state.saving.get_untracked(), SaveState::Saving, "not called saved before the journal has it");
    saved(state).await;
    assert!(journalled(&journal).await.contains("mine"));
    quick::remove(KEY).expect("removed");
    let again = ready().await;
    assert_eq!(now(again), now(state));
    assert!(quick::get(KEY).expect("read").is_some_and(|text| text.contains("mine")), "local storage has it again");
}

#[wasm_bindgen_test]
async fn the_newer_of_the_two_texts_wins() {
    let (first, second) = (text(next(), "first"), text(next(), "second"));
    let journal = stores(Some(&second), Some(&first)).await;
    let state = ready().await;
    assert_eq!(now(state).price_list, "second");
    saved(state).await;
    assert_eq!(journalled(&journal).await, second, "and is brought to the journal");
    let third = text(next(), "third");
    stores(Some(&second), Some(&third)).await;
    assert_eq!(now(ready().await).price_list, "third");
    assert_eq!(quick::get(KEY), Ok(Some(third)), "and to local storage");
    // The clock stands long before the last change, and still makes a newer one.
    let (state, before) = (ready().await, next());
    stores(Some(&text(before, "ahead")), None).await;
    let later = ready().await;
    later.update_settings(|settings| settings.price_list = "after".to_owned());
    assert_eq!(now(later).sequence, before + 1);
    saved(later).await;
    until("the other tab hears of it", || now(state).price_list == "after").await;
}

#[wasm_bindgen_test]
fn settings_of_every_earlier_version_open() {
    for (text, hand, sequence) in [(V1, Hand::Left, 1), (V2, Hand::Right, 1_764_091_800_000)] {
        let found = Settings::read(text).expect("reads");
        assert_eq!((found.look, found.gloves, found.units, found.hand), (Look::Sun, true, Units::Imperial, hand));
        assert_eq!((found.price_file.as_str(), found.aluminium_welding), ("north-yard.csv", false));
        assert_eq!(found.sequence, sequence, "anything that was set is newer than what was never set");
    }
}

#[wasm_bindgen_test]
fn a_setting_that_cannot_be_read_costs_that_setting_alone() {
    let text = V2.replace("\"sun\"", "\"moonlight\"").replace('{', "{\"unheard-of\":[1],");
    let found = Settings::read(&text).expect("reads");
    assert_eq!((found.look, found.gloves, found.price_file.as_str()), (Look::Auto, true, "north-yard.csv"));
    assert!(["", "{", "[]", "7", &V2[..40]].into_iter().all(|text| Settings::read(text).is_none()));
}

#[wasm_bindgen_test]
async fn a_damaged_text_is_set_aside_and_the_other_store_is_used() {
    let whole = text(next(), "whole");
    let journal = stores(Some(&whole[..40]), Some(&whole)).await;
    let state = ready().await;
    assert_eq!(now(state).price_list, "whole");
    assert!(state.notices.with_untracked(|all| all.iter().any(|notice| notice.has_file && notice.is_problem)));
    assert_eq!(journalled(&journal).await, whole);
    // In both: the app starts all the same.
    stores(Some("{"), Some("[]")).await;
    assert_eq!(now(begin()), Settings::default());
}
