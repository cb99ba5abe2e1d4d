//! TLS to the branches' server: its certificate is always checked.

use std::path::Path;
use std::sync::Arc;

use hosewright_core::journal::BranchError;
use tokio_postgres_rustls::MakeRustlsConnect;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::CertificateDer;
use tokio_rustls::rustls::pki_types::pem::PemObject;
use tokio_rustls::rustls::{ClientConfig, RootCertStore};

/// What connects, believing the system's authorities, or the one of a file alone.
pub fn connector(authority: Option<&Path>) -> Result<MakeRustlsConnect, BranchError> {
    let wrong = |why: String| BranchError(format!("its certificate can't be checked: {why}"));
    let mut roots = RootCertStore::empty();
    match authority {
        Some(file) => {
            let read = CertificateDer::pem_file_iter(file).and_then(Iterator::collect);
            let read: Vec<CertificateDer<'static>> =
                read.map_err(|e| wrong(format!("{} holds no certificate: {e}", file.display())))?;
            for certificate in read {
                roots.add(certificate).map_err(|e| wrong(format!("{}: {e}", file.display())))?;
            }
        }
        None => {
            // One that the system keeps and nobody can read is none that can be believed.
            roots.add_parsable_certificates(rustls_native_certs::load_native_certs().certs);
        }
    }
    let settings = ClientConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()
        .map_err(|e| wrong(e.to_string()))?
        .with_root_certificates(roots)
        .with_no_client_auth();
    Ok(MakeRustlsConnect::new(settings))
}
