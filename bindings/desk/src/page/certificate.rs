//! The certificate that encrypted connections show, with its key: from the files that an authority
//! gives, or one of our own, which is made once and kept with the account's keys. No authority vouches
//! for that one; devices don't need it to, and browsers warn.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use hosewright_core::device::CertificateDigest;
use hosewright_core::file;
use rcgen::{CertificateParams, DistinguishedName, DnType, KeyPair};
use sha2::{Digest, Sha256};
use thiserror::Error;
use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::pem::PemObject;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer};
use tokio_rustls::rustls::{self, ServerConfig};

/// Why a certificate is of no use.
#[derive(Debug, Error)]
pub enum CertificateError {
    /// A file is not what it should be.
    #[error("{path} holds no {what} in PEM: {why}; name the file that the authority gave")]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What it should hold.
        what: &'static str,
        /// What is wrong with it.
        why: String,
    },
    /// None can be made or kept.
    #[error("no certificate can be made and kept in {path}: {why}")]
    Unmade {
        /// The folder.
        path: PathBuf,
        /// What is wrong.
        why: String,
    },
    /// The key is another certificate's, or the certificate is no server's.
    #[error("this certificate and this key can't be used together: {0}")]
    Apart(#[from] rustls::Error),
}

/// A certificate that can be shown.
#[derive(Clone)]
pub struct Certificate {
    /// What encrypts connections with it.
    pub acceptor: TlsAcceptor,
    /// Its SHA-256.
    pub digest: CertificateDigest,
}

/// Key and certificate in one file: never one without the other.
const OWN: &str = "page-certificate.pem";

/// Our own, from the folder of the account's keys; it is made if there is none.
pub fn own(folder: &Path) -> Result<Certificate, CertificateError> {
    let path = folder.join(OWN);
    if !path.exists() {
        made(&path).map_err(|why| CertificateError::Unmade { path: folder.to_owned(), why })?;
    }
    read(&path, &path)
}

fn made(path: &Path) -> Result<(), String> {
    let pair = KeyPair::generate().map_err(|e| e.to_string())?;
    let names = vec!["localhost".to_owned(), "127.0.0.1".to_owned()];
    let mut parameters = CertificateParams::new(names).map_err(|e| e.to_string())?;
    parameters.distinguished_name = DistinguishedName::new();
    parameters.distinguished_name.push(DnType::CommonName, "Hosewright counter");
    let certificate = parameters.self_signed(&pair).map_err(|e| e.to_string())?;
    let both = pair.serialize_pem() + &certificate.pem();
    file::write_private(path, both.as_bytes()).map_err(|e| e.to_string())
}

/// Reads a chain of certificates, the server's own first, and its key.
pub fn read(chain: &Path, key: &Path) -> Result<Certificate, CertificateError> {
    let unreadable = |path: &Path, what, why: String| CertificateError::Unreadable {
        path: path.to_owned(),
        what,
        why,
    };
    let certificates = CertificateDer::pem_file_iter(chain).and_then(Iterator::collect);
    let certificates: Vec<_> =
        certificates.map_err(|e| unreadable(chain, "certificate", e.to_string()))?;
    let first = certificates.first();
    let first = first.ok_or_else(|| unreadable(chain, "certificate", "it is empty".to_owned()))?;
    let digest = Sha256::digest(first).into();
    let secret = PrivateKeyDer::from_pem_file(key);
    let secret = secret.map_err(|e| unreadable(key, "private key", e.to_string()))?;
    let settings = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()?
        .with_no_client_auth()
        .with_single_cert(certificates, secret)?;
    Ok(Certificate { acceptor: TlsAcceptor::from(Arc::new(settings)), digest })
}
