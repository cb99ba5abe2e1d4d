//! From a request of the network to a response: who asks, what is sent with it,
//! and the page's answer.

use std::fs::File;
use std::sync::Arc;

use axum::Router;
use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::header::{ALLOW, CONTENT_LENGTH, SET_COOKIE};
use axum::http::{HeaderValue, Method};
use axum::response::{IntoResponse, Response};
use hosewright_page::{self as page, Cost, Found, Refusal};
use tokio_util::io::ReaderStream;

use super::host::Desk;
use super::shared::Shared;
use super::visit::Visit;
use super::{cookies, guard, meeting, upload};

/// Everything that is served on this computer.
pub fn router(shared: Arc<Shared>) -> Router {
    Router::new().fallback(served).with_state(shared)
}

/// Everything that is served to the shop's network: the page, and devices that meet it.
pub fn for_network(shared: Arc<Shared>) -> Router {
    meeting::routes(shared.clone()).merge(router(shared))
}

async fn served(State(shared): State<Arc<Shared>>, request: Request) -> Response {
    guard::secured(sent(answered(&shared, request).await))
}

async fn answered(shared: &Arc<Shared>, request: Request) -> page::Response {
    let (parts, body) = request.into_parts();
    let visit = guard::admitted(shared, &parts).and_then(|()| Visit::of(shared, &parts));
    let mut visit = match visit {
        Ok(visit) => visit,
        Err(refusal) => return page::bare(&refusal),
    };
    if let Err(refusal) = guard::signed_in(&visit) {
        return match parts.method {
            Method::GET => page::redirect("/login"),
            _ => page::bare(&refusal),
        };
    }
    let found = match page::find(&parts.method, &visit.request.path) {
        Ok(found) => found,
        Err(refusal) => {
            let shown = refused(&visit, &refusal);
            return match refusal {
                Refusal::NoMethod => shown.header(ALLOW, page::allowed(&visit.request.path)),
                _ => shown,
            };
        }
    };
    let request = Request::from_parts(parts, body);
    if let Err(refusal) = upload::received(&mut visit, found.route.takes, request).await {
        return refused(&visit, &refusal);
    }
    let visit = Arc::new(visit);
    let answer = of_page(&visit, found).await;
    answer.unwrap_or_else(|refusal| refused(&visit, &refusal))
}

/// A refusal; without a session, with nothing of the page around it.
fn refused(visit: &Visit, refusal: &Refusal) -> page::Response {
    match guard::has_session(visit) {
        true => page::refused(&visit.request, refusal),
        false => page::bare(refusal),
    }
}

/// The page's answer.
async fn of_page(visit: &Arc<Visit>, found: Found) -> Result<page::Response, Refusal> {
    let shared = &visit.shared;
    let _permit = match found.route.cost(&visit.request) {
        Cost::Usual => None,
        Cost::Pictures => Some(shared.permit(&shared.pictures).await?),
        Cost::Stock => Some(shared.permit(&shared.stock).await?),
    };
    let visit = visit.clone();
    shared.blocking(move || Ok(page::answer(&found, &visit.request, &Desk::new(&visit)))).await
}

/// The page's response as one of the network.
fn sent(response: page::Response) -> Response {
    let page::Response { status, headers, body, remember } = response;
    let (length, body) = match body {
        page::Body::Bytes(bytes) => (None, Body::from(bytes)),
        page::Body::Made(made) => match made.0.downcast::<File>() {
            Ok(file) => {
                let length = file.metadata().ok().map(|about| about.len());
                let pieces = ReaderStream::new(tokio::fs::File::from_std(*file));
                (length, Body::from_stream(pieces))
            }
            Err(_) => (None, Body::empty()),
        },
    };
    let mut response = (status, body).into_response();
    let ours = response.headers_mut();
    for (name, text) in headers {
        if let Ok(value) = HeaderValue::from_str(&text) {
            ours.insert(name, value);
        }
    }
    if let Some(length) = length {
        ours.insert(CONTENT_LENGTH, length.into());
    }
    let cookie = remember.and_then(|what| HeaderValue::from_str(&cookies::line(&what)).ok());
    if let Some(cookie) = cookie {
        ours.append(SET_COOKIE, cookie);
    }
    response
}
