//! An encrypted connection to a counter, whatever its certificate: who answers proves it by a key
//! of its own, for the certificate that the connection shows.

use std::io::{self, ErrorKind};
use std::sync::Arc;

use hosewright_core::CounterError;
use hosewright_core::device::{CertificateDigest, CounterAddress};
use sha2::{Digest, Sha256};
use tokio::net::TcpStream;
use tokio_rustls::TlsConnector;
use tokio_rustls::client::TlsStream;
use tokio_rustls::rustls::client::danger::{
    HandshakeSignatureValid, ServerCertVerified, ServerCertVerifier,
};
use tokio_rustls::rustls::crypto::{
    CryptoProvider, ring, verify_tls12_signature, verify_tls13_signature,
};
use tokio_rustls::rustls::pki_types::{CertificateDer, ServerName, UnixTime};
use tokio_rustls::rustls::{
    ClientConfig, DigitallySignedStruct, Error as TlsError, SignatureScheme,
};

/// Takes any certificate, and checks that the other side has its key: what is said to it is
/// meant for the owner of that key.
#[derive(Debug)]
struct AnyCertificate(CryptoProvider);

impl ServerCertVerifier for AnyCertificate {
    fn verify_server_cert(
        &self,
        _: &CertificateDer<'_>,
        _: &[CertificateDer<'_>],
        _: &ServerName<'_>,
        _: &[u8],
        _: UnixTime,
    ) -> Result<ServerCertVerified, TlsError> {
        Ok(ServerCertVerified::assertion())
    }

    fn verify_tls12_signature(
        &self,
        message: &[u8],
        certificate: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, TlsError> {
        let known = &self.0.signature_verification_algorithms;
        verify_tls12_signature(message, certificate, signed, known)
    }

    fn verify_tls13_signature(
        &self,
        message: &[u8],
        certificate: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, TlsError> {
        let known = &self.0.signature_verification_algorithms;
        verify_tls13_signature(message, certificate, signed, known)
    }

    fn supported_verify_schemes(&self) -> Vec<SignatureScheme> {
        self.0.signature_verification_algorithms.supported_schemes()
    }
}

/// Why nothing was reached, in words where a person can do something about it.
fn no_way(to: &CounterAddress, error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::ConnectionRefused => format!("nothing answers at {to}"),
        ErrorKind::HostUnreachable | ErrorKind::NetworkUnreachable => {
            format!("no way leads to {to} from this network")
        }
        ErrorKind::TimedOut => format!("{to} does not answer"),
        _ => error.to_string(),
    }
}

/// Connects, and returns what certificate the other side showed.
pub async fn connected(
    to: &CounterAddress,
) -> Result<(TlsStream<TcpStream>, CertificateDigest), CounterError> {
    let failed = |why: String| CounterError::Unreachable(why);
    let plain = TcpStream::connect((to.host(), to.port())).await;
    let plain = plain.map_err(|e| failed(no_way(to, &e)))?;
    let provider = Arc::new(ring::default_provider());
    let settings = ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .map_err(|e| failed(e.to_string()))?
        .dangerous()
        .with_custom_certificate_verifier(Arc::new(AnyCertificate(ring::default_provider())))
        .with_no_client_auth();
    let name = ServerName::try_from(to.host().to_owned()).map_err(|e| failed(e.to_string()))?;
    let stream = TlsConnector::from(Arc::new(settings)).connect(name, plain).await;
    let stream = stream.map_err(|e| failed(e.to_string()))?;
    let shown = stream.get_ref().1.peer_certificates().and_then(<[_]>::first);
    let shown = shown.ok_or_else(|| failed("it shows no certificate".to_owned()))?;
    let digest = Sha256::digest(shown).into();
    Ok((stream, digest))
}
