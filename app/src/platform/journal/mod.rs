//! The journal in IndexedDB: what its transaction has completed survives a killed browser.
//!
//! Texts under keys in `entries`, one card a job in `cards`, the shop's and the tablet's settings in `settings`, bytes of
//! pictures in `pictures` (`pictures.rs`). Writes ask for `strict` durability and answer only on the transaction's
//! `complete`. Knows nothing of jobs. Keeps one connection and opens a fresh one, once, where it is lost.

mod again;
mod pictures;
mod request;

use super::bytes::Bytes;
use super::quick::refusal;
use super::{Refusal, veil};
use js_sys::Function;
use request::{answered, begin, completed, opened, range, store, texts};
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use wasm_bindgen::JsValue;
use wasm_bindgen::closure::Closure;
use web_sys::{IdbDatabase, IdbTransaction};

/// Version 1 had `entries` and `cards`. A later version may only add stores, so that an older program can use it.
const VERSION: u32 = 2;
const ENTRIES: &str = "entries";
const CARDS: &str = "cards";
const SETTINGS: &str = "settings";
const PICTURES: &str = "pictures";

/// The journal. Copies share one connection.
#[derive(Clone)]
pub struct Journal {
    name: String,
    connection: Rc<RefCell<Option<IdbDatabase>>>,
}

/// What one transaction does.
#[derive(Clone, Debug, Default)]
pub struct Batch {
    /// Texts to put into `entries`.
    pub put: Vec<(String, String)>,
    /// Keys to take out of `entries`.
    pub remove: Vec<String>,
    /// Cards to put.
    pub cards: Vec<(String, String)>,
    /// Settings to put.
    pub settings: Vec<(String, String)>,
    /// Keys to take out of the settings.
    pub unset: Vec<String>,
    /// Pictures to put.
    pub pictures: Vec<(String, Bytes)>,
    /// Keys of pictures to remove; one that is not there costs nothing.
    pub drop_pictures: Vec<String>,
}

impl Journal {
    /// Opens the journal of this name, making it where there is none.
    ///
    /// # Errors
    /// Where the browser refuses or does not answer.
    pub async fn open(name: &str) -> Result<Self, Refusal> {
        let journal = Self { name: name.to_owned(), connection: Rc::default() };
        journal.connect().await?;
        Ok(journal)
    }

    async fn connect(&self) -> Result<IdbDatabase, Refusal> {
        if let Some(open) = self.connection.borrow().as_ref() {
            return Ok(open.clone());
        }
        let factory =
            web_sys::window().and_then(|window| window.indexed_db().ok().flatten()).ok_or(Refusal::Blocked)?;
        let request = factory.open_with_u32(&self.name, VERSION).map_err(|thrown| refusal(&thrown))?;
        let database = match opened(&request, upgrade).await {
            // A newer program has added stores; ours are there.
            Err(Refusal::Broken(name)) if name == "VersionError" => {
                let request = factory.open(&self.name).map_err(|thrown| refusal(&thrown))?;
                opened(&request, upgrade).await?
            }
            answer => answer?,
        };
        let database: IdbDatabase = database.unchecked_into();
        // A newer program in another tab wants to upgrade, or the browser closes us: let go, and reconnect when needed.
        let slot = self.connection.clone();
        let closing = database.clone();
        let let_go = Closure::<dyn Fn()>::new(move || {
            closing.close();
            slot.borrow_mut().take();
        });
        let call: &Function = let_go.as_ref().unchecked_ref();
        database.set_onversionchange(Some(call));
        database.set_onclose(Some(call));
        let_go.forget();
        self.connection.borrow_mut().replace(database.clone());
        Ok(database)
    }

    /// All entries whose keys begin with `prefix`, sorted by key.
    ///
    /// # Errors
    /// Where the browser refuses.
    pub async fn entries(&self, prefix: &str) -> Result<Vec<(String, String)>, Refusal> {
        self.read(ENTRIES, prefix).await
    }

    /// All cards, sorted by key.
    ///
    /// # Errors
    /// Where the browser refuses.
    pub async fn cards(&self) -> Result<Vec<(String, String)>, Refusal> {
        self.read(CARDS, "").await
    }

    /// One card.
    ///
    /// # Errors
    /// Where the browser refuses.
    pub async fn card(&self, key: &str) -> Result<Option<String>, Refusal> {
        Ok(self.read(CARDS, key).await?.into_iter().find(|(known, _)| known == key).map(|(_, text)| text))
    }

    /// All settings, sorted by key.
    ///
    /// # Errors
    /// Where the browser refuses.
    pub async fn settings(&self) -> Result<Vec<(String, String)>, Refusal> {
        self.read(SETTINGS, "").await
    }

    /// One setting.
    ///
    /// # Errors
    /// Where the browser refuses.
    pub async fn setting(&self, key: &str) -> Result<Option<String>, Refusal> {
        Ok(self.read(SETTINGS, key).await?.into_iter().find(|(known, _)| known == key).map(|(_, text)| text))
    }

    /// All keys of `entries` that begin with `prefix`, sorted.
    ///
    /// # Errors
    /// Where the browser refuses.
    pub async fn keys(&self, prefix: &str) -> Result<Vec<String>, Refusal> {
        let transaction = self.begin(&[ENTRIES], false).await?;
        let store = store(&transaction, ENTRIES)?;
        let keys = store.get_all_keys_with_key(&range(prefix)?.into()).map_err(|thrown| refusal(&thrown))?;
        Ok(texts(&answered(&keys).await?))
    }

    async fn read(&self, name: &str, prefix: &str) -> Result<Vec<(String, String)>, Refusal> {
        let transaction = self.begin(&[name], false).await?;
        let store = store(&transaction, name)?;
        let range: JsValue = range(prefix)?.into();
        let keys = store.get_all_keys_with_key(&range).map_err(|thrown| refusal(&thrown))?;
        let values = store.get_all_with_key(&range).map_err(|thrown| refusal(&thrown))?;
        // Both requests stand in one transaction, so that they speak of the same moment.
        let (keys, values) = (answered(&keys), answered(&values));
        let (keys, values) = (keys.await?, values.await?);
        let both = texts(&keys).into_iter().zip(texts(&values));
        if name == SETTINGS {
            return Ok(both.collect());
        }
        let open = |(key, text): (String, String)| veil::open(&place(name, &key), text).map(|text| (key, text));
        Ok(both.filter_map(open).collect())
    }

    /// Does all of a batch in one transaction and waits for its `complete`.
    ///
    /// # Errors
    /// Where the browser refuses; then nothing of the batch was done.
    pub async fn write(&self, batch: &Batch) -> Result<(), Refusal> {
        // Only the stores that are written to, so that nothing waits for what it does not touch.
        let mut stores = Vec::new();
        for (name, used) in [
            (ENTRIES, !(batch.put.is_empty() && batch.remove.is_empty())),
            (CARDS, !batch.cards.is_empty()),
            (SETTINGS, !(batch.settings.is_empty() && batch.unset.is_empty())),
            (PICTURES, !(batch.pictures.is_empty() && batch.drop_pictures.is_empty())),
        ] {
            if used {
                stores.push(name);
            }
        }
        if stores.is_empty() {
            return Ok(());
        }
        self.transact(&stores, &|transaction| ask(transaction, batch)).await
    }

    /// Does what `ask` asks for in one transaction and waits for its `complete`.
    async fn transact(
        &self,
        stores: &[&str],
        ask: &dyn Fn(&IdbTransaction) -> Result<(), Refusal>,
    ) -> Result<(), Refusal> {
        match self.try_transact(stores, ask).await {
            // A lost connection is mended by a fresh one; what is full or blocked stays so.
            Err(Refusal::Broken(_)) => {
                self.close();
                self.try_transact(stores, ask).await
            }
            done => done,
        }
    }

    async fn try_transact(
        &self,
        stores: &[&str],
        ask: &dyn Fn(&IdbTransaction) -> Result<(), Refusal>,
    ) -> Result<(), Refusal> {
        let transaction = self.begin(stores, true).await?;
        let done = completed(&transaction);
        let asked = ask(&transaction);
        if asked.is_err() {
            // Half a batch must not stand.
            let _ = transaction.abort();
        }
        let outcome = done.await;
        asked.and(outcome)
    }

    async fn begin(&self, stores: &[&str], write: bool) -> Result<IdbTransaction, Refusal> {
        let begun = begin(&self.connect().await?, stores, write);
        if begun.is_ok() {
            return begun;
        }
        // "The database connection is closing": forget it and try once more.
        self.connection.borrow_mut().take();
        begin(&self.connect().await?, stores, write)
    }

    /// Closes the connection; the next use opens another.
    pub fn close(&self) {
        if let Some(open) = self.connection.borrow_mut().take() {
            open.close();
        }
    }
}

/// What a value is tied to under the veil. An entry has the same place in both stores.
fn place(name: &str, key: &str) -> String {
    if name == ENTRIES { key.to_owned() } else { format!("{name}/{key}") }
}

/// Makes the stores that are not there yet.
fn upgrade(database: &IdbDatabase) {
    for name in [ENTRIES, CARDS, SETTINGS, PICTURES] {
        if !database.object_store_names().contains(name) {
            let _ = database.create_object_store(name); // where it fails, the open request fails too
        }
    }
}

fn ask(transaction: &IdbTransaction, batch: &Batch) -> Result<(), Refusal> {
    let entry = |key: &str, text: &String| Ok((*veil::close(&place(ENTRIES, key), text)?).into());
    let card = |key: &str, text: &String| Ok((*veil::close(&place(CARDS, key), text)?).into());
    // Settings are read before anybody can open anything.
    let plain = |_: &str, text: &String| Ok(text.into());
    let picture = |key: &str, bytes: &Bytes| Ok(veil::close_bytes(&place(PICTURES, key), bytes)?.0.clone().into());
    put(transaction, ENTRIES, &batch.put, entry, &batch.remove)?;
    put(transaction, CARDS, &batch.cards, card, &[])?;
    put(transaction, SETTINGS, &batch.settings, plain, &batch.unset)?;
    put(transaction, PICTURES, &batch.pictures, picture, &batch.drop_pictures)
}

fn put<T>(
    transaction: &IdbTransaction,
    name: &str,
    values: &[(String, T)],
    value: impl Fn(&str, &T) -> Result<JsValue, Refusal>,
    remove: &[String],
) -> Result<(), Refusal> {
    if values.is_empty() && remove.is_empty() {
        return Ok(());
    }
    let store = store(transaction, name)?;
    for (key, one) in values {
        store.put_with_key(&value(key, one)?, &key.into()).map_err(|thrown| refusal(&thrown))?;
    }
    for key in remove {
        store.delete(&key.into()).map_err(|thrown| refusal(&thrown))?;
    }
    Ok(())
}
