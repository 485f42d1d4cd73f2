//! The journal in IndexedDB: what its transaction has completed survives a killed browser.
//!
//! Texts under keys in `entries`, one card a job in `cards`. Writes ask for `strict` durability and answer only on the
//! transaction's `complete`. Knows nothing of jobs. Keeps one connection and opens a fresh one, once, where it is lost.

use super::Refusal;
use super::quick::refusal;
use js_sys::{Array, Function, Object, Promise, Reflect};
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{IdbDatabase, IdbKeyRange, IdbObjectStore, IdbOpenDbRequest, IdbRequest, IdbTransaction};

const VERSION: u32 = 1;
const ENTRIES: &str = "entries";
const CARDS: &str = "cards";
/// How long opening may take before the journal counts as refused, ms: on some systems it never answers.
const PATIENCE_MS: i32 = 10_000;

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
        let database: IdbDatabase = opened(&request).await?.unchecked_into();
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

    /// All keys of `entries` that begin with `prefix`, sorted.
    ///
    /// # Errors
    /// Where the browser refuses.
    pub async fn keys(&self, prefix: &str) -> Result<Vec<String>, Refusal> {
        let transaction = self.begin(false).await?;
        let store = store(&transaction, ENTRIES)?;
        let keys = store.get_all_keys_with_key(&range(prefix)?.into()).map_err(|thrown| refusal(&thrown))?;
        Ok(texts(&answered(&keys).await?))
    }

    async fn read(&self, name: &str, prefix: &str) -> Result<Vec<(String, String)>, Refusal> {
        let transaction = self.begin(false).await?;
        let store = store(&transaction, name)?;
        let range: JsValue = range(prefix)?.into();
        let keys = store.get_all_keys_with_key(&range).map_err(|thrown| refusal(&thrown))?;
        let values = store.get_all_with_key(&range).map_err(|thrown| refusal(&thrown))?;
        // Both requests stand in one transaction, so that they speak of the same moment.
        let (keys, values) = (answered(&keys), answered(&values));
        let (keys, values) = (keys.await?, values.await?);
        Ok(texts(&keys).into_iter().zip(texts(&values)).collect())
    }

    /// Does all of a batch in one transaction and waits for its `complete`.
    ///
    /// # Errors
    /// Where the browser refuses; then nothing of the batch was done.
    pub async fn write(&self, batch: &Batch) -> Result<(), Refusal> {
        match self.try_write(batch).await {
            // A lost connection is mended by a fresh one; what is full or blocked stays so.
            Err(Refusal::Broken(_)) => {
                if let Some(lost) = self.connection.borrow_mut().take() {
                    lost.close();
                }
                self.try_write(batch).await
            }
            done => done,
        }
    }

    async fn try_write(&self, batch: &Batch) -> Result<(), Refusal> {
        let transaction = self.begin(true).await?;
        let done = completed(&transaction);
        let asked = ask(&transaction, batch);
        if asked.is_err() {
            // Half a batch must not stand.
            let _ = transaction.abort();
        }
        let outcome = done.await;
        asked.and(outcome)
    }

    async fn begin(&self, write: bool) -> Result<IdbTransaction, Refusal> {
        let begun = begin(&self.connect().await?, write);
        if begun.is_ok() {
            return begun;
        }
        // "The database connection is closing": forget it and try once more.
        self.connection.borrow_mut().take();
        begin(&self.connect().await?, write)
    }

    /// Closes the connection; the next use opens another.
    pub fn close(&self) {
        if let Some(open) = self.connection.borrow_mut().take() {
            open.close();
        }
    }
}

fn ask(transaction: &IdbTransaction, batch: &Batch) -> Result<(), Refusal> {
    let entries = store(transaction, ENTRIES)?;
    for (key, text) in &batch.put {
        entries.put_with_key(&text.into(), &key.into()).map_err(|thrown| refusal(&thrown))?;
    }
    for key in &batch.remove {
        entries.delete(&key.into()).map_err(|thrown| refusal(&thrown))?;
    }
    let cards = store(transaction, CARDS)?;
    for (key, text) in &batch.cards {
        cards.put_with_key(&text.into(), &key.into()).map_err(|thrown| refusal(&thrown))?;
    }
    Ok(())
}

/// Begins a transaction over both stores. web-sys offers `durability` only as an unstable feature, so it is called by name.
fn begin(database: &IdbDatabase, write: bool) -> Result<IdbTransaction, Refusal> {
    let stores = Array::of2(&ENTRIES.into(), &CARDS.into());
    let options = Object::new();
    let call = |thrown: JsValue| refusal(&thrown);
    Reflect::set(&options, &"durability".into(), &"strict".into()).map_err(call)?;
    let function: Function = Reflect::get(database, &"transaction".into()).map_err(call)?.unchecked_into();
    let mode = if write { "readwrite" } else { "readonly" };
    let transaction = function.call3(database, &stores, &mode.into(), &options).map_err(call)?;
    Ok(transaction.unchecked_into())
}

fn store(transaction: &IdbTransaction, name: &str) -> Result<IdbObjectStore, Refusal> {
    transaction.object_store(name).map_err(|thrown| refusal(&thrown))
}

fn range(prefix: &str) -> Result<IdbKeyRange, Refusal> {
    IdbKeyRange::bound(&prefix.into(), &format!("{prefix}\u{ffff}").into()).map_err(|thrown| refusal(&thrown))
}

/// A list's texts. Anything else, which only a fault can have put there, becomes its JSON, so that it can be set aside.
fn texts(list: &JsValue) -> Vec<String> {
    let text = |item: JsValue| {
        item.as_string()
            .unwrap_or_else(|| js_sys::JSON::stringify(&item).ok().and_then(|s| s.as_string()).unwrap_or_default())
    };
    list.dyn_ref::<Array>().map(|list| list.iter().map(text).collect()).unwrap_or_default()
}

fn answered(request: &IdbRequest) -> impl Future<Output = Result<JsValue, Refusal>> + use<> {
    let request = request.clone();
    let promise = Promise::new(&mut |resolve, reject| {
        request.set_onsuccess(Some(&resolve));
        request.set_onerror(Some(&reject));
    });
    async move {
        match JsFuture::from(promise).await {
            Ok(_) => request.result().map_err(|thrown| refusal(&thrown)),
            Err(_) => Err(request.error().ok().flatten().map_or(Refusal::Blocked, |error| refusal(&error))),
        }
    }
}

fn completed(transaction: &IdbTransaction) -> impl Future<Output = Result<(), Refusal>> + use<> {
    let transaction = transaction.clone();
    let promise = Promise::new(&mut |resolve, reject| {
        transaction.set_oncomplete(Some(&resolve));
        // A full store speaks up here, not where the text was put.
        transaction.set_onabort(Some(&reject));
    });
    async move {
        match JsFuture::from(promise).await {
            Ok(_) => Ok(()),
            Err(_) => {
                Err(transaction.error().map_or(Refusal::Broken("AbortError".to_owned()), |error| refusal(&error)))
            }
        }
    }
}

async fn opened(request: &IdbOpenDbRequest) -> Result<JsValue, Refusal> {
    let asking = request.clone();
    let upgrade = Closure::<dyn Fn()>::new(move || {
        let Ok(database) = asking.result().map(JsCast::unchecked_into::<IdbDatabase>) else { return };
        for name in [ENTRIES, CARDS] {
            let _ = database.create_object_store(name); // where it fails, the open request fails too
        }
    });
    request.set_onupgradeneeded(Some(upgrade.as_ref().unchecked_ref()));
    let patience = Promise::new(&mut |_, reject| {
        if let Some(window) = web_sys::window() {
            let _ = window.set_timeout_with_callback_and_timeout_and_arguments_0(&reject, PATIENCE_MS);
        }
    });
    let answer = Promise::new(&mut |resolve, reject| {
        request.set_onsuccess(Some(&resolve));
        request.set_onerror(Some(&reject));
    });
    match JsFuture::from(Promise::race(&Array::of2(&answer, &patience))).await {
        Ok(_) => request.result().map_err(|thrown| refusal(&thrown)),
        Err(_) => Err(request.error().ok().flatten().map_or(Refusal::Blocked, |error| refusal(&error))),
    }
}
