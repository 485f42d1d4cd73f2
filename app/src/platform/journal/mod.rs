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
use request::{answered, begin, completed, end, opened, range, store, texts};
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
        if batch.stores().is_empty() {
            return Ok(());
        }
        match self.try_write(batch).await {
            // A lost connection is mended by a fresh one; what is full or blocked stays so.
            Err(Refusal::Broken(_)) => {
                self.close();
                self.try_write(batch).await
            }
            done => done,
        }
    }

    async fn try_write(&self, batch: &Batch) -> Result<(), Refusal> {
        let transaction = self.begin(&batch.stores(), true).await?;
        asked(&transaction, batch).await
    }

    /// Hands a batch to the browser before it returns, where the connection stands; `None` where it does not. The page
    /// may then be as busy as it likes: nothing of it is needed until the answer, which is that of [`Journal::write`]
    /// without its second try.
    pub fn write_at_once(&self, batch: &Batch) -> Option<impl Future<Output = Result<(), Refusal>> + use<>> {
        let database = self.connection.borrow().clone()?;
        let transaction = begin(&database, &batch.stores(), true).ok()?;
        Some(asked(&transaction, batch))
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

impl Batch {
    /// Only the stores that are written to, so that nothing waits for what it does not touch.
    fn stores(&self) -> Vec<&'static str> {
        let used = [
            (ENTRIES, !(self.put.is_empty() && self.remove.is_empty())),
            (CARDS, !self.cards.is_empty()),
            (SETTINGS, !(self.settings.is_empty() && self.unset.is_empty())),
            (PICTURES, !(self.pictures.is_empty() && self.drop_pictures.is_empty())),
        ];
        used.into_iter().filter_map(|(name, used)| used.then_some(name)).collect()
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

/// Asks for all of a batch and for its end, so that no turn of the page stands between; the answer comes with `complete`.
fn asked(transaction: &IdbTransaction, batch: &Batch) -> impl Future<Output = Result<(), Refusal>> + use<> {
    let done = completed(transaction);
    let asked = ask(transaction, batch).and_then(|()| end(transaction));
    if asked.is_err() {
        // Half a batch must not stand.
        let _ = transaction.abort();
    }
    async move {
        let outcome = done.await;
        asked.and(outcome)
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
