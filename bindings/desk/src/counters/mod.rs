//! Calls a counter in the shop's network: HTTP over an encrypted connection. What is said is
//! decided in the core.
//!
//! ```text
//! tls   an encrypted connection, and the certificate that it shows
//! ```

mod tls;

use std::io::Write;
use std::path::Path;
use std::time::Duration;

use axum::body::{Body, Bytes};
use hosewright_core::device::{
    Caller, CertificateDigest, Challenge, CounterAddress, Greeting, Invitation, Secret,
};
use hosewright_core::file::Source;
use hosewright_core::journal::{CounterMeeting, Moment, TakenThere};
use hosewright_core::{Counter, CounterError, Given, Logbook, LogbookError};
use http_body_util::BodyExt;
use hyper::client::conn::http1::{self, SendRequest};
use hyper::header::{AUTHORIZATION, CONTENT_LENGTH, HOST};
use hyper::{Request, Response, StatusCode};
use hyper_util::rt::TokioIo;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::json;
use tempfile::NamedTempFile;
use tokio::runtime::Runtime;
use tokio::time::timeout;
use tokio_util::io::ReaderStream;

use crate::meeting::{AUTHORIZED, CALL, GIVE, GREET, MOST_WORDS, TAKE};

/// How long it may take to be connected, and how long an answer may be still: a counter that
/// takes in a year's entries works for minutes.
const CONNECTING: Duration = Duration::from_secs(10);
const STILL: Duration = Duration::from_secs(600);

/// Tells how many bytes came, of how many.
pub type Progress<'p> = &'p mut dyn FnMut(u64, Option<u64>);

/// An open connection to a counter.
struct Line<'p> {
    address: CounterAddress,
    certificate: CertificateDigest,
    runtime: Runtime,
    sender: SendRequest<Body>,
    /// What the counter gave out for this meeting.
    session: Option<String>,
    progress: Progress<'p>,
}

/// Meets the first of some addresses that answers.
///
/// # Errors
/// [`LogbookError::Counter`] if none does, or they don't meet.
pub fn meet(
    logbook: &mut Logbook,
    addresses: &[CounterAddress],
    invited: Option<&Invitation>,
    moment: &Moment,
    progress: Progress<'_>,
) -> Result<CounterMeeting, LogbookError> {
    let mut reached = Err(CounterError::Unreachable("no address is known of it".to_owned()));
    for address in addresses {
        reached = opened(address);
        if reached.is_ok() {
            break;
        }
    }
    let (runtime, certificate, sender, address) = reached?;
    let session = None;
    let mut line = Line { address, certificate, runtime, sender, session, progress };
    logbook.meet_counter(&mut line, invited, moment, |_, _| ())
}

type Open = (Runtime, CertificateDigest, SendRequest<Body>, CounterAddress);

fn opened(address: &CounterAddress) -> Result<Open, CounterError> {
    let failed = |why: String| CounterError::Unreachable(why);
    let mut runtime = tokio::runtime::Builder::new_multi_thread();
    let runtime = runtime.worker_threads(1).enable_all().build();
    let runtime = runtime.map_err(|e| failed(e.to_string()))?;
    let (sender, certificate) = runtime.block_on(async {
        let connecting = timeout(CONNECTING, tls::connected(address)).await;
        let late = |_| failed(format!("{address} does not answer"));
        let (stream, certificate) = connecting.map_err(late)??;
        let (sender, connection) =
            http1::handshake(TokioIo::new(stream)).await.map_err(|e| failed(e.to_string()))?;
        tokio::spawn(connection);
        Ok::<_, CounterError>((sender, certificate))
    })?;
    Ok((runtime, certificate, sender, address.clone()))
}

fn broken(why: impl ToString) -> CounterError {
    CounterError::BrokeOff(why.to_string())
}

impl Line<'_> {
    /// Sends something, and returns an answer that is not a refusal.
    fn ask(
        &mut self,
        path: &str,
        length: u64,
        body: Body,
    ) -> Result<Response<hyper::body::Incoming>, CounterError> {
        let mut request = Request::post(path)
            .header(HOST, self.address.to_string())
            .header(CONTENT_LENGTH, length);
        if let Some(session) = &self.session {
            request = request.header(AUTHORIZATION, format!("{AUTHORIZED}{session}"));
        }
        let request = request.body(body).map_err(broken)?;
        let sender = &mut self.sender;
        self.runtime.block_on(async {
            let answer = async {
                sender.ready().await?;
                sender.send_request(request).await
            };
            let answer = timeout(STILL, answer).await.map_err(broken)?.map_err(broken)?;
            if answer.status() == StatusCode::OK {
                return Ok(answer);
            }
            let status = answer.status();
            let words = http_body_util::Limited::new(answer.into_body(), MOST_WORDS).collect();
            let words = timeout(STILL, words).await.map_err(broken)?.map_err(broken)?.to_bytes();
            let words = String::from_utf8_lossy(&words).into_owned();
            Err(CounterError::Refused(if words.is_empty() { status.to_string() } else { words }))
        })
    }

    /// Asks with JSON, and reads JSON.
    fn ask_json<T: DeserializeOwned>(
        &mut self,
        path: &str,
        question: &impl Serialize,
    ) -> Result<T, CounterError> {
        let body = serde_json::to_vec(question).map_err(broken)?;
        let length = u64::try_from(body.len()).unwrap_or(u64::MAX);
        let answer = self.ask(path, length, Body::from(body))?;
        self.json(answer)
    }

    fn json<T: DeserializeOwned>(
        &self,
        answer: Response<hyper::body::Incoming>,
    ) -> Result<T, CounterError> {
        let body = http_body_util::Limited::new(answer.into_body(), MOST_JSON).collect();
        let body = self.runtime.block_on(async { timeout(STILL, body).await });
        let body = body.map_err(broken)?.map_err(broken)?.to_bytes();
        serde_json::from_slice(&body).map_err(broken)
    }

    /// Reads a body into a file: all of it, or its beginning and why it ends there.
    fn kept(
        &mut self,
        answer: Response<hyper::body::Incoming>,
    ) -> Result<(NamedTempFile, Option<String>), CounterError> {
        let length = answer.headers().get(CONTENT_LENGTH);
        let length = length.and_then(|length| length.to_str().ok()?.parse().ok());
        let mut file = NamedTempFile::new().map_err(broken)?;
        let (mut body, mut came) = (answer.into_body(), 0);
        loop {
            let piece = self.runtime.block_on(async { timeout(STILL, body.frame()).await });
            let piece = match piece {
                Ok(None) => return Ok((file, None)),
                Ok(Some(Ok(piece))) => piece.into_data().unwrap_or_else(|_| Bytes::new()),
                Ok(Some(Err(why))) => return Ok((file, Some(why.to_string()))),
                Err(why) => return Ok((file, Some(why.to_string()))),
            };
            file.write_all(&piece).map_err(broken)?;
            came += u64::try_from(piece.len()).unwrap_or(0);
            (self.progress)(came, length);
        }
    }
}

/// The most bytes of an answer in JSON: what a thousand devices wrote.
const MOST_JSON: usize = 256 * 1024;

/// A bundle that came, in a file that goes with it.
struct Came(NamedTempFile);

impl Source for Came {
    fn name(&self) -> std::path::PathBuf {
        "what the counter sent".into()
    }

    fn open(&self) -> std::io::Result<Box<dyn hosewright_core::file::Reader>> {
        self.0.path().open()
    }

    fn length(&self) -> std::io::Result<u64> {
        self.0.path().length()
    }
}

impl Counter for Line<'_> {
    fn address(&self) -> &CounterAddress {
        &self.address
    }

    fn certificate(&self) -> CertificateDigest {
        self.certificate
    }

    fn greet(&mut self, drawn: &Challenge) -> Result<Greeting, CounterError> {
        self.ask_json(GREET, &json!({ "drawn": drawn }))
    }

    fn call(&mut self, caller: &Caller, secret: Option<&Secret>) -> Result<(), CounterError> {
        let secret = secret.map(ToString::to_string);
        let session = self.ask_json(CALL, &json!({ "caller": caller, "secret": secret }))?;
        self.session = Some(session);
        Ok(())
    }

    fn give(&mut self, holds: &[u8]) -> Result<Given, CounterError> {
        let length = u64::try_from(holds.len()).unwrap_or(u64::MAX);
        let answer = self.ask(GIVE, length, Body::from(holds.to_vec()))?;
        let (file, broke_off) = self.kept(answer)?;
        if broke_off.is_some() && file.path().length().map_err(broken)? == 0 {
            return Err(CounterError::BrokeOff(broke_off.unwrap_or_default()));
        }
        Ok(Given { bundle: Box::new(Came(file)), broke_off })
    }

    fn take(&mut self, bundle: &Path) -> Result<TakenThere, CounterError> {
        let length = bundle.length().map_err(broken)?;
        let file = std::fs::File::open(bundle).map_err(broken)?;
        let pieces = ReaderStream::new(tokio::fs::File::from_std(file));
        let answer = self.ask(TAKE, length, Body::from_stream(pieces))?;
        self.json(answer)
    }
}
