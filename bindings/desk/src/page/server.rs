//! Binds, says where it is, and serves until Ctrl-C.

use std::net::{IpAddr, Ipv4Addr, UdpSocket};
use std::path::PathBuf;
use std::sync::Arc;

use chrono::NaiveDate;
use hosewright_core::hose::Label;
use tokio::net::TcpListener;

use super::answering;
use super::connections::{self, Patience};
use super::lan::{Lan, PassPhrase};
use super::records::Record;
use super::shared::Shared;
use crate::failure::Failure;

/// What is to be served, and to whom.
pub struct Serving {
    /// The record's file.
    pub store: PathBuf,
    /// The port; 0 takes one that is free.
    pub port: u16,
    /// What other devices have to give; none if only this one is served.
    pub lan: Option<PassPhrase>,
    /// The day that is pretended.
    pub today: Option<NaiveDate>,
    /// Who writes, if nobody says it.
    pub by: Label,
    /// How long a sender may take.
    pub patience: Patience,
}

/// Serves until Ctrl-C; `ready` is told the addresses once they answer.
pub fn serve(
    serving: Serving,
    ready: impl FnOnce(&[String]) -> Result<(), Failure>,
) -> Result<(), Failure> {
    let record = Record::open(&serving.store, None)?;
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    runtime.block_on(async {
        let open = serving.lan.is_some();
        let to = if open { Ipv4Addr::UNSPECIFIED } else { Ipv4Addr::LOCALHOST };
        let listener = TcpListener::bind((to, serving.port)).await.map_err(|source| {
            Failure::refused(format!(
                "port {} can't be served: {source}; name another with --port",
                serving.port
            ))
        })?;
        let port = listener.local_addr()?.port();
        let lan = serving.lan.map(Lan::new);
        let shared = Shared::new(record, (serving.today, serving.by), port, lan, serving.patience)?;
        ready(&addresses(port, open))?;
        run(listener, Arc::new(shared), serving.patience).await;
        Ok(())
    })
}

async fn run(listener: TcpListener, shared: Arc<Shared>, patience: Patience) {
    let stop = async {
        // Where Ctrl-C cannot be heard, the system ends the program itself.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    connections::taken(&listener, answering::router(shared), patience, stop).await;
}

/// Where it answers: here, and in the network under this machine's own address.
fn addresses(port: u16, open: bool) -> Vec<String> {
    let here = format!("http://127.0.0.1:{port}/");
    let there = own_address().filter(|_| open).map(|address| format!("http://{address}:{port}/"));
    std::iter::once(here).chain(there).collect()
}

/// This machine's address in its network. Nothing is sent: connecting a socket
/// of this kind only looks up the way, here to an address for documentation
/// (RFC 5737).
fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    socket.local_addr().ok().map(|address| address.ip()).filter(|address| !address.is_unspecified())
}
