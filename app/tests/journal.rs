//! The journal itself, in a real browser: settings, pictures, an older tab beside us, an older and a newer database.

use app::platform::Refusal;
use app::platform::bytes::Bytes;
use app::platform::journal::{Batch, Journal};
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

// A database as another version of the program makes it, and its tab, which lets go when it is asked to, or does not.
#[wasm_bindgen(inline_js = r#"
export function other_version(name, version, stores, lets_go) {
  return new Promise((done, failed) => {
    const asked = indexedDB.open(name, version);
    asked.onerror = () => failed(asked.error);
    asked.onupgradeneeded = () => stores.forEach((store) => asked.result.createObjectStore(store));
    asked.onsuccess = () => {
      const database = asked.result;
      globalThis.otherTab = database;
      if (lets_go) database.onversionchange = () => database.close();
      const write = database.transaction(["entries", "cards"], "readwrite");
      write.objectStore("entries").put("{\"old\":1}", "j/a/1");
      write.objectStore("cards").put("card", "a");
      write.oncomplete = () => done();
    };
  });
}
export function other_tab_ends() { globalThis.otherTab.close(); }
export function put_anything(name, store, key) {
  return new Promise((done) => {
    const asked = indexedDB.open(name);
    asked.onsuccess = () => {
      const write = asked.result.transaction([store], "readwrite");
      write.objectStore(store).put({ no: "bytes" }, key);
      write.oncomplete = () => { asked.result.close(); done(); };
    };
  });
}
"#)]
extern "C" {
    #[wasm_bindgen(catch)]
    async fn other_version(name: &str, version: u32, stores: Vec<String>, lets_go: bool) -> Result<JsValue, JsValue>;
    fn other_tab_ends();
    async fn put_anything(name: &str, store: &str, key: &str);
}

async fn version(name: &str, version: u32, more: &[&str], lets_go: bool) {
    let stores = ["entries", "cards"].iter().chain(more).map(|&store| store.to_owned()).collect();
    other_version(name, version, stores, lets_go).await.expect("made");
}

async fn holds_what_was_there(journal: &Journal) {
    assert_eq!(journal.entries("").await, Ok(vec![("j/a/1".to_owned(), "{\"old\":1}".to_owned())]));
    assert_eq!(journal.card("a").await, Ok(Some("card".to_owned())));
}

async fn takes_all_that_is_new(journal: &Journal) {
    let settings = vec![("shop".to_owned(), "ours".to_owned()), ("look".to_owned(), "sun".to_owned())];
    journal.write(&Batch { settings, ..Batch::default() }).await.expect("written");
    journal.put_pictures(&[("a/1/full".to_owned(), Bytes::new(&[1, 2, 3]))]).await.expect("written");
    assert_eq!(journal.settings().await.expect("read").len(), 2);
    assert_eq!(journal.picture("a/1/full").await.expect("read").map(|bytes| bytes.to_vec()), Some(vec![1, 2, 3]));
}

#[wasm_bindgen_test]
async fn settings_are_put_and_taken_out() {
    let journal = Journal::open("check-settings").await.expect("opens");
    let settings = vec![("b".to_owned(), "2".to_owned()), ("a".to_owned(), "1".to_owned())];
    journal.write(&Batch { settings, ..Batch::default() }).await.expect("written");
    journal.close();
    let settings = vec![("a".to_owned(), "3".to_owned())];
    journal.write(&Batch { settings, unset: vec!["b".to_owned()], ..Batch::default() }).await.expect("written");
    assert_eq!(journal.settings().await, Ok(vec![("a".to_owned(), "3".to_owned())]));
    assert_eq!(journal.keys("").await, Ok(vec![]), "entries know nothing of it");
}

#[wasm_bindgen_test]
async fn pictures_are_put_read_listed_counted_and_removed() {
    let journal = Journal::open("check-pictures").await.expect("opens");
    let big: Vec<u8> = (0..3_000_000_u32).map(|n| (n % 251) as u8).collect();
    let bytes = Bytes::new(&big);
    assert_eq!((bytes.len(), bytes.is_empty(), bytes.first(3)), (3_000_000, false, vec![0, 1, 2]));
    assert_eq!(Bytes::new(&[7]).first(9), vec![7]);
    let key = |name: &str| name.to_owned();
    journal
        .put_pictures(&[
            (key("j/1/full"), bytes),
            (key("j/1/thumb"), Bytes::new(&[9])),
            (key("k/1/full"), Bytes::new(&[])),
        ])
        .await
        .expect("written");
    journal.close();
    assert_eq!(journal.picture_keys("j/").await, Ok(vec![key("j/1/full"), key("j/1/thumb")]));
    assert_eq!(journal.picture_bytes("j/").await, Ok(3_000_001));
    assert!(journal.picture("j/1/full").await.expect("read").is_some_and(|found| found.to_vec() == big), "every byte");
    assert!(journal.picture("k/1/full").await.expect("read").is_some_and(|found| found.is_empty()));
    assert_eq!(journal.picture("j/2/full").await, Ok(None));
    journal.remove_pictures(&[key("j/1/full"), key("not/there")]).await.expect("removed");
    assert_eq!(journal.picture_keys("").await, Ok(vec![key("j/1/thumb"), key("k/1/full")]));
    put_anything("check-pictures", "pictures", "j/3/full").await;
    assert_eq!(journal.picture("j/3/full").await, Ok(None), "what is no bytes counts as not there");
}

#[wasm_bindgen_test]
async fn version_1_gets_the_new_stores_and_keeps_everything_while_its_tab_lets_go() {
    version("check-upgrade", 1, &[], true).await;
    let journal = Journal::open("check-upgrade").await.expect("opens");
    holds_what_was_there(&journal).await;
    takes_all_that_is_new(&journal).await;
    holds_what_was_there(&journal).await;
}

#[wasm_bindgen_test]
async fn a_tab_that_does_not_let_go_is_named_and_nothing_is_lost() {
    version("check-held", 1, &[], false).await;
    assert_eq!(Journal::open("check-held").await.err(), Some(Refusal::Held));
    other_tab_ends();
    let journal = Journal::open("check-held").await.expect("opens");
    takes_all_that_is_new(&journal).await;
    holds_what_was_there(&journal).await;
}

#[wasm_bindgen_test]
async fn a_newer_version_that_only_added_stores_is_used_as_it_is() {
    version("check-newer", 7, &["settings", "pictures", "unheard-of"], true).await;
    let journal = Journal::open("check-newer").await.expect("opens");
    holds_what_was_there(&journal).await;
    takes_all_that_is_new(&journal).await;
}
