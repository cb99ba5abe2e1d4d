//! The door to the shop's network while it is open, with what is known of who came in.

use std::sync::Mutex;

use data_encoding::HEXUPPER;
use hosewright_core::device::CertificateDigest;
use hosewright_page::Network;
use tokio::sync::watch;
use tokio::task::JoinHandle;

use super::callers::Callers;
use super::lan::Lan;
use super::lock::held;
use super::network;

/// The open door.
pub struct Door {
    /// Its port.
    pub port: u16,
    /// Who came in by a pass phrase.
    pub lan: Lan,
    /// Who came in by a symbol.
    pub callers: Callers,
    /// Whether this computer's own browsers have to give the pass phrase too.
    pub asks_here: bool,
    certificate: CertificateDigest,
    /// Ends those who answer.
    stop: watch::Sender<()>,
    answering: Mutex<Option<JoinHandle<()>>>,
}

impl Door {
    /// A door at which nobody answers yet.
    pub fn new(lan: Lan, port: u16, asks_here: bool, certificate: CertificateDigest) -> Self {
        let (callers, answering) = (Callers::default(), Mutex::default());
        let stop = watch::channel(()).0;
        Self { port, lan, callers, asks_here, certificate, stop, answering }
    }

    /// Tells when it is shut.
    pub fn closing(&self) -> watch::Receiver<()> {
        self.stop.subscribe()
    }

    /// Keeps what answers at it.
    pub fn answers(&self, task: JoinHandle<()>) {
        *held(&self.answering) = Some(task);
    }

    /// Takes no further connections; those that are answered end.
    pub fn shut(&self) {
        let _ = self.stop.send(());
    }

    /// Waits until the last answer is given.
    pub async fn ended(&self) {
        let task = held(&self.answering).take();
        if let Some(task) = task {
            let _ = task.await;
        }
    }

    /// What people are shown of it.
    pub fn shown(&self) -> Network {
        // In pairs, as browsers show it.
        let pairs: Vec<String> =
            self.certificate.iter().map(|byte| HEXUPPER.encode(&[*byte])).collect();
        Network {
            addresses: network::in_network(self.port),
            fingerprint: pairs.join(":"),
            browsers: self.lan.pass_phrase.is_some(),
        }
    }
}
