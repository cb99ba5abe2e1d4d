//! What waits for a yes.

use std::sync::Mutex;

use data_encoding::HEXLOWER;
use hosewright_page::Refusal;

use super::lock::held;
use crate::store;

/// The most of a kind that wait for a yes; the oldest goes.
const WAITING: usize = 8;

/// What waits for a yes, each under a key that only its sender knows.
pub struct Waiting<T>(Mutex<Vec<(String, T)>>);

impl<T> Default for Waiting<T> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<T: Clone> Waiting<T> {
    /// Keeps something, and returns its key.
    pub fn keep(&self, what: T) -> Result<String, Refusal> {
        let key = HEXLOWER.encode(&store::random::<16>()?);
        let mut all = held(&self.0);
        let over = (all.len() + 1).saturating_sub(WAITING);
        all.drain(..over);
        all.push((key.clone(), what));
        Ok(key)
    }

    /// What has a key.
    pub fn find(&self, key: &str) -> Result<T, Refusal> {
        let all = held(&self.0);
        let found = all.iter().find(|(known, _)| known == key).map(|(_, what)| what.clone());
        found.ok_or_else(|| Refusal::bad("this file is not here any more; send it again"))
    }

    /// Takes it away, once it was taken in.
    pub fn done(&self, key: &str) {
        held(&self.0).retain(|(known, _)| known != key);
    }
}
