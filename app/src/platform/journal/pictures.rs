//! Bytes of pictures in the journal, in a store of their own, by key. Written `strict`, answered on `complete`.
//!
//! Array buffers, since some browsers lose or refuse blobs. Never reads a picture in order to list, move or remove it.

use super::request::{answered, range, store, texts};
use super::{Batch, Journal, PICTURES, Refusal, place};
use crate::platform::bytes::Bytes;
use crate::platform::quick::refusal;
use crate::platform::veil;
use wasm_bindgen::JsCast;

impl Journal {
    /// Puts pictures, all in one transaction.
    ///
    /// # Errors
    /// Where the browser refuses; then none of them was put.
    pub async fn put_pictures(&self, pictures: &[(String, Bytes)]) -> Result<(), Refusal> {
        self.write(&Batch { pictures: pictures.to_vec(), ..Batch::default() }).await
    }

    /// The bytes under a key.
    ///
    /// # Errors
    /// Where the browser refuses.
    pub async fn picture(&self, key: &str) -> Result<Option<Bytes>, Refusal> {
        let transaction = self.begin(&[PICTURES], false).await?;
        let asked = store(&transaction, PICTURES)?.get(&key.into()).map_err(|thrown| refusal(&thrown))?;
        let bytes = answered(&asked).await?.dyn_into().ok().map(Bytes);
        Ok(bytes.and_then(|bytes| veil::open_bytes(&place(PICTURES, key), bytes)))
    }

    /// Removes pictures, all in one transaction; a key that is not there costs nothing.
    ///
    /// # Errors
    /// Where the browser refuses; then all of them are still there.
    pub async fn remove_pictures(&self, keys: &[String]) -> Result<(), Refusal> {
        self.write(&Batch { drop_pictures: keys.to_vec(), ..Batch::default() }).await
    }

    /// All keys that begin with `prefix`, sorted.
    ///
    /// # Errors
    /// Where the browser refuses.
    pub async fn picture_keys(&self, prefix: &str) -> Result<Vec<String>, Refusal> {
        let transaction = self.begin(&[PICTURES], false).await?;
        let store = store(&transaction, PICTURES)?;
        let keys = store.get_all_keys_with_key(&range(prefix)?.into()).map_err(|thrown| refusal(&thrown))?;
        Ok(texts(&answered(&keys).await?))
    }

    /// How many bytes the pictures take whose keys begin with `prefix`. Reads them one after another: for a report, not
    /// for each frame.
    ///
    /// # Errors
    /// Where the browser refuses.
    pub async fn picture_bytes(&self, prefix: &str) -> Result<u64, Refusal> {
        let mut sum = 0;
        for key in self.picture_keys(prefix).await? {
            sum += self.picture(&key).await?.map_or(0, |bytes| u64::from(bytes.len()));
        }
        Ok(sum)
    }
}
