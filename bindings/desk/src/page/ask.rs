//! A request with what its screen needs, and a posted form that is ours.

use std::error::Error;
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::sync::{Arc, OnceLock};

use axum::body::{Body, Bytes, to_bytes};
use axum::extract::{ConnectInfo, FromRequest, FromRequestParts, Multipart, Request};
use axum::http::header::{CONTENT_TYPE, COOKIE};
use axum::http::request::Parts;
use axum::http::{HeaderMap, Method};
use chrono::NaiveDate;
use hosewright_core::Logbook;
use hosewright_core::hose::Label;
use hosewright_core::journal::Moment;
use http_body_util::LengthLimitError;
use tokio::sync::{Semaphore, SemaphorePermit};
use tower_http::timeout::TimeoutError;

use super::fields::Fields;
use super::lan::same;
use super::records::Record;
use super::refusal::Refusal;
use super::second_step;
use super::shared::House;
use crate::demo;
use crate::moment::moment;

/// The cookie that names a session.
pub const SESSION: &str = "hosewright_session";
/// The cookie that says who writes.
pub const BY: &str = "hosewright_by";
/// The cookie of a browser that looks at the demonstration.
pub const DEMO: &str = "hosewright_demo";

/// The most bytes of a form.
const MOST_FORM: usize = 256 * 1024;
/// The most bytes of a photo.
pub const MOST_PHOTO: usize = 16 * 1024 * 1024;
/// The most bytes of a frame: more than a picture of 1280 by 720 has.
const MOST_FRAME: usize = 2 * 1024 * 1024;

/// A request with what its screen needs.
#[derive(Clone)]
pub struct Ask {
    /// What all requests share.
    pub house: House,
    /// The record that it is about.
    record: Arc<Record>,
    /// Whether that is the demonstration.
    pub demo: bool,
    /// Now, and who asks.
    pub moment: Moment,
    /// What stands behind the `?`.
    pub query: Fields,
    /// The token that a form on the page carries.
    pub token: String,
    /// The key of the session; empty where there is none.
    pub session: String,
    /// From where it came.
    pub from: IpAddr,
    /// The path that was asked for.
    pub path: String,
    /// Whether a form was sent.
    pub sent: bool,
    /// What was typed into a form of ours, for showing it again.
    typed: Arc<OnceLock<Fields>>,
}

impl Ask {
    /// What a request brings with it.
    pub fn of(house: &House, parts: &Parts) -> Result<Self, Refusal> {
        let cookies = cookies(parts);
        let session = cookies.get(SESSION).to_owned();
        let shown = house.demo().filter(|_| cookies.given(DEMO).is_some());
        let demo = shown.is_some();
        let by = cookies.label(BY, "a name").ok().flatten().unwrap_or_else(|| house.by.clone());
        let query = Fields::read(parts.uri.query().unwrap_or_default().as_bytes())?;
        let peer = parts.extensions.get::<ConnectInfo<SocketAddr>>();
        Ok(Self {
            record: shown.unwrap_or_else(|| house.record.clone()),
            demo,
            moment: now(house.pretended, demo, by),
            query,
            token: house.token(&session),
            session,
            from: peer.map_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED), |peer| peer.0.ip()),
            path: parts.uri.path().to_owned(),
            sent: parts.method == Method::POST,
            typed: Arc::default(),
            house: house.clone(),
        })
    }

    /// The record that it is about.
    pub const fn record(&self) -> &Arc<Record> {
        &self.record
    }

    /// Asks the record, apart from the threads that serve.
    pub async fn read<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Logbook, &Moment) -> Result<T, Refusal> + Send + 'static,
    ) -> Result<T, Refusal> {
        let (record, moment) = (self.record.clone(), self.moment.clone());
        self.apart(move || record.read(|logbook| work(logbook, &moment))).await
    }

    /// Asks the record something that goes through every hose and is not kept.
    pub async fn long<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Logbook, &Moment) -> Result<T, Refusal> + Send + 'static,
    ) -> Result<T, Refusal> {
        let _turn = self.turn(&self.house.fleet).await?;
        self.read(work).await
    }

    /// Writes in the record, one request after the other. What looks like a slip
    /// is refused with its questions, until the second step has said yes to them.
    pub async fn write<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Logbook, &Moment) -> Result<T, Refusal> + Send + 'static,
    ) -> Result<T, Refusal> {
        let (record, moment) = (self.record.clone(), self.moment.clone());
        let sure = self.typed().is_some_and(|typed| typed.ticked(second_step::SURE));
        let asked = move |logbook: &mut Logbook| {
            logbook.set_sure(sure);
            let done = work(logbook, &moment);
            logbook.set_sure(false);
            done
        };
        self.apart(move || record.write(asked)).await
    }

    /// Does something slow without holding up who serves.
    pub async fn apart<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> Result<T, Refusal> + Send + 'static,
    ) -> Result<T, Refusal> {
        let _turn = self.turn(&self.house.work).await?;
        let done = tokio::task::spawn_blocking(work).await;
        done.map_err(|_| Refusal::Broken("this page failed; please report it".to_owned()))?
    }

    /// Waits for its turn at what is not done for all at once.
    pub async fn turn<'s>(&self, at: &'s Semaphore) -> Result<SemaphorePermit<'s>, Refusal> {
        at.acquire().await.map_err(|_| Refusal::closing())
    }

    /// What was typed, where this was a form of ours.
    pub fn typed(&self) -> Option<&Fields> {
        self.typed.get()
    }

    /// What is asked for the form at a path, to show it again: what was typed
    /// says which.
    pub fn again(&self, path: String, typed: &Fields) -> Self {
        let (query, typed) = (typed.clone(), Arc::default());
        Self { path, query, typed, sent: false, ..self.clone() }
    }

    /// A form is ours where its token is.
    pub fn checked(&self, fields: &Fields) -> Result<(), Refusal> {
        check(self, fields.get("token"))?;
        let _ = self.typed.set(fields.clone());
        Ok(())
    }

    /// What the owner's key does is done at the desk's own computer: the way from
    /// other devices is not encrypted, and who knows the pass phrase is not the owner.
    pub fn at_the_desk(&self) -> Result<(), Refusal> {
        if self.from.is_loopback() { Ok(()) } else { Err(Refusal::AtTheDesk) }
    }

    /// The same in somebody else's name.
    #[must_use]
    pub fn by(mut self, by: Label) -> Self {
        self.moment.by = by;
        self
    }
}

/// The demonstration plays on its own day.
fn now(pretended: Option<NaiveDate>, demo: bool, by: Label) -> Moment {
    let day = if demo { demo::TODAY.parse().ok() } else { pretended };
    moment(day, by)
}

fn cookies(parts: &Parts) -> Fields {
    let sent = parts.headers.get_all(COOKIE).iter().filter_map(|value| value.to_str().ok());
    let pairs = sent.flat_map(|line| line.split(';')).filter_map(|pair| {
        let (name, text) = pair.trim().split_once('=')?;
        // The value is escaped as in a path, which is read as in a form.
        let read = form_urlencoded::parse(text.as_bytes()).next();
        Some((name.to_owned(), read.map(|(text, _)| text.into_owned()).unwrap_or_default()))
    });
    Fields::of(pairs.take(50).collect())
}

impl<S: Send + Sync> FromRequestParts<S> for Ask {
    type Rejection = Refusal;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Refusal> {
        let ask = parts.extensions.get::<Self>().cloned();
        ask.ok_or_else(|| Refusal::Broken("a request came past the guard".to_owned()))
    }
}

/// A form that was posted from a page of ours.
pub struct Posted {
    /// The request.
    pub ask: Ask,
    /// What was typed.
    pub fields: Fields,
}

impl<S: Send + Sync> FromRequest<S> for Posted {
    type Rejection = Refusal;

    async fn from_request(request: Request, state: &S) -> Result<Self, Refusal> {
        let (mut parts, body) = request.into_parts();
        let ask = Ask::from_request_parts(&mut parts, state).await?;
        if !says(&parts.headers, "application/x-www-form-urlencoded") {
            return Err(Refusal::Foreign);
        }
        let fields = Fields::read(&taken(&ask, body, MOST_FORM, "256 kB").await?)?;
        ask.checked(&fields)?;
        Ok(Self { ask, fields })
    }
}

/// A photo that was posted from a page of ours, and the fields beside it.
pub struct Photo {
    /// The request.
    pub ask: Ask,
    /// What stands beside it.
    pub fields: Fields,
    /// The file.
    pub file: Bytes,
}

impl<S: Send + Sync> FromRequest<S> for Photo {
    type Rejection = Refusal;

    async fn from_request(mut request: Request, state: &S) -> Result<Self, Refusal> {
        let ask = request.extensions().get::<Ask>().cloned();
        let ask = ask.ok_or_else(|| Refusal::Broken("a request came past the guard".to_owned()))?;
        axum::extract::DefaultBodyLimit::max(MOST_PHOTO).apply(&mut request);
        let parts = Multipart::from_request(request, state).await;
        let parts = parts.map_err(|_| Refusal::Foreign)?;
        let (fields, file) = in_time(&ask, photo(&ask, parts)).await?;
        ask.checked(&fields)?;
        Ok(Self { ask, fields, file })
    }
}

async fn photo(ask: &Ask, mut parts: Multipart) -> Result<(Fields, Bytes), Refusal> {
    let _room = ask.turn(&ask.house.files).await?;
    let (mut pairs, mut file) = (Vec::new(), Bytes::new());
    while let Some(part) = parts.next_field().await.map_err(|e| broken_off(&e, "16 MB"))? {
        let name = part.name().unwrap_or_default().to_owned();
        let bytes = part.bytes().await.map_err(|e| broken_off(&e, "16 MB"))?;
        if name == "photo" {
            file = bytes;
        } else if pairs.len() < 200 && bytes.len() <= 1000 {
            pairs.push((name, String::from_utf8_lossy(&bytes).into_owned()));
        } else {
            return Err(Refusal::bad("the form is not one of this page"));
        }
    }
    Ok((Fields::of(pairs), file))
}

/// A frame of the camera, as a script of ours posts it.
pub struct Film {
    /// The request.
    pub ask: Ask,
    /// A grey value a pixel.
    pub grey: Bytes,
}

impl<S: Send + Sync> FromRequest<S> for Film {
    type Rejection = Refusal;

    async fn from_request(request: Request, state: &S) -> Result<Self, Refusal> {
        let (mut parts, body) = request.into_parts();
        let ask = Ask::from_request_parts(&mut parts, state).await?;
        let token = parts.headers.get("x-hosewright-token").and_then(|value| value.to_str().ok());
        check(&ask, token.unwrap_or_default())?;
        let grey = taken(&ask, body, MOST_FRAME, "2 MB").await?;
        Ok(Self { ask, grey })
    }
}

fn check(ask: &Ask, token: &str) -> Result<(), Refusal> {
    if same(token.as_bytes(), ask.token.as_bytes()) { Ok(()) } else { Err(Refusal::Foreign) }
}

async fn taken(
    ask: &Ask,
    body: Body,
    most: usize,
    in_words: &'static str,
) -> Result<Bytes, Refusal> {
    let all = async { to_bytes(body, most).await.map_err(|e| broken_off(&e, in_words)) };
    in_time(ask, all).await
}

/// What is sent comes within the time that a sender is given. Only the sending is
/// timed: what has begun to write is never left off half way.
pub async fn in_time<T>(
    ask: &Ask,
    sending: impl Future<Output = Result<T, Refusal>>,
) -> Result<T, Refusal> {
    let sent = tokio::time::timeout(ask.house.patience.whole(), sending).await;
    sent.unwrap_or(Err(Refusal::Slow))
}

/// Why a body did not come whole.
pub fn broken_off(error: &(dyn Error + 'static), most: &'static str) -> Refusal {
    let mut cause = Some(error);
    while let Some(this) = cause {
        if this.is::<LengthLimitError>() {
            return Refusal::TooLarge(most);
        }
        if this.is::<TimeoutError>() {
            return Refusal::Slow;
        }
        cause = this.source();
    }
    Refusal::bad("what was sent broke off on the way; send it again")
}

/// Whether a request says that its body is of a kind.
pub(super) fn says(headers: &HeaderMap, kind: &str) -> bool {
    let said = headers.get(CONTENT_TYPE).and_then(|value| value.to_str().ok());
    said.is_some_and(|said| said.split(';').next().is_some_and(|s| s.trim() == kind))
}
