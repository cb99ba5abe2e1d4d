//! Binds, says where it is, and serves until Ctrl-C.

use std::net::Ipv4Addr;
use std::path::PathBuf;
use std::sync::Arc;

use chrono::NaiveDate;
use hosewright_core::hose::Label;
use hosewright_core::measure::Units;
use tokio::net::TcpListener;

use super::answering;
use super::calendar::CalendarAddress;
use super::certificate::Certificate;
use super::connections::{self, Patience};
use super::lan::PassPhrase;
use super::network;
use super::opening;
use super::records::Record;
use super::shared::{Opens, Shared};
use super::site;
use crate::failure::Failure;
use crate::web::FILES;

/// What is to be served, and to whom.
pub struct Serving {
    /// The record's file.
    pub store: PathBuf,
    /// The port; 0 takes one that is free.
    pub port: u16,
    /// What browsers of other devices have to give; none if only this one is served.
    pub lan: Option<PassPhrase>,
    /// The port for other devices; 0 takes one that is free.
    pub lan_port: u16,
    /// An authority's certificate for them, in place of our own.
    pub certificate: Option<Certificate>,
    /// The day that is pretended.
    pub today: Option<NaiveDate>,
    /// Who writes, if nobody says it.
    pub by: Label,
    /// The units in which lengths and pressures are shown.
    pub units: Units,
    /// How long a sender may take.
    pub patience: Patience,
    /// The folder of the account's keys.
    pub keys: PathBuf,
    /// The page for phones' browsers, if it is served too.
    pub site: Option<Site>,
}

/// The page for phones' browsers, for all who reach this computer.
pub struct Site {
    /// Its port.
    pub port: u16,
    /// The certificate that browsers trust.
    pub certificate: Certificate,
}

/// Serves until Ctrl-C; `ready` is told the addresses once they answer.
pub fn serve(
    serving: Serving,
    ready: impl FnOnce(&[String]) -> Result<(), Failure>,
) -> Result<(), Failure> {
    let record = Record::open(&serving.store, None)?.in_units(serving.units);
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    runtime.block_on(async {
        let listener = bound(Ipv4Addr::LOCALHOST, serving.port, "--port").await?;
        let site = match serving.site {
            Some(Site { port, certificate }) => {
                let listener = bound(Ipv4Addr::UNSPECIFIED, port, "--web-port").await?;
                Some((listener, (certificate.acceptor, certificate.digest)))
            }
            None => None,
        };
        let port = listener.local_addr()?.port();
        let calendar = CalendarAddress::new(&serving.keys);
        let day = (serving.today, serving.by);
        let patience = serving.patience;
        let mut shared = Shared::new(record, day, port, patience, calendar)?;
        let (keys, certificate) = (serving.keys, serving.certificate);
        let router = answering::for_network;
        shared.opens = Some(Opens { keys, port: serving.lan_port, router, certificate });
        let shared = Arc::new(shared);
        let mut addresses = vec![network::here(port)];
        if let Some(pass_phrase) = serving.lan {
            let door = opening::open(&shared, Some(pass_phrase), true).await?;
            let there = door.shown().addresses.into_iter();
            addresses.extend(there.map(|address| format!("https://{address}/")));
        }
        ready(&addresses)?;
        let page = connections::taken(
            &listener,
            None,
            answering::router(shared.clone()),
            patience,
            stopped(),
        );
        match &site {
            None => page.await,
            Some((listener, tls)) => {
                let files = site::router(FILES);
                let tls = Some(tls.clone());
                let site = connections::taken(listener, tls, files, patience, stopped());
                tokio::join!(page, site);
            }
        }
        shared.under_way.end();
        if let Some(door) = shared.set_door(None) {
            door.shut();
            door.ended().await;
        }
        Ok(())
    })
}

async fn bound(to: Ipv4Addr, port: u16, option: &str) -> Result<TcpListener, Failure> {
    let refused = |why| format!("port {port} can't be served: {why}; name another with {option}");
    let bound = TcpListener::bind((to, port)).await;
    bound.map_err(|source| Failure::refused(refused(source)))
}

async fn stopped() {
    // Where Ctrl-C cannot be heard, the system ends the program itself.
    if tokio::signal::ctrl_c().await.is_err() {
        std::future::pending::<()>().await;
    }
}
