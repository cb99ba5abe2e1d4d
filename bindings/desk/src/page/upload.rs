//! What is sent with a request: a form, pictures in memory, and files of any size
//! on the disk. Nothing is taken but from the desk's own pages.

use std::error::Error;
use std::io::Write;
use std::sync::Arc;

use axum::body::{Body, Bytes, to_bytes};
use axum::extract::multipart::Field;
use axum::extract::{DefaultBodyLimit, FromRequest, Multipart, Request};
use axum::http::HeaderMap;
use axum::http::header::CONTENT_TYPE;
use hosewright_page::{Fields, Refusal, Takes};
use http_body_util::LengthLimitError;
use tempfile::NamedTempFile;
use tower_http::timeout::TimeoutError;

use super::files::SentFile;
use super::visit::Visit;

/// The most bytes of a kind, and in words.
pub type Most = (usize, &'static str);

const MOST_FORM: Most = (256 * 1024, "256 kB");
const MOST_PHOTO: Most = (16 * 1024 * 1024, "16 MB");
/// One photo of each place, as phones take them.
const MOST_PHOTOS: Most = (48 * 1024 * 1024, "48 MB");
/// More than a picture of 1280 by 720 has.
const MOST_FRAME: Most = (2 * 1024 * 1024, "2 MB");
/// A bundle of five million entries has fewer.
pub const MOST_FILE: Most = (256 * 1024 * 1024, "256 MB");
/// The most fields beside a file, the most bytes of each, and the most pictures.
const MOST_FIELDS: usize = 200;
const MOST_FIELD: usize = 1000;
const MOST_PICTURES: usize = 8;

/// Takes what is sent with a request into it.
pub async fn received(visit: &mut Visit, takes: Takes, request: Request) -> Result<(), Refusal> {
    match takes {
        Takes::Nothing => Ok(()),
        Takes::Form => form(visit, request).await,
        Takes::Photo => parts(visit, request, takes, MOST_PHOTO).await,
        Takes::Photos if says(request.headers(), "multipart/form-data") => {
            parts(visit, request, takes, MOST_PHOTOS).await
        }
        Takes::Photos => form(visit, request).await,
        Takes::File => parts(visit, request, takes, MOST_FILE).await,
        Takes::Frame => frame(visit, request).await,
    }
}

async fn form(visit: &mut Visit, request: Request) -> Result<(), Refusal> {
    if !says(request.headers(), "application/x-www-form-urlencoded") {
        return Err(Refusal::Foreign);
    }
    let fields = Fields::read(&whole(visit, request.into_body(), MOST_FORM).await?)?;
    check(visit, fields.get("token"))?;
    visit.request.form = fields;
    Ok(())
}

async fn frame(visit: &mut Visit, request: Request) -> Result<(), Refusal> {
    let token = request.headers().get("x-hosewright-token").and_then(|value| value.to_str().ok());
    check(visit, token.unwrap_or_default())?;
    let grey = whole(visit, request.into_body(), MOST_FRAME).await?;
    visit.request.pictures = vec![("frame".to_owned(), grey.into())];
    Ok(())
}

/// What a form in parts brought.
#[derive(Default)]
struct Received {
    fields: Vec<(String, String)>,
    pictures: Vec<(String, Vec<u8>)>,
    file: Option<NamedTempFile>,
}

async fn parts(
    visit: &mut Visit,
    mut request: Request,
    takes: Takes,
    most: Most,
) -> Result<(), Refusal> {
    DefaultBodyLimit::max(most.0).apply(&mut request);
    let parts = Multipart::from_request(request, &()).await.map_err(|_| Refusal::Foreign)?;
    let received = in_time(visit, each(visit, parts, takes, most)).await?;
    let fields = Fields::of(received.fields);
    check(visit, fields.get("token"))?;
    let sent = received.file.map(|file| Arc::new(SentFile(file)) as _);
    let request = &mut visit.request;
    (request.form, request.pictures, request.upload) = (fields, received.pictures, sent);
    Ok(())
}

async fn each(
    visit: &Visit,
    mut parts: Multipart,
    takes: Takes,
    most: Most,
) -> Result<Received, Refusal> {
    let _permit = visit.shared.permit(&visit.shared.files).await?;
    let mut received = Received::default();
    while let Some(part) = parts.next_field().await.map_err(|e| broken_off(&e, most))? {
        let name = part.name().unwrap_or_default().to_owned();
        match (takes, name.as_str()) {
            (Takes::File, "file") => {
                // Only what comes behind our token is kept.
                check(visit, Fields::of(received.fields.clone()).get("token"))?;
                received.file = Some(on_disk(part, most).await?);
                return Ok(received);
            }
            (Takes::Photo, "photo") => picture(&mut received, name, part, most).await?,
            (Takes::Photos, field) if is_photo(field) => {
                picture(&mut received, name, part, most).await?;
            }
            _ if received.fields.len() < MOST_FIELDS => {
                let text = small(part, most).await?;
                received.fields.push((name, text));
            }
            _ => return Err(not_ours()),
        }
    }
    Ok(received)
}

/// Whether a field is a photo of a place, of one hose or of one of several.
fn is_photo(field: &str) -> bool {
    field.rsplit('|').next().is_some_and(|of| of.starts_with("photo-"))
}

async fn picture(
    received: &mut Received,
    name: String,
    part: Field<'_>,
    most: Most,
) -> Result<(), Refusal> {
    let bytes = part.bytes().await.map_err(|e| broken_off(&e, most))?;
    // A field for a file that was not chosen comes empty.
    if bytes.is_empty() {
        return Ok(());
    }
    if received.pictures.len() >= MOST_PICTURES {
        return Err(not_ours());
    }
    // So that a refused form says which photo has to be chosen again.
    received.fields.push((name.clone(), "chosen".to_owned()));
    received.pictures.push((name, bytes.into()));
    Ok(())
}

async fn small(mut part: Field<'_>, most: Most) -> Result<String, Refusal> {
    let mut bytes = Vec::new();
    while let Some(piece) = part.chunk().await.map_err(|e| broken_off(&e, most))? {
        bytes.extend_from_slice(&piece);
        if bytes.len() > MOST_FIELD {
            return Err(not_ours());
        }
    }
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

async fn on_disk(mut part: Field<'_>, most: Most) -> Result<NamedTempFile, Refusal> {
    let mut file = NamedTempFile::new()?;
    while let Some(piece) = part.chunk().await.map_err(|e| broken_off(&e, most))? {
        // A piece is a few kilobytes, and the system keeps it before the disk does.
        file.write_all(&piece)?;
    }
    file.flush()?;
    Ok(file)
}

fn not_ours() -> Refusal {
    Refusal::bad("the form is not one of this page")
}

/// A form is ours where its token is.
fn check(visit: &Visit, token: &str) -> Result<(), Refusal> {
    if visit.shared.is_token(&visit.session, token) { Ok(()) } else { Err(Refusal::Foreign) }
}

async fn whole(visit: &Visit, body: Body, most: Most) -> Result<Bytes, Refusal> {
    in_time(visit, async { to_bytes(body, most.0).await.map_err(|e| broken_off(&e, most)) }).await
}

/// What is sent comes within the time that a sender is given. Only the sending is
/// timed: what has begun to write is never left off half way.
async fn in_time<T>(
    visit: &Visit,
    sending: impl Future<Output = Result<T, Refusal>>,
) -> Result<T, Refusal> {
    let sent = tokio::time::timeout(visit.shared.patience.whole(), sending).await;
    sent.unwrap_or(Err(Refusal::Slow))
}

/// Why a body did not come whole.
fn broken_off(error: &(dyn Error + 'static), most: Most) -> Refusal {
    let mut cause = Some(error);
    while let Some(this) = cause {
        if this.is::<LengthLimitError>() {
            return Refusal::TooLarge(most.1);
        }
        if this.is::<TimeoutError>() {
            return Refusal::Slow;
        }
        cause = this.source();
    }
    Refusal::bad("what was sent broke off on the way; send it again")
}

/// Whether a request says that its body is of a kind.
fn says(headers: &HeaderMap, kind: &str) -> bool {
    let said = headers.get(CONTENT_TYPE).and_then(|value| value.to_str().ok());
    said.is_some_and(|said| said.split(';').next().is_some_and(|s| s.trim() == kind))
}
