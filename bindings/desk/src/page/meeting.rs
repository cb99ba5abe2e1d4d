//! Devices meet this counter: what each of the four questions brings and gets. What is asked and
//! answered is decided in the core; nothing is answered but on an encrypted connection.

use std::fs::File;
use std::io::{BufWriter, Write};
use std::net::SocketAddr;
use std::sync::Arc;

use axum::body::{Body, to_bytes};
use axum::extract::{ConnectInfo, Request, State};
use axum::http::StatusCode;
use axum::http::header::{AUTHORIZATION, CONTENT_LENGTH, HeaderMap};
use axum::response::{IntoResponse, Response};
use axum::routing::post;
use axum::{Json, Router};
use data_encoding::HEXLOWER;
use hosewright_calling::paths::{AUTHORIZED, CALL, GIVE, GREET, TAKE};
use hosewright_core::device::{Caller, CertificateDigest, Challenge, Secret};
use hosewright_core::hose::Label;
use hosewright_core::journal::{Moment, TakenThere};
use hosewright_core::{CounterError, LogbookError};
use hosewright_page::Refusal;
use http_body_util::BodyExt;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use tempfile::NamedTempFile;
use tokio_util::io::ReaderStream;

use super::callers::{Called, Right};
use super::connections::Shows;
use super::door::Door;
use super::files::SentFile;
use super::shared::Shared;
use super::upload::MOST_FILE;
use crate::failure::Failure;
use crate::{moment, store};

/// The most bytes of a question, and of what says what a device has.
const MOST_QUESTION: usize = 16 * 1024;
const MOST_HOLDINGS: usize = 1024 * 1024;

/// The four questions.
pub fn routes(shared: Arc<Shared>) -> Router {
    Router::new()
        .route(GREET, post(greet))
        .route(CALL, post(call))
        .route(GIVE, post(give))
        .route(TAKE, post(take))
        .with_state(shared)
}

/// Why a device is refused, in words for the people beside it.
struct Refused(StatusCode, String);

impl IntoResponse for Refused {
    fn into_response(self) -> Response {
        (self.0, self.1).into_response()
    }
}

impl From<LogbookError> for Refused {
    fn from(error: LogbookError) -> Self {
        let status = match &error {
            LogbookError::Counter(CounterError::TooMany) => StatusCode::TOO_MANY_REQUESTS,
            LogbookError::Counter(_) => StatusCode::FORBIDDEN,
            LogbookError::Bundle { .. } => StatusCode::BAD_REQUEST,
            _ => StatusCode::INTERNAL_SERVER_ERROR,
        };
        Self(status, error.to_string())
    }
}

impl From<CounterError> for Refused {
    fn from(error: CounterError) -> Self {
        LogbookError::from(error).into()
    }
}

impl From<Failure> for Refused {
    fn from(failure: Failure) -> Self {
        Self(StatusCode::INTERNAL_SERVER_ERROR, failure.to_string())
    }
}

impl From<Refusal> for Refused {
    fn from(refusal: Refusal) -> Self {
        Self(refusal.status(), refusal.to_string())
    }
}

fn unreadable() -> Refused {
    Refused(StatusCode::BAD_REQUEST, "that can't be read; update the program".to_owned())
}

/// The open door, and the certificate of the connection.
fn at_the_door(
    shared: &Shared,
    request: &Request,
) -> Result<(Arc<Door>, CertificateDigest), Refused> {
    let shown = request.extensions().get::<Shows>().copied();
    let door = shared.door().zip(shown);
    let (door, Shows(digest)) = door.ok_or_else(|| Refused::from(Refusal::NoPage))?;
    Ok((door, digest))
}

async fn whole(shared: &Shared, body: Body, most: usize) -> Result<Vec<u8>, Refused> {
    let body = tokio::time::timeout(shared.patience.whole(), to_bytes(body, most)).await;
    let body = body.map_err(|_| Refused::from(Refusal::Slow))?.map_err(|_| unreadable())?;
    Ok(body.into())
}

async fn question<T: DeserializeOwned>(shared: &Shared, body: Body) -> Result<T, Refused> {
    serde_json::from_slice(&whole(shared, body, MOST_QUESTION).await?).map_err(|_| unreadable())
}

/// Now; what a device does here is done in its own name, and what is written about it in the
/// desk's.
fn now(shared: &Shared) -> Moment {
    let by: Label = shared.by.clone();
    moment::moment(shared.pretended, by)
}

/// Works with the record without holding up who serves.
async fn working<T: Send + 'static>(
    shared: &Arc<Shared>,
    work: impl FnOnce(&Shared) -> Result<T, Refused> + Send + 'static,
) -> Result<T, Refused> {
    let _permit = shared.permit(&shared.work).await?;
    let shared = shared.clone();
    let done = tokio::task::spawn_blocking(move || work(&shared)).await;
    done.map_err(|_| Refused::from(Refusal::failed()))?
}

#[derive(Deserialize)]
struct Greet {
    drawn: Challenge,
}

async fn greet(
    State(shared): State<Arc<Shared>>,
    request: Request,
) -> Result<impl IntoResponse, Refused> {
    let (door, certificate) = at_the_door(&shared, &request)?;
    let Greet { drawn } = question(&shared, request.into_body()).await?;
    let greeting = working(&shared, move |shared| {
        let greeting = shared.record.write(|logbook| logbook.greet(&drawn, &certificate));
        Ok(greeting.map_err(LogbookError::from)?)
    });
    let greeting = greeting.await?;
    door.callers.challenge(greeting.challenge, moment::since_start());
    Ok(Json(greeting))
}

#[derive(Deserialize)]
struct Call {
    caller: Caller,
    secret: Option<String>,
}

async fn call(
    State(shared): State<Arc<Shared>>,
    ConnectInfo(from): ConnectInfo<SocketAddr>,
    request: Request,
) -> Result<impl IntoResponse, Refused> {
    let (door, certificate) = at_the_door(&shared, &request)?;
    let Call { caller, secret } = question(&shared, request.into_body()).await?;
    working(&shared, move |shared| {
        let since = moment::since_start();
        let (device, fleet) = (caller.device, caller.fleet);
        shared.record.read(|logbook| -> Result<(), Refused> {
            let is_it =
                |given: &Challenge| logbook.proven_caller(&caller, given, &certificate).is_ok();
            match door.callers.answered(since, is_it) {
                true => Ok(()),
                false => Err(CounterError::NotTheDevice.into()),
            }
        })?;
        match secret {
            None => shared
                .record
                .read(|logbook| -> Result<(), Refused> { Ok(logbook.may_meet(&device, fleet)?) })?,
            Some(secret) => {
                if !door.lan.may_try(from.ip(), since) {
                    return Err(CounterError::TooMany.into());
                }
                let secret: Secret = secret.parse().map_err(|_| CounterError::Secret)?;
                shared.record.write(|logbook| -> Result<(), Refused> {
                    let right = door.callers.comes_as(&secret, since);
                    let right = right.ok_or(CounterError::Secret)?;
                    let Right { role, name, owner_pass } = right;
                    if let Some(pass) = &owner_pass {
                        logbook.offer_owner_pass(pass);
                    }
                    let let_in = logbook.let_in(&caller, (role, name), &now(shared));
                    logbook.forget_owner_pass();
                    let_in?;
                    door.callers.came(device);
                    Ok(())
                })?;
            }
        }
        let word = HEXLOWER.encode(&store::random::<32>()?);
        door.callers.begin(&word, Called { device, fleet }, since);
        Ok(Json(word))
    })
    .await
}

/// Who meets, and still may: it can have been dismissed since.
fn meets(shared: &Shared, door: &Door, headers: &HeaderMap) -> Result<Called, Refused> {
    let word = headers.get(AUTHORIZATION).and_then(|value| value.to_str().ok());
    let word = word.and_then(|word| word.strip_prefix(AUTHORIZED)).unwrap_or_default();
    let called = door.callers.of(word, moment::since_start());
    let called = called
        .ok_or_else(|| Refused(StatusCode::UNAUTHORIZED, "say first who calls".to_owned()))?;
    shared.record.read(|logbook| -> Result<(), Refused> {
        Ok(logbook.may_meet(&called.device, called.fleet)?)
    })?;
    Ok(called)
}

async fn give(
    State(shared): State<Arc<Shared>>,
    request: Request,
) -> Result<impl IntoResponse, Refused> {
    let (door, _) = at_the_door(&shared, &request)?;
    let (parts, body) = request.into_parts();
    meets(&shared, &door, &parts.headers)?;
    let holds = whole(&shared, body, MOST_HOLDINGS).await?;
    let file = working(&shared, move |shared| {
        let today = now(shared).today;
        let mut file = tempfile::tempfile().map_err(Failure::from)?;
        shared.record.read(|logbook| -> Result<(), Refused> {
            let mut out = BufWriter::new(&mut file);
            logbook.give_to(&holds, &mut out, today)?;
            Ok(out.flush().map_err(Failure::from)?)
        })?;
        std::io::Seek::rewind(&mut file).map_err(Failure::from)?;
        Ok(file)
    });
    let file: File = file.await?;
    let length = file.metadata().map_err(Failure::from)?.len();
    let pieces = Body::from_stream(ReaderStream::new(tokio::fs::File::from_std(file)));
    Ok(([(CONTENT_LENGTH, length)], pieces))
}

/// What comes is taken in as far as it comes: the next meeting goes on from there.
async fn take(
    State(shared): State<Arc<Shared>>,
    request: Request,
) -> Result<Json<TakenThere>, Refused> {
    let (door, _) = at_the_door(&shared, &request)?;
    let (parts, mut body) = request.into_parts();
    let called = meets(&shared, &door, &parts.headers)?;
    let file = {
        let _permit = shared.permit(&shared.files).await?;
        let receiving = async {
            let mut file = NamedTempFile::new()?;
            let (mut came, mut whole) = (0, true);
            while let Some(piece) = body.frame().await {
                let Ok(piece) = piece else {
                    whole = false;
                    break;
                };
                let Ok(piece) = piece.into_data() else { continue };
                came += piece.len();
                if came > MOST_FILE.0 {
                    return Err(Refused::from(Refusal::TooLarge(MOST_FILE.1)));
                }
                file.write_all(&piece)?;
            }
            Ok((file, whole))
        };
        let received = tokio::time::timeout(shared.patience.whole(), receiving).await;
        received.map_err(|_| Refused::from(Refusal::Slow))??
    };
    let (file, whole) = file;
    working(&shared, move |shared| {
        let today = now(shared).today;
        let file = SentFile(file);
        let taken =
            shared.record.write(|logbook| logbook.take_from(&called.device, &file, today))?;
        // Whoever sent only the beginning is not there any more.
        if whole { Ok(Json(taken)) } else { Err(Refusal::Slow.into()) }
    })
    .await
}

impl From<std::io::Error> for Refused {
    fn from(error: std::io::Error) -> Self {
        Failure::from(error).into()
    }
}
