//! The page for phones' browsers, served by the desk: files and nothing else. It has an
//! origin of its own, so that no page of it can ask the counter's.

use axum::Router;
use axum::extract::Request;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, HeaderValue};
use axum::http::{Method, StatusCode};
use axum::response::{IntoResponse, Response};

use crate::web::WebFile;

/// What is shown where there is no such file: the page itself, which knows what a tag's
/// address means.
const OTHERWISE: &str = "404.html";
const FIRST: &str = "index.html";

const HEADERS: &[(&str, &str)] = &[
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    ("referrer-policy", "no-referrer"),
    ("permissions-policy", "camera=(self), microphone=(), geolocation=()"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
];

/// Serves some files.
pub fn router(files: &'static [WebFile]) -> Router {
    Router::new().fallback(move |request: Request| async move { answered(files, &request) })
}

fn answered(files: &'static [WebFile], request: &Request) -> Response {
    if !matches!(*request.method(), Method::GET | Method::HEAD) {
        return StatusCode::METHOD_NOT_ALLOWED.into_response();
    }
    let wanted = match request.uri().path().trim_start_matches('/') {
        "" => FIRST,
        name => name,
    };
    let of = |wanted: &str| files.iter().find(|(name, _)| *name == wanted);
    let (status, found) = match of(wanted) {
        Some(found) => (StatusCode::OK, Some(found)),
        None => (StatusCode::NOT_FOUND, of(OTHERWISE)),
    };
    let Some((name, bytes)) = found else { return status.into_response() };
    let mut response = (status, *bytes).into_response();
    let headers = response.headers_mut();
    for (name, text) in HEADERS {
        headers.insert(*name, HeaderValue::from_static(text));
    }
    headers.insert(CONTENT_TYPE, HeaderValue::from_static(kind(name)));
    // A browser asks whether there is a new version, and keeps the files itself.
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-cache"));
    response
}

/// The content type of a file.
fn kind(name: &str) -> &'static str {
    match name.rsplit_once('.').map_or("", |(_, ending)| ending) {
        "html" => "text/html; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "wasm" => "application/wasm",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "webmanifest" => "application/manifest+json",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use std::io::Write;
    use std::sync::Arc;
    use std::{fs, net::Ipv4Addr};

    use rcgen::{BasicConstraints, CertificateParams, CertifiedIssuer, IsCa, KeyPair};
    use tokio::io::{AsyncReadExt, AsyncWriteExt};
    use tokio::net::{TcpListener, TcpStream};
    use tokio_rustls::TlsConnector;
    use tokio_rustls::rustls::crypto::ring;
    use tokio_rustls::rustls::pki_types::ServerName;
    use tokio_rustls::rustls::{ClientConfig, RootCertStore};

    use super::*;
    use crate::page::certificate;
    use crate::page::connections::{Patience, taken};

    const FILES: &[WebFile] =
        &[("index.html", b"first"), ("404.html", b"otherwise"), ("core_bg.wasm", b"\0asm")];

    /// Asks over TLS, trusting one authority, and gives the whole response.
    async fn asked(port: u16, roots: RootCertStore, line: &str) -> Option<String> {
        let settings = ClientConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_safe_default_protocol_versions()
            .unwrap()
            .with_root_certificates(roots)
            .with_no_client_auth();
        let stream = TcpStream::connect((Ipv4Addr::LOCALHOST, port)).await.unwrap();
        let name = ServerName::try_from("dive.example").unwrap();
        let mut stream = TlsConnector::from(Arc::new(settings)).connect(name, stream).await.ok()?;
        let head = format!("{line} HTTP/1.1\r\nhost: dive.example\r\nconnection: close\r\n\r\n");
        stream.write_all(head.as_bytes()).await.unwrap();
        let mut all = Vec::new();
        let _ = stream.read_to_end(&mut all).await;
        Some(String::from_utf8_lossy(&all).into_owned())
    }

    #[tokio::test]
    async fn files_are_served_over_tls_to_whoever_trusts_the_certificate() {
        let mut params = CertificateParams::new(Vec::<String>::new()).unwrap();
        params.is_ca = IsCa::Ca(BasicConstraints::Unconstrained);
        let issuer = CertifiedIssuer::self_signed(params, KeyPair::generate().unwrap()).unwrap();
        let key = KeyPair::generate().unwrap();
        let own = CertificateParams::new(vec!["dive.example".to_owned()]).unwrap();
        let own = own.signed_by(&key, &issuer).unwrap();
        let folder = tempfile::tempdir().unwrap();
        let path = |name: &str| folder.path().join(name);
        fs::write(path("chain.pem"), own.pem()).unwrap();
        fs::File::create(path("key.pem"))
            .unwrap()
            .write_all(key.serialize_pem().as_bytes())
            .unwrap();
        let other = KeyPair::generate().unwrap().serialize_pem();
        fs::write(path("other.pem"), other).unwrap();
        assert!(certificate::read(&path("chain.pem"), &path("other.pem")).is_err());
        assert!(certificate::read(&path("key.pem"), &path("key.pem")).is_err());
        assert!(certificate::read(&path("none.pem"), &path("key.pem")).is_err());

        let tls = certificate::read(&path("chain.pem"), &path("key.pem")).unwrap();
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).await.unwrap();
        let port = listener.local_addr().unwrap().port();
        let patience = Patience::default();
        tokio::spawn(async move {
            taken(
                &listener,
                Some((tls.acceptor, tls.digest)),
                router(FILES),
                patience,
                std::future::pending(),
            )
            .await;
        });
        let mut roots = RootCertStore::empty();
        roots.add(issuer.der().clone()).unwrap();
        for (line, status, kind, body) in [
            ("GET /", "200", "text/html", "first"),
            ("GET /core_bg.wasm", "200", "application/wasm", "asm"),
            ("GET /HW1:2RWBXCB4GDEA7.", "404", "text/html", "otherwise"),
            ("GET /../../etc/passwd", "404", "text/html", "otherwise"),
            ("POST /", "405", "", ""),
        ] {
            let said = asked(port, roots.clone(), line).await.unwrap();
            assert!(said.starts_with(&format!("HTTP/1.1 {status}")), "{line}: {said}");
            assert!(said.contains(kind) && said.ends_with(body), "{line}: {said}");
        }
        // Who does not trust the authority sees nothing.
        assert_eq!(asked(port, RootCertStore::empty(), "GET /").await, None);
    }
}
