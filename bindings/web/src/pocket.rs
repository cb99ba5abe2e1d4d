//! From what was asked to a page.

use std::cell::{OnceCell, RefCell};
use std::path::Path;
use std::sync::Arc;

use hosewright_core::file::InMemory;
use hosewright_core::hose::Label;
use hosewright_core::journal::{Moment, StoreError};
use hosewright_core::tag::Frame;
use hosewright_core::tag::ndef::{Chip, message_for};
use hosewright_core::{Logbook, LogbookError};
use hosewright_page::{
    self as page, Body, Fields, Found, Person, Refusal, Remember, Request, Response, Takes,
    Watching,
};
use http::Method;
use http::header::ALLOW;
use percent_encoding::percent_decode_str;
use rand::rngs::{StdRng, SysRng};
use rand::{Rng, SeedableRng};
use thiserror::Error;

use crate::asked::{Asked, Now, Reply, Sent};
use crate::drawer::{BY, DEMO, Drawer};
use crate::host::{self, WaitingFiles};

/// The name of the record in this origin's storage.
pub const RECORD: &str = "record.hosewright";
/// The name of the drawer there.
pub const DRAWER: &str = "drawer";

/// What begins a tag's address, wherever it was printed for.
const TAG: &str = "/HW1:";
/// What can be asked before somebody has: what a tag says, and the demonstration.
const WITHOUT_NAME: &[&str] = &["/who", "/scan", "/photo", "/frame", "/demo", "/demo/leave"];

/// Why there is no record to be had.
#[derive(Debug, Error)]
pub enum OpenError {
    /// The record cannot be opened.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The drawer cannot be opened.
    #[error("this device's own settings cannot be opened: {0}")]
    Drawer(#[from] rusqlite::Error),
    /// No random bits.
    #[error("the system gives no random bits for new codes: {0}")]
    Random(String),
}

/// A record on this device, with the page before it.
pub struct Pocket {
    record: RefCell<Logbook>,
    demo: OnceCell<RefCell<Logbook>>,
    drawer: Drawer,
    waiting: WaitingFiles,
    watching: RefCell<Watching>,
    token: String,
}

fn chance() -> Result<Box<dyn Rng + Send>, OpenError> {
    let random = StdRng::try_from_rng(&mut SysRng);
    Ok(Box::new(random.map_err(|e| OpenError::Random(e.to_string()))?))
}

impl Pocket {
    /// Opens the record of a name, with the drawer of another, and begins what there is not.
    ///
    /// # Errors
    /// [`OpenError`] if one of them cannot be opened.
    pub fn open(record: &Path, drawer: &Path) -> Result<Self, OpenError> {
        let drawer = Drawer::open(drawer)?;
        let logbook = Logbook::open_kept(record, chance()?, Box::new(drawer.clone()))?;
        let token = host::random_text::<32>().map_err(|e| OpenError::Random(e.to_string()))?;
        let (demo, waiting) = (OnceCell::new(), WaitingFiles::default());
        let (record, watching) = (RefCell::new(logbook), RefCell::default());
        Ok(Self { record, demo, drawer, waiting, watching, token })
    }

    /// Answers what was asked.
    #[must_use]
    pub fn answer(&self, asked: Asked, now: Now) -> Reply {
        let response = self.request(&asked, now).map(|mut request| {
            let answered = self.answered(&mut request, asked.fields);
            answered.unwrap_or_else(|refusal| page::refused(&request, &refusal))
        });
        let response = response.unwrap_or_else(|refusal| page::bare(&refusal));
        self.sent(response)
    }

    /// Of texts that a camera saw those that count, each with what its hose is called: our
    /// tags; where there are none, others' codes that are bound to a hose here.
    #[must_use]
    pub fn named(&self, texts: Vec<String>) -> Vec<(String, String)> {
        let demo = self.demo.get().filter(|_| self.is_demo());
        match demo.unwrap_or(&self.record).try_borrow() {
            Ok(logbook) => page::seen(&logbook, texts),
            Err(_) => Vec::new(),
        }
    }

    /// The message for the chip on a hose: as much of it as the smallest chip has room for,
    /// since a browser does not say which it writes to.
    ///
    /// # Errors
    /// [`Refusal`] if there is no such hose, or its tag has no room there.
    pub fn chip(&self, typed: &str, now: Now) -> Result<Vec<u8>, Refusal> {
        let moment = self.request(&Asked::get("/"), now)?.moment;
        let demo = self.demo.get().filter(|_| self.is_demo());
        let logbook = demo.unwrap_or(&self.record).try_borrow();
        let logbook = logbook.map_err(|_| Refusal::failed())?;
        let what = logbook.chip(logbook.find_typed(typed)?.hose, None, &moment)?;
        // Type, length and the end of what is written take three bytes.
        let room = Chip::Ntag213.container().size() - 3;
        Ok(message_for(&what, room).map_err(Refusal::bad)?.bytes)
    }

    /// What an address asks, without what is sent with it.
    fn request(&self, asked: &Asked, now: Now) -> Result<Request, Refusal> {
        let address = tag_address(&asked.address);
        let address = address.as_deref().unwrap_or(&asked.address);
        let (path, query) = address.split_once('?').unwrap_or((address, ""));
        let by = self.drawer.note(BY).ok().flatten();
        let by = by.and_then(|by| Label::new("a name", &by).ok());
        let nobody = || Label::new("a name", page::NOBODY).map_err(LogbookError::from);
        let by = by.map_or_else(nobody, Ok)?;
        let demo = self.is_demo();
        let today = if demo { demo_day().unwrap_or(now.today) } else { now.today };
        let time = if demo { today.and_time(now.time.time()).and_utc() } else { now.time };
        Ok(Request {
            method: asked.method.parse().map_err(|_| Refusal::NoMethod)?,
            path: path.to_owned(),
            query: Fields::read(query.as_bytes())?,
            form: Fields::default(),
            pictures: Vec::new(),
            upload: None,
            person: Person { token: self.token.clone(), at_the_desk: true, signs_in: false },
            demo,
            moment: Moment { today, time, by },
        })
    }

    fn answered(
        &self,
        request: &mut Request,
        fields: Vec<(String, Sent)>,
    ) -> Result<Response, Refusal> {
        let found = match page::find(&request.method, &request.path) {
            Err(Refusal::NoMethod) => {
                let shown = page::refused(request, &Refusal::NoMethod);
                return Ok(shown.header(ALLOW, page::allowed(&request.path)));
            }
            found => found?,
        };
        if let Some(elsewhere) = self.asks_who(request, &found) {
            return elsewhere;
        }
        received(request, found.route.takes, fields)?;
        let demo = || self.make_demo();
        Ok(page::answer(&found, request, &self.host(request.demo, &demo)))
    }

    fn host<'p>(
        &'p self,
        of_demo: bool,
        demo: &'p dyn Fn() -> Result<(), Refusal>,
    ) -> host::Pocket<'p> {
        let record = self.demo.get().filter(|_| of_demo).unwrap_or(&self.record);
        host::Pocket { record, waiting: &self.waiting, watching: &self.watching, demo }
    }

    /// Takes a frame of the camera into the film that is watched, and says how far that is.
    ///
    /// # Errors
    /// [`Refusal`] if the record cannot be read, or what was seen cannot be kept.
    pub fn watched(&self, frame: &Frame<'_>) -> Result<String, Refusal> {
        let demo = || self.make_demo();
        page::watched(frame, &self.host(self.is_demo(), &demo))
    }

    /// Nothing is written in nobody's name: who writes is asked before the first form.
    fn asks_who(&self, request: &Request, found: &Found) -> Option<Result<Response, Refusal>> {
        let named = request.demo || request.moment.by.as_str() != page::NOBODY;
        let path = request.path.as_str();
        if named || found.route.open || WITHOUT_NAME.contains(&path) {
            return None;
        }
        if request.method == Method::POST {
            return Some(Err(Refusal::bad("say first who writes: at the foot of each page")));
        }
        let back =
            form_urlencoded::Serializer::new(String::new()).append_pair("back", path).finish();
        Some(Ok(page::redirect(&format!("/who?{back}"))))
    }

    fn is_demo(&self) -> bool {
        let wanted = self.drawer.note(DEMO).ok().flatten().is_some();
        wanted && self.make_demo().is_ok()
    }

    /// Makes the demonstration, once; it is kept nowhere.
    fn make_demo(&self) -> Result<(), Refusal> {
        if self.demo.get().is_some() {
            return Ok(());
        }
        let broken = |error: &dyn std::error::Error| Refusal::Broken(error.to_string());
        let memory = Path::new(":memory:");
        let keys = Drawer::open(memory).map_err(|e| broken(&e))?;
        let chance = Box::new(hosewright_demo::chance());
        let mut logbook = Logbook::open_kept(memory, chance, Box::new(keys))?;
        hosewright_demo::tell(&mut logbook, |_| Ok(())).map_err(|e| broken(&e))?;
        let _ = self.demo.set(RefCell::new(logbook));
        Ok(())
    }

    /// A response as the shell takes it; what is to be remembered is.
    fn sent(&self, response: Response) -> Reply {
        let kept = match &response.remember {
            Some(Remember::Name(by)) => self.drawer.keep_note(BY, Some(by.as_str())),
            Some(Remember::Demo(on)) => self.drawer.keep_note(DEMO, on.then_some("yes")),
            Some(Remember::Session(_)) | None => Ok(()),
        };
        let response = match kept {
            Ok(()) => response,
            Err(error) => {
                page::bare(&Refusal::Broken(format!("this cannot be remembered: {error}")))
            }
        };
        let headers = response.headers.iter().map(|(name, text)| (name.to_string(), text.clone()));
        let body = match response.body {
            Body::Bytes(bytes) => bytes,
            Body::Made(made) => made.0.downcast::<Vec<u8>>().map_or_else(|_| Vec::new(), |b| *b),
        };
        Reply { status: response.status.as_u16(), headers: headers.collect(), body }
    }
}

/// A tag's own address asks what a scan of it would.
fn tag_address(address: &str) -> Option<String> {
    let path = address.split_once('?').map_or(address, |(path, _)| path);
    let path = percent_decode_str(path).decode_utf8().ok()?;
    let begins = path.get(..TAG.len())?.eq_ignore_ascii_case(TAG);
    let text = path.strip_prefix('/').filter(|_| begins)?;
    let query = form_urlencoded::Serializer::new(String::new()).append_pair("text", text).finish();
    Some(format!("/scan?{query}"))
}

fn demo_day() -> Option<chrono::NaiveDate> {
    hosewright_demo::TODAY.parse().ok()
}

/// Takes what is sent with a request into it, as far as the row of the table takes it.
fn received(
    request: &mut Request,
    takes: Takes,
    fields: Vec<(String, Sent)>,
) -> Result<(), Refusal> {
    let mut typed = Vec::new();
    for (name, sent) in fields {
        match sent {
            Sent::Text(text) => typed.push((name, text)),
            Sent::File { bytes, .. } if bytes.is_empty() => {}
            Sent::File { name: file, bytes } if takes == Takes::File => {
                request.upload = Some(Arc::new(InMemory::new(file, bytes)));
            }
            Sent::File { bytes, .. } => {
                // So that a refused form says which photo has to be chosen again.
                typed.push((name.clone(), "chosen".to_owned()));
                request.pictures.push((name, bytes));
            }
        }
    }
    let form = Fields::of(typed);
    if takes != Takes::Nothing && takes != Takes::Frame && form.get("token") != request.person.token
    {
        return Err(Refusal::Foreign);
    }
    request.form = form;
    Ok(())
}

#[cfg(test)]
#[path = "pocket_tests.rs"]
mod tests;
