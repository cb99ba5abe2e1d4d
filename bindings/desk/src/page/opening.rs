//! Opens the door to the shop's network, at the start or while the page is served.

use std::net::Ipv4Addr;
use std::sync::Arc;

use tokio::net::TcpListener;

use super::certificate::{self, Certificate, CertificateError};
use super::connections;
use super::door::Door;
use super::lan::{Lan, PassPhrase};
use super::shared::Shared;
use crate::failure::Failure;

/// Opens it, in place of one that is open; it is open until it is shut or the program ends.
/// `asks_here`: this computer's own browsers have to give the pass phrase too.
pub async fn open(
    shared: &Arc<Shared>,
    pass_phrase: Option<PassPhrase>,
    asks_here: bool,
) -> Result<Arc<Door>, Failure> {
    let opens = shared.opens.as_ref();
    let opens = opens.ok_or_else(|| Failure::refused("there is no network here"))?;
    let refused = |error: CertificateError| Failure::refused(error.to_string());
    let Certificate { acceptor, digest } = match &opens.certificate {
        Some(given) => given.clone(),
        None => certificate::own(&opens.keys).map_err(refused)?,
    };
    if let Some(before) = shared.set_door(None) {
        before.shut();
        before.ended().await;
    }
    let port = opens.port;
    let refused = |why| {
        format!("port {port} can't be served to the network: {why}; name another with --lan-port")
    };
    let listener = TcpListener::bind((Ipv4Addr::UNSPECIFIED, port)).await;
    let listener = listener.map_err(|source| Failure::refused(refused(source)))?;
    let port = listener.local_addr()?.port();
    let door = Arc::new(Door::new(Lan::new(pass_phrase), port, asks_here, digest));
    let (router, patience) = ((opens.router)(shared.clone()), shared.patience);
    let mut closing = door.closing();
    let task = tokio::spawn(async move {
        let ended = async {
            // Also when nobody can shut it any more.
            let _ = closing.changed().await;
        };
        connections::taken(&listener, Some((acceptor, digest)), router, patience, ended).await;
    });
    door.answers(task);
    shared.set_door(Some(door.clone()));
    Ok(door)
}
