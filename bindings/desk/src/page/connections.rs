//! Connections: how many there are at once, and how long a sender may take. A
//! phone at the edge of the network is slow; who keeps a connection and sends
//! next to nothing must not hold up the counter.

use std::fmt;
use std::net::SocketAddr;
use std::pin::pin;
use std::str::FromStr;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::body::Body;
use axum::extract::{ConnectInfo, Request};
use hosewright_core::device::CertificateDigest;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::TcpListener;
use tokio::sync::{Semaphore, watch};
use tokio::time::{sleep, timeout};
use tokio_rustls::TlsAcceptor;
use tower::ServiceExt;
use tower_http::timeout::TimeoutBody;

/// The most connections at once; further ones wait until one ends. Well within
/// the 1,024 files that systems commonly let a program open.
const MOST: usize = 512;
/// How many times as long as a pause all of a request may take: at 30 s ten
/// minutes, in which 14 kB a second bring a photo of 8 MB.
const WHOLE: u32 = 20;

/// How long answers may still take when the desk is closed. What is being written
/// is written to its end in any case.
const CLOSING: Duration = Duration::from_secs(5);

/// How long a sender may keep still: with a request's head, between two pieces
/// of its body, and between two requests. The default of 30 s is common practice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Patience(Duration);

impl Default for Patience {
    fn default() -> Self {
        Self(Duration::from_secs(30))
    }
}

impl Patience {
    /// How long all of a request's body may take.
    pub fn whole(self) -> Duration {
        self.0 * WHOLE
    }
}

impl FromStr for Patience {
    type Err = String;

    /// From seconds, 0.1 to 3600.
    fn from_str(text: &str) -> Result<Self, String> {
        let seconds = text.parse().ok().filter(|seconds| (0.1..=3600.0).contains(seconds));
        let seconds = seconds.ok_or("patience is 0.1 to 3600 seconds")?;
        Ok(Self(Duration::from_secs_f64(seconds)))
    }
}

impl fmt::Display for Patience {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0.as_secs_f64())
    }
}

/// On a request of an encrypted connection: the SHA-256 of the certificate that it shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shows(pub CertificateDigest);

/// Takes connections until `stop`, then lets those that are answered end; with a
/// certificate they are encrypted.
pub async fn taken(
    listener: &TcpListener,
    tls: Option<(TlsAcceptor, CertificateDigest)>,
    router: Router,
    patience: Patience,
    stop: impl Future<Output = ()>,
) {
    let places = Arc::new(Semaphore::new(MOST));
    let (stopping, stopped) = watch::channel(());
    let mut stop = pin!(stop);
    loop {
        let next = async {
            let place = places.clone().acquire_owned().await;
            (place, listener.accept().await)
        };
        let (place, accepted) = tokio::select! {
            next = next => next,
            () = &mut stop => break,
        };
        let Ok((stream, peer)) = accepted else {
            // The caller went away, or the system is out of files for a moment.
            sleep(Duration::from_millis(100)).await;
            continue;
        };
        let (tls, router, stopped) = (tls.clone(), router.clone(), stopped.clone());
        tokio::spawn(async move {
            match tls {
                None => served((stream, peer, None), router, patience, stopped).await,
                Some((tls, digest)) => {
                    if let Ok(Ok(stream)) = timeout(patience.0, tls.accept(stream)).await {
                        let shows = Some(Shows(digest));
                        served((stream, peer, shows), router, patience, stopped).await;
                    }
                }
            }
            drop(place);
        });
    }
    drop(stopping);
    let all = u32::try_from(MOST).unwrap_or(u32::MAX);
    let _ = timeout(CLOSING, places.acquire_many(all)).await;
}

/// Answers on one connection. After a while it takes no further request, and
/// later it is cut, so that who never reads an answer does not stay either.
async fn served(
    (stream, peer, shows): (
        impl AsyncRead + AsyncWrite + Unpin + Send + 'static,
        SocketAddr,
        Option<Shows>,
    ),
    router: Router,
    patience: Patience,
    mut stopped: watch::Receiver<()>,
) {
    let service = router.map_request(move |request: Request<Incoming>| {
        let mut request =
            request.map(|body| Body::new(Box::pin(TimeoutBody::new(patience.0, body))));
        request.extensions_mut().insert(ConnectInfo(peer));
        if let Some(shows) = shows {
            request.extensions_mut().insert(shows);
        }
        request
    });
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(patience.0)
        .serve_connection(TokioIo::new(stream), TowerToHyperService::new(service));
    let mut connection = pin!(connection);
    tokio::select! {
        _ = connection.as_mut() => return,
        () = sleep(patience.whole()) => {}
        _ = stopped.changed() => {}
    }
    connection.as_mut().graceful_shutdown();
    let _ = timeout(patience.whole() * 2, connection).await;
}
