//! A certificate that browsers trust, with its key, from the files that an authority gives.

use std::path::{Path, PathBuf};
use std::sync::Arc;

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
    /// The key is another certificate's, or the certificate is no server's.
    #[error("this certificate and this key can't be used together: {0}")]
    Apart(#[from] rustls::Error),
}

/// Reads a chain of certificates, the server's own first, and its key.
pub fn read(chain: &Path, key: &Path) -> Result<TlsAcceptor, CertificateError> {
    let unreadable = |path: &Path, what, why: String| CertificateError::Unreadable {
        path: path.to_owned(),
        what,
        why,
    };
    let certificates = CertificateDer::pem_file_iter(chain).and_then(Iterator::collect);
    let certificates: Vec<_> =
        certificates.map_err(|e| unreadable(chain, "certificate", e.to_string()))?;
    let secret = PrivateKeyDer::from_pem_file(key);
    let secret = secret.map_err(|e| unreadable(key, "private key", e.to_string()))?;
    let settings = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()?
        .with_no_client_auth()
        .with_single_cert(certificates, secret)?;
    Ok(TlsAcceptor::from(Arc::new(settings)))
}
