//! Binds, says where it is, and serves until Ctrl-C.

use std::net::Ipv4Addr;
use std::path::PathBuf;
use std::sync::Arc;

use chrono::NaiveDate;
use hosewright_core::hose::Label;
use tokio::net::TcpListener;

use super::answering;
use super::calendar::CalendarAddress;
use super::connections::{self, Patience};
use super::lan::{Lan, PassPhrase};
use super::network;
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
    /// The folder of the account's keys.
    pub keys: PathBuf,
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
        let calendar = CalendarAddress::new(&serving.keys);
        let day = (serving.today, serving.by);
        let shared = Shared::new(record, day, port, (lan, serving.patience), calendar)?;
        ready(&network::addresses(port, open))?;
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
