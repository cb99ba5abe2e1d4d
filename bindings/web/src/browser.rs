//! The door to JavaScript, in a worker: this origin's private storage, the browser's clock
//! and chance, and the frames of its camera. What is kept is behind [`Pocket`]; nothing is
//! decided here.

use std::cell::RefCell;
use std::path::Path;

use hosewright_core::device::Keyring;
use hosewright_core::file::InMemory;
use hosewright_core::journal::StoreError;
use hosewright_core::tag::{Frame, Reader, hint, read_barcodes};
use hosewright_core::{Logbook, SalvageReport};
use js_sys::{Array, JsString, Object, Reflect, Uint8Array};
use rsqlite_vfs::VfsFilesManager;
use rsqlite_vfs::transfer::{DbTransfer, ExportSource};
use sqlite_wasm_rs::WasmOsCallback;
use sqlite_wasm_vfs::sahpool::{OpfsSAHError, OpfsSAHPoolCfgBuilder, OpfsSAHPoolUtil, install};
use wasm_bindgen::prelude::*;

use crate::asked::{Asked, Now, Reply, Sent};
use crate::drawer::Drawer;
use crate::pocket::{DRAWER, OpenError, Pocket, RECORD};

/// Where the pool's files are in the origin's private storage.
const FOLDER: &str = "hosewright";
/// The files that may be open: the record, the drawer, one that is saved, and a journal each.
const FILES: usize = 8;
/// The note of the drawer with the record's name, once one was saved into another.
const RECORD_NOTE: &str = "record";
/// Makers' barcodes are looked for in one frame of so many: they cost more than tags.
const BARCODES: u32 = 3;

/// Said if the browser's clock is of no use.
const NO_TIME: &str = "this browser's clock says no time; set the device's date";

/// Why there is no record: what it is for the shell, and in words.
fn refused(kind: &str, words: &str) -> JsValue {
    let all = Object::new();
    // Setting a property of a plain object cannot fail.
    let _ = Reflect::set(&all, &"kind".into(), &kind.into());
    let _ = Reflect::set(&all, &"words".into(), &words.into());
    all.into()
}

fn no_storage(error: OpfsSAHError) -> JsValue {
    let words = error.to_string();
    let named = |name: &str| words.contains(name);
    let kind = match &error {
        OpfsSAHError::NotSupported => "none",
        OpfsSAHError::DirectoryInUse(_) => "taken",
        _ if named("NoModificationAllowed") => "taken",
        _ if named("Quota") => "full",
        _ if named("SecurityError") || named("NotAllowed") => "none",
        _ => "other",
    };
    refused(kind, &words)
}

fn not_opened(error: &OpenError) -> JsValue {
    let kind = match error {
        OpenError::Store(StoreError::TooNew { .. }) => "newer",
        OpenError::Store(StoreError::Full) => "full",
        OpenError::Store(StoreError::Damaged { .. } | StoreError::NotOurs(_)) => "damaged",
        _ => "other",
    };
    refused(kind, &error.to_string())
}

/// The storage of this origin, while this worker has it.
#[wasm_bindgen]
pub struct Storage {
    pool: OpfsSAHPoolUtil,
}

/// Takes the storage: one worker of the origin has it at a time.
///
/// # Errors
/// `{kind, words}` if there is none, or another worker has it.
#[wasm_bindgen]
pub async fn storage() -> Result<Storage, JsValue> {
    let settings = OpfsSAHPoolCfgBuilder::new().directory(FOLDER).initial_capacity(FILES).build();
    let pool = install::<WasmOsCallback>(&settings, true).await.map_err(no_storage)?;
    Ok(Storage { pool })
}

#[wasm_bindgen]
impl Storage {
    /// Opens the record, and begins one if there is none.
    ///
    /// # Errors
    /// `{kind, words}` if it cannot be opened.
    pub fn open(&self) -> Result<Door, JsValue> {
        let record = self.record()?;
        let opened = Pocket::open(Path::new(&record), Path::new(DRAWER));
        let pocket = opened.map_err(|error| not_opened(&error))?;
        let (reader, room) = (RefCell::default(), RefCell::default());
        Ok(Door { pocket, reader, room, frames: RefCell::new(0) })
    }

    /// The bytes of the record's file, to be kept elsewhere: it must not be open.
    ///
    /// # Errors
    /// `{kind, words}` if it cannot be read.
    pub fn bytes(&self) -> Result<Vec<u8>, JsValue> {
        let name = self.record()?;
        let mut source = match self.pool.open_export(&name) {
            // What was not committed is of no use for a record that can't be opened.
            Err(OpfsSAHError::RecoveryRequired(_)) => {
                self.pool.remove(&format!("{name}-journal")).map_err(no_storage)?;
                self.pool.open_export(&name)
            }
            source => source,
        }
        .map_err(no_storage)?;
        let too_large = |_| refused("other", "the record is larger than this browser's memory");
        let mut bytes = vec![0; usize::try_from(source.size()).map_err(too_large)?];
        let mut at = 0;
        while let Some(rest) = bytes.get_mut(at..).filter(|rest| !rest.is_empty()) {
            match source.read_at(at as u64, rest).map_err(no_storage)? {
                0 => break,
                read => at += read,
            }
        }
        bytes.truncate(at);
        Ok(bytes)
    }

    /// Takes what can still be read of a damaged record into a new one, which is the record
    /// from then on; the damaged one stays beside it. Gives back what was saved in words, and
    /// the lines that nothing proves.
    ///
    /// # Errors
    /// `{kind, words}` if nothing can be saved.
    pub fn salvage(&self) -> Result<Array, JsValue> {
        let other = |error: &dyn std::error::Error| refused("other", &error.to_string());
        let damaged = InMemory::new(self.record()?, self.bytes()?);
        let drawer = Drawer::open(Path::new(DRAWER)).map_err(|e| other(&e))?;
        let names = self.pool.names().map_err(no_storage)?;
        let free = |name: &String| !names.iter().any(|known| known.trim_start_matches('/') == name);
        let name = (2..).map(|n: u32| format!("record-{n}.hosewright")).find(free);
        let name = name.unwrap_or_else(|| RECORD.to_owned());
        let saved =
            Logbook::salvage_kept(&damaged, Path::new(&name), &drawer as &dyn Keyring, |_, _| ());
        let (report, lines): (SalvageReport, String) = saved.map_err(|error| {
            let _ = self.pool.remove(&name);
            other(&error)
        })?;
        drawer.keep_note(RECORD_NOTE, Some(&name)).map_err(|e| other(&e))?;
        let words = report.words_on_phone().into_iter().map(JsValue::from);
        Ok(Array::of2(&words.collect::<Array>(), &lines.into()))
    }

    /// Gives the storage free for another tab. The record must be closed.
    ///
    /// # Errors
    /// `{kind, words}` if it is still open.
    pub fn release(&self) -> Result<(), JsValue> {
        self.pool.pause().map_err(no_storage)
    }

    fn record(&self) -> Result<String, JsValue> {
        let drawer = Drawer::open(Path::new(DRAWER));
        let noted = drawer.and_then(|drawer| drawer.note(RECORD_NOTE));
        let noted = noted.map_err(|error| not_opened(&OpenError::Drawer(error)))?;
        Ok(noted.unwrap_or_else(|| RECORD.to_owned()))
    }
}

/// The record, open.
#[wasm_bindgen]
pub struct Door {
    pocket: Pocket,
    reader: RefCell<Reader>,
    /// Room for a frame of the camera, a grey value a pixel: the browser writes into it.
    room: RefCell<Vec<u8>>,
    frames: RefCell<u32>,
}

#[wasm_bindgen]
impl Door {
    /// Answers what is asked: `fields` are pairs of a name and a text, or of a name and a
    /// file as `[name, bytes]`. Gives back `{status, headers, body}`.
    ///
    /// # Errors
    /// A sentence if the clock of the browser says nothing that is a time.
    pub fn answer(
        &self,
        method: String,
        address: String,
        fields: &Array,
        milliseconds: f64,
        minutes_behind: f64,
    ) -> Result<Object, JsValue> {
        let now = Now::of(milliseconds, minutes_behind);
        let now = now.ok_or(NO_TIME)?;
        let fields = fields.iter().filter_map(|pair| field(&pair)).collect();
        Ok(given(&self.pocket.answer(Asked { method, address, fields }, now)))
    }

    /// Where in the memory the next frame's grey values go: `length` bytes.
    #[must_use]
    pub fn room(&self, length: usize) -> *mut u8 {
        let mut room = self.room.borrow_mut();
        room.resize(length, 0);
        room.as_mut_ptr()
    }

    /// What is written on the tags in the frame that was put into the room: each text with
    /// what its hose is called, our tags before others' codes, of which those alone count
    /// that are bound to a hose.
    ///
    /// # Errors
    /// A sentence if the frame has not that size.
    pub fn read(&self, width: u32, height: u32, stride: u32) -> Result<Array, JsValue> {
        let room = self.room.borrow();
        let frame = Frame::new(bright(&room, height, stride), width, height, stride)
            .map_err(|e| e.to_string())?;
        let mut texts: Vec<String> =
            self.reader.borrow_mut().read(&frame).iter().map(|found| found.text.clone()).collect();
        let mut frames = self.frames.borrow_mut();
        *frames = frames.wrapping_add(1);
        if texts.is_empty() && frames.is_multiple_of(BARCODES) {
            texts = read_barcodes(&frame).into_iter().map(|found| found.text).collect();
        }
        let named = self.pocket.named(texts);
        Ok(named.into_iter().map(|(text, name)| pair(&text, &name)).collect())
    }

    /// What a person can do about a tag that shows itself in the frame that was read last,
    /// where none could be read; nothing if none shows itself.
    #[must_use]
    pub fn hint(&self, width: u32, height: u32, stride: u32) -> Option<String> {
        let room = self.room.borrow();
        let frame = Frame::new(bright(&room, height, stride), width, height, stride).ok()?;
        let glimpse = self.reader.borrow_mut().glimpse(&frame)?;
        Some(hint(glimpse.obstacle).to_owned())
    }

    /// Takes the frame that was put into the room into the film that is watched: gives back, as
    /// JSON, how far that is.
    ///
    /// # Errors
    /// `{kind, words}` if the frame has not that size, or what was seen cannot be kept.
    pub fn watch(&self, width: u32, height: u32, stride: u32) -> Result<String, JsValue> {
        let room = self.room.borrow();
        let frame = Frame::new(bright(&room, height, stride), width, height, stride)
            .map_err(|e| refused("refused", &e.to_string()))?;
        let watched = self.pocket.watched(&frame);
        watched.map_err(|refusal| refused("refused", &refusal.to_string()))
    }

    /// The message for the chip on a hose.
    ///
    /// # Errors
    /// `{kind, words}` if there is no such hose.
    pub fn chip(
        &self,
        code: &str,
        milliseconds: f64,
        minutes_behind: f64,
    ) -> Result<Vec<u8>, JsValue> {
        let now = Now::of(milliseconds, minutes_behind).ok_or(NO_TIME)?;
        self.pocket.chip(code, now).map_err(|refusal| refused("refused", &refusal.to_string()))
    }

    /// Another film begins.
    pub fn forget(&self) {
        self.reader.borrow_mut().forget();
    }
}

/// The brightness of a frame: what the browser puts behind it is colour.
fn bright(room: &[u8], height: u32, stride: u32) -> &[u8] {
    let length = usize::try_from(u64::from(stride) * u64::from(height)).ok();
    length.and_then(|length| room.get(..length)).unwrap_or(room)
}

fn pair(first: &str, second: &str) -> Array {
    Array::of2(&first.into(), &second.into())
}

fn field(pair: &JsValue) -> Option<(String, Sent)> {
    let pair: &Array = pair.dyn_ref()?;
    let (name, sent) = (pair.get(0).as_string()?, pair.get(1));
    if let Some(text) = sent.as_string() {
        return Some((name, Sent::Text(text)));
    }
    let file: &Array = sent.dyn_ref()?;
    let called = file.get(0).dyn_into::<JsString>().map(String::from).unwrap_or_default();
    Some((name, Sent::File { name: called, bytes: Uint8Array::new(&file.get(1)).to_vec() }))
}

fn given(reply: &Reply) -> Object {
    let headers: Array = reply.headers.iter().map(|(name, text)| pair(name, text)).collect();
    let all = Object::new();
    // Setting a property of a plain object cannot fail.
    let _ = Reflect::set(&all, &"status".into(), &reply.status.into());
    let _ = Reflect::set(&all, &"headers".into(), &headers);
    let _ = Reflect::set(&all, &"body".into(), &Uint8Array::from(reply.body.as_slice()));
    all
}
