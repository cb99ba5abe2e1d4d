//! Files that come in: on the disk at once, so that one of any size takes no
//! memory; and what waits for a yes.

use std::io::Write;
use std::sync::{Mutex, PoisonError};

use axum::extract::{DefaultBodyLimit, FromRequest, Multipart, Request};
use data_encoding::HEXLOWER;
use tempfile::NamedTempFile;

use super::ask::{Ask, broken_off, in_time};
use super::fields::Fields;
use super::refusal::Refusal;
use super::shared::random;
use crate::failure::Failure;

/// The most bytes of a file: a bundle of five million entries has fewer.
const MOST_FILE: usize = 256 * 1024 * 1024;
const MOST_WORDS: &str = "256 MB";

/// A file that was posted from a page of ours, and the fields before it.
pub struct Upload {
    /// The request.
    pub ask: Ask,
    /// What stands beside it.
    pub fields: Fields,
    /// The file; it goes when this does.
    pub file: NamedTempFile,
}

impl<S: Send + Sync> FromRequest<S> for Upload {
    type Rejection = Refusal;

    async fn from_request(mut request: Request, state: &S) -> Result<Self, Refusal> {
        let ask = request.extensions().get::<Ask>().cloned();
        let ask = ask.ok_or_else(|| Refusal::Broken("a request came past the guard".to_owned()))?;
        DefaultBodyLimit::max(MOST_FILE).apply(&mut request);
        let parts = Multipart::from_request(request, state).await;
        let parts = parts.map_err(|_| Refusal::Foreign)?;
        let (fields, file) = in_time(&ask, taken(&ask, parts)).await?;
        Ok(Self { ask, fields, file })
    }
}

/// Only what comes behind our token is kept.
async fn taken(ask: &Ask, mut parts: Multipart) -> Result<(Fields, NamedTempFile), Refusal> {
    let broken = |error: std::io::Error| Refusal::from(Failure::from(error));
    let _room = ask.turn(&ask.house.files).await?;
    let mut pairs = Vec::new();
    while let Some(mut part) = parts.next_field().await.map_err(|e| broken_off(&e, MOST_WORDS))? {
        let name = part.name().unwrap_or_default().to_owned();
        if name != "file" {
            let bytes = part.bytes().await.map_err(|e| broken_off(&e, MOST_WORDS))?;
            if pairs.len() >= 20 || bytes.len() > 1000 {
                return Err(Refusal::bad("the form is not one of this page"));
            }
            pairs.push((name, String::from_utf8_lossy(&bytes).into_owned()));
            continue;
        }
        let fields = Fields::of(pairs);
        ask.checked(&fields)?;
        let mut file = tempfile::NamedTempFile::new().map_err(broken)?;
        while let Some(piece) = part.chunk().await.map_err(|e| broken_off(&e, MOST_WORDS))? {
            // A piece is a few kilobytes, and the system keeps it before the disk does.
            file.write_all(&piece).map_err(broken)?;
        }
        file.flush().map_err(broken)?;
        return Ok((fields, file));
    }
    ask.checked(&Fields::of(pairs))?;
    Err(Refusal::at("file", "choose a file first"))
}

/// The most of a kind that wait for a yes; the oldest goes.
const WAITING: usize = 8;

/// What waits for a yes, each under a key that only its sender knows: lists in
/// memory, other files on the disk.
pub struct Waiting<T>(Mutex<Vec<(String, T)>>);

impl<T> Default for Waiting<T> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<T: Clone> Waiting<T> {
    /// Keeps something, and returns its key.
    pub fn keep(&self, what: T) -> Result<String, Refusal> {
        let key = HEXLOWER.encode(&random::<16>()?);
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let over = (all.len() + 1).saturating_sub(WAITING);
        all.drain(..over);
        all.push((key.clone(), what));
        Ok(key)
    }

    /// What has a key.
    pub fn find(&self, key: &str) -> Result<T, Refusal> {
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let found = all.iter().find(|(known, _)| known == key).map(|(_, what)| what.clone());
        found.ok_or_else(|| Refusal::bad("this file is not here any more; send it again"))
    }

    /// Takes it away, once it was taken in.
    pub fn done(&self, key: &str) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).retain(|(known, _)| known != key);
    }
}
