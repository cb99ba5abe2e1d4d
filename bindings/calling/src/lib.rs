//! Calls a counter in the shop's network: HTTP over an encrypted connection. What is said is
//! decided in the core.
//!
//! ```text
//! paths    what both ends know: paths, and how much is said
//! sending  a file as the body of a request
//! tls      an encrypted connection, and the certificate that it shows
//! ```

#![deny(missing_docs)]

pub mod paths;
mod sending;
mod tls;

use std::cell::RefCell;
use std::future::Future;
use std::io::Write;
use std::path::Path;
use std::pin::pin;
use std::time::Duration;

use hosewright_core::device::{
    Caller, CertificateDigest, Challenge, CounterAddress, Greeting, Invitation, Secret,
};
use hosewright_core::file::Source;
use hosewright_core::journal::{CounterMeeting, HowFar, MetCounter, Moment, Stop, TakenThere};
use hosewright_core::{Counter, CounterError, Given, Logbook, LogbookError};
use http_body_util::{BodyExt, Either, Full, Limited};
use hyper::body::{Bytes, Incoming};
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

use paths::{AUTHORIZED, CALL, GIVE, GREET, MOST_WORDS, TAKE};
use sending::Sending;

/// How long it may take to be connected, and how long an answer may be still: a counter that
/// takes in a year's entries works for minutes.
const CONNECTING: Duration = Duration::from_secs(10);
const STILL: Duration = Duration::from_secs(600);

/// How often it looks whether it is to stop.
const LOOK: Duration = Duration::from_millis(100);

/// Is told how far it is.
pub type Progress<'p> = &'p mut dyn FnMut(HowFar);

/// What is sent.
type Body = Either<Full<Bytes>, Sending>;

/// An open connection to a counter.
struct Line<'l, 'p> {
    address: CounterAddress,
    certificate: CertificateDigest,
    runtime: Runtime,
    sender: SendRequest<Body>,
    /// What the counter gave out for this meeting.
    session: Option<String>,
    stop: &'l Stop,
    progress: &'l RefCell<Progress<'p>>,
}

/// Meets the first of some addresses that answers; until it is stopped.
///
/// # Errors
/// [`LogbookError::Counter`] if none does, or they don't meet.
pub fn meet(
    logbook: &mut Logbook,
    (addresses, invited): (&[CounterAddress], Option<&Invitation>),
    moment: &Moment,
    stop: &Stop,
    progress: Progress<'_>,
) -> Result<CounterMeeting, LogbookError> {
    logbook.obey(stop)?;
    progress(HowFar::Waits);
    let mut reached = Err(CounterError::Unreachable("no address is known of it".to_owned()));
    for address in addresses {
        reached = opened(address, stop);
        if matches!(reached, Ok(_) | Err(CounterError::Stopped)) {
            break;
        }
    }
    let (runtime, certificate, sender, address) = reached?;
    let progress = RefCell::new(progress);
    let (session, progress) = (None, &progress);
    let mut line = Line { address, certificate, runtime, sender, session, stop, progress };
    let taken = |done, all| (progress.borrow_mut())(HowFar::TakenIn(done, all));
    logbook.meet_counter(&mut line, invited, moment, taken)
}

/// What came of each counter that is known, in the order in which they were met last.
pub type EachMet = Vec<(MetCounter, Result<CounterMeeting, LogbookError>)>;

/// Meets every counter that is known, one after the other; one that does not answer keeps out no
/// other. Stopped, it leaves out the rest.
///
/// # Errors
/// [`LogbookError`] if the record can't be read.
pub fn meet_known(
    logbook: &mut Logbook,
    moment: &Moment,
    stop: &Stop,
    progress: Progress<'_>,
) -> Result<EachMet, LogbookError> {
    let mut each = Vec::new();
    for known in logbook.met_counters()? {
        let met = meet(logbook, (&known.addresses, None), moment, stop, progress);
        each.push((known, met));
        if stop.is_stopped() {
            break;
        }
    }
    Ok(each)
}

type Open = (Runtime, CertificateDigest, SendRequest<Body>, CounterAddress);

fn opened(address: &CounterAddress, stop: &Stop) -> Result<Open, CounterError> {
    let failed = |why: String| CounterError::Unreachable(why);
    let mut runtime = tokio::runtime::Builder::new_multi_thread();
    let runtime = runtime.worker_threads(1).enable_all().build();
    let runtime = runtime.map_err(|e| failed(e.to_string()))?;
    let (sender, certificate) = runtime.block_on(async {
        let connected = unless_stopped(stop, timeout(CONNECTING, tls::connected(address))).await?;
        let late = |_| failed(format!("{address} does not answer"));
        let (stream, certificate) = connected.map_err(late)??;
        let (sender, connection) =
            http1::handshake(TokioIo::new(stream)).await.map_err(|e| failed(e.to_string()))?;
        tokio::spawn(connection);
        Ok::<_, CounterError>((sender, certificate))
    })?;
    Ok((runtime, certificate, sender, address.clone()))
}

/// Waits for something, unless it is stopped meanwhile.
async fn unless_stopped<T>(stop: &Stop, work: impl Future<Output = T>) -> Result<T, CounterError> {
    let mut work = pin!(work);
    loop {
        if stop.is_stopped() {
            return Err(CounterError::Stopped);
        }
        if let Ok(done) = timeout(LOOK, &mut work).await {
            return Ok(done);
        }
    }
}

fn broken(why: impl ToString) -> CounterError {
    CounterError::BrokeOff(why.to_string())
}

impl Line<'_, '_> {
    fn tell(&self, far: HowFar) {
        (self.progress.borrow_mut())(far);
    }

    /// Waits for the other side as long as it may be still.
    fn wait<T>(&self, work: impl Future<Output = T>) -> Result<T, CounterError> {
        let still = async { unless_stopped(self.stop, timeout(STILL, work)).await };
        self.runtime.block_on(still)?.map_err(broken)
    }

    /// Sends something, and returns an answer that is not a refusal.
    fn ask(
        &mut self,
        path: &str,
        length: u64,
        body: Body,
    ) -> Result<Response<Incoming>, CounterError> {
        let mut request = Request::post(path)
            .header(HOST, self.address.to_string())
            .header(CONTENT_LENGTH, length);
        if let Some(session) = &self.session {
            request = request.header(AUTHORIZATION, format!("{AUTHORIZED}{session}"));
        }
        let request = request.body(body).map_err(broken)?;
        let sender = &mut self.sender;
        let answer = async {
            sender.ready().await?;
            sender.send_request(request).await
        };
        let still = async { unless_stopped(self.stop, timeout(STILL, answer)).await };
        let answer = self.runtime.block_on(still)?.map_err(broken)?.map_err(broken)?;
        if answer.status() == StatusCode::OK {
            return Ok(answer);
        }
        let status = answer.status();
        let words = self.wait(Limited::new(answer.into_body(), MOST_WORDS).collect())?;
        let words = words.map_err(broken)?.to_bytes();
        let words = String::from_utf8_lossy(&words).into_owned();
        Err(CounterError::Refused(if words.is_empty() { status.to_string() } else { words }))
    }

    /// Asks with some bytes.
    fn ask_bytes(
        &mut self,
        path: &str,
        bytes: Vec<u8>,
    ) -> Result<Response<Incoming>, CounterError> {
        let length = u64::try_from(bytes.len()).unwrap_or(u64::MAX);
        self.ask(path, length, Either::Left(Full::from(bytes)))
    }

    /// Asks with JSON, and reads JSON.
    fn ask_json<T: DeserializeOwned>(
        &mut self,
        path: &str,
        question: &impl Serialize,
    ) -> Result<T, CounterError> {
        let answer = self.ask_bytes(path, serde_json::to_vec(question).map_err(broken)?)?;
        self.json(answer)
    }

    fn json<T: DeserializeOwned>(&self, answer: Response<Incoming>) -> Result<T, CounterError> {
        let body = self.wait(Limited::new(answer.into_body(), MOST_JSON).collect())?;
        serde_json::from_slice(&body.map_err(broken)?.to_bytes()).map_err(broken)
    }

    /// Reads a body into a file: all of it, or its beginning and why it ends there.
    fn kept(
        &mut self,
        answer: Response<Incoming>,
    ) -> Result<(NamedTempFile, Option<String>), CounterError> {
        let length = answer.headers().get(CONTENT_LENGTH);
        let length = length.and_then(|length| length.to_str().ok()?.parse().ok());
        let mut file = NamedTempFile::new().map_err(broken)?;
        let (mut body, mut came) = (answer.into_body(), 0);
        loop {
            let piece = match self.wait(body.frame()) {
                Ok(None) => return Ok((file, None)),
                Ok(Some(Ok(piece))) => piece.into_data().unwrap_or_else(|_| Bytes::new()),
                Ok(Some(Err(why))) => return Ok((file, Some(why.to_string()))),
                Err(CounterError::BrokeOff(why)) => return Ok((file, Some(why))),
                Err(other) => return Err(other),
            };
            file.write_all(&piece).map_err(broken)?;
            came += u64::try_from(piece.len()).unwrap_or(0);
            self.tell(HowFar::Came(came, length));
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

impl Counter for Line<'_, '_> {
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
        let answer = self.ask_bytes(GIVE, holds.to_vec())?;
        let (file, broke_off) = self.kept(answer)?;
        if broke_off.is_some() && file.path().length().map_err(broken)? == 0 {
            return Err(CounterError::BrokeOff(broke_off.unwrap_or_default()));
        }
        Ok(Given { bundle: Box::new(Came(file)), broke_off })
    }

    fn take(&mut self, bundle: &Path) -> Result<TakenThere, CounterError> {
        let length = bundle.length().map_err(broken)?;
        let file = std::fs::File::open(bundle).map_err(broken)?;
        self.tell(HowFar::Sent(0, length));
        let answer = self.ask(TAKE, length, Either::Right(Sending::new(file)))?;
        self.tell(HowFar::Sent(length, length));
        self.json(answer)
    }
}
