//! What stands between two ends of an encrypted connection in a test: a client that takes any
//! certificate, a line that is cut, and somebody in the middle.

use std::io::{ErrorKind, Read, Write};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::thread;

use rcgen::{CertificateParams, KeyPair};
use rustls::client::danger::{HandshakeSignatureValid, ServerCertVerified, ServerCertVerifier};
use rustls::crypto::{CryptoProvider, ring};
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, PrivateKeyDer, ServerName, UnixTime};
use rustls::{
    ClientConfig, ClientConnection, DigitallySignedStruct, Error, ServerConfig, ServerConnection,
    SignatureScheme, StreamOwned,
};
use sha2::{Digest, Sha256};

use crate::desk::Desk;
use crate::page::{Page, Reply};

#[derive(Debug)]
struct Any(CryptoProvider);

impl ServerCertVerifier for Any {
    fn verify_server_cert(
        &self,
        _: &CertificateDer<'_>,
        _: &[CertificateDer<'_>],
        _: &ServerName<'_>,
        _: &[u8],
        _: UnixTime,
    ) -> Result<ServerCertVerified, Error> {
        Ok(ServerCertVerified::assertion())
    }

    fn verify_tls12_signature(
        &self,
        message: &[u8],
        shown: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        let known = &self.0.signature_verification_algorithms;
        rustls::crypto::verify_tls12_signature(message, shown, signed, known)
    }

    fn verify_tls13_signature(
        &self,
        message: &[u8],
        shown: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        let known = &self.0.signature_verification_algorithms;
        rustls::crypto::verify_tls13_signature(message, shown, signed, known)
    }

    fn supported_verify_schemes(&self) -> Vec<SignatureScheme> {
        self.0.signature_verification_algorithms.supported_schemes()
    }
}

/// A counter whose page has opened its door, and where that is: `127.0.0.1:40123`.
///
/// # Panics
/// If its page does not say where.
#[must_use]
#[allow(clippy::expect_used, reason = "a harness for tests")]
pub fn counter(desk: &Desk) -> (Page, String) {
    let page = Page::of(desk, &[]);
    page.done("/owner/meet/network/open", &[("pass", "")]);
    let shown = page.shown("/owner/meet/network");
    let address = shown.split("https://").nth(1).and_then(|text| text.split('/').next());
    let port = address.and_then(|address| address.rsplit(':').next()).expect("a port");
    let door = format!("127.0.0.1:{port}");
    (page, door)
}

/// The text of a symbol that the page shows, for a device that may write.
///
/// # Panics
/// If it shows none.
#[must_use]
#[allow(clippy::expect_used, reason = "a harness for tests")]
pub fn symbol(page: &Page) -> String {
    let to = page.done("/owner/meet/network/let-in", &[("role", "bench"), ("name", "boat")]);
    let shown = page.shown(&to);
    let text = shown.split("<textarea").nth(1).and_then(|text| text.split('>').nth(1));
    text.and_then(|text| text.split('<').next()).expect("a symbol").to_owned()
}

/// The same as if the counter were reached somewhere else.
#[must_use]
pub fn at(symbol: &str, host: &str) -> String {
    let who = symbol.split('/').next().unwrap_or_default();
    format!("{who}/{host}")
}

/// An encrypted connection.
pub type Encrypted = StreamOwned<ClientConnection, TcpStream>;

/// Connects to `127.0.0.1:40123` or its like, whatever certificate it shows, and returns the
/// SHA-256 of that.
///
/// # Panics
/// If nothing answers there.
#[must_use]
#[allow(clippy::expect_used, reason = "a harness for tests")]
pub fn connected(host: &str) -> (Encrypted, [u8; 32]) {
    let settings = ClientConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()
        .expect("protocols")
        .dangerous()
        .with_custom_certificate_verifier(Arc::new(Any(ring::default_provider())))
        .with_no_client_auth();
    let name = ServerName::try_from("localhost").expect("a name");
    let mut tls = ClientConnection::new(Arc::new(settings), name).expect("a client");
    let mut plain = TcpStream::connect(host).expect("a connection");
    while tls.is_handshaking() {
        tls.complete_io(&mut plain).expect("a handshake");
    }
    let shown = tls.peer_certificates().and_then(<[_]>::first).expect("a certificate");
    let digest = Sha256::digest(shown).into();
    (StreamOwned::new(tls, plain), digest)
}

/// Asks on a connection, which ends with it.
#[must_use]
pub fn asked(
    mut stream: Encrypted,
    host: &str,
    (method, path): (&str, &str),
    lines: &[&str],
    body: &[u8],
) -> Reply {
    let more: String = lines.iter().map(|line| format!("{line}\r\n")).collect();
    let length = body.len();
    let head = format!(
        "{method} {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\nContent-Length: {length}\r\n{more}\r\n"
    );
    let _ = stream.write_all(&[head.as_bytes(), body].concat());
    let _ = stream.flush();
    let mut all = Vec::new();
    // A connection that is cut without a word has said what it said.
    let _ = stream.read_to_end(&mut all);
    Reply::of(&all)
}

/// A line between two ends that is cut once so many bytes went through it, either way.
pub struct Line {
    /// Where it begins.
    pub host: String,
    /// How many bytes a connection may bring.
    most: Arc<AtomicU64>,
}

impl Line {
    /// A line to `host`.
    ///
    /// # Panics
    /// If the system gives no port.
    #[must_use]
    #[allow(clippy::expect_used, reason = "a harness for tests")]
    pub fn to(host: &str) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
        let begins = listener.local_addr().expect("an address").to_string();
        let most = Arc::new(AtomicU64::new(u64::MAX));
        let (to, limit) = (host.to_owned(), most.clone());
        thread::spawn(move || {
            for near in listener.incoming().flatten() {
                let Ok(far) = TcpStream::connect(&to) else { continue };
                let left = Arc::new(AtomicU64::new(limit.load(Ordering::SeqCst)));
                carry(&near, &far, &left);
                carry(&far, &near, &left);
            }
        });
        Self { host: begins, most }
    }

    /// From the next connection on it is cut after so many bytes.
    pub fn cut_after(&self, bytes: u64) {
        self.most.store(bytes, Ordering::SeqCst);
    }
}

/// Carries bytes one way until there are no more, or the line is cut.
#[allow(clippy::expect_used, reason = "a harness for tests")]
fn carry(from: &TcpStream, to: &TcpStream, left: &Arc<AtomicU64>) {
    let (mut from, mut to) = (from.try_clone().expect("a stream"), to.try_clone().expect("one"));
    let left = left.clone();
    thread::spawn(move || {
        let mut bytes = [0; 4096];
        loop {
            let came = match from.read(&mut bytes) {
                Ok(0) => break,
                Ok(came) => came,
                Err(error) if error.kind() == ErrorKind::Interrupted => continue,
                Err(_) => break,
            };
            let take = |left: u64| Some(left.saturating_sub(came as u64));
            let before = left.fetch_update(Ordering::SeqCst, Ordering::SeqCst, take);
            let goes = usize::try_from(before.unwrap_or(0)).unwrap_or(usize::MAX).min(came);
            if to.write_all(bytes.get(..goes).unwrap_or_default()).is_err() || goes < came {
                let _ = from.shutdown(std::net::Shutdown::Both);
                break;
            }
        }
        let _ = to.shutdown(std::net::Shutdown::Both);
    });
}

/// A counter that takes connections, encrypted, and says nothing. Returns where it is.
///
/// # Panics
/// If the system gives no port.
#[must_use]
#[allow(clippy::expect_used, reason = "a harness for tests")]
pub fn silent() -> SocketAddr {
    let settings = own_certificate();
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let at = listener.local_addr().expect("an address");
    thread::spawn(move || {
        for near in listener.incoming().flatten() {
            let Ok(tls) = ServerConnection::new(settings.clone()) else { continue };
            thread::spawn(move || {
                let mut near = StreamOwned::new(tls, near);
                let mut bytes = [0; 4096];
                while let Ok(1..) = near.read(&mut bytes) {}
            });
        }
    });
    at
}

#[allow(clippy::expect_used, reason = "a harness for tests")]
fn own_certificate() -> Arc<ServerConfig> {
    let key = KeyPair::generate().expect("a key");
    let certificate = CertificateParams::new(vec!["localhost".to_owned()]).expect("a name");
    let certificate = certificate.self_signed(&key).expect("a certificate");
    let secret = PrivateKeyDer::from_pem_slice(key.serialize_pem().as_bytes()).expect("a key");
    let settings = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()
        .expect("protocols")
        .with_no_client_auth()
        .with_single_cert(vec![certificate.der().clone()], secret)
        .expect("a pair");
    Arc::new(settings)
}

/// Somebody between two ends, with a certificate of their own: every byte is read and passed on.
/// Returns where they sit, and what they have read so far.
///
/// # Panics
/// If the system gives no port.
#[must_use]
#[allow(clippy::expect_used, reason = "a harness for tests")]
pub fn between(host: &str) -> (SocketAddr, Arc<std::sync::Mutex<Vec<u8>>>) {
    let settings = own_certificate();
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let at = listener.local_addr().expect("an address");
    let (read, to) = (Arc::new(std::sync::Mutex::new(Vec::new())), host.to_owned());
    let heard = read.clone();
    thread::spawn(move || {
        for near in listener.incoming().flatten() {
            let Ok(tls) = ServerConnection::new(settings.clone()) else { continue };
            let (heard, to) = (heard.clone(), to.clone());
            thread::spawn(move || sits(StreamOwned::new(tls, near), &to, &heard));
        }
    });
    (at, read)
}

/// Passes on one question after the other, each with its answer.
fn sits(
    mut near: StreamOwned<ServerConnection, TcpStream>,
    to: &str,
    heard: &std::sync::Mutex<Vec<u8>>,
) {
    let (mut far, _) = connected(to);
    let mut bytes = [0; 65536];
    while let Ok(came @ 1..) = near.read(&mut bytes) {
        let said = bytes.get(..came).unwrap_or_default().to_vec();
        if let Ok(mut heard) = heard.lock() {
            heard.extend(&said);
        }
        let whole = String::from_utf8_lossy(&said).into_owned();
        // Head and body may come apart.
        let complete = whole.split_once("\r\n\r\n").is_some_and(|(_, body)| !body.is_empty());
        if far.write_all(&said).is_err() {
            return;
        }
        if !complete {
            continue;
        }
        let Ok(answered) = far.read(&mut bytes) else { return };
        if near.write_all(bytes.get(..answered).unwrap_or_default()).is_err() {
            return;
        }
    }
}
