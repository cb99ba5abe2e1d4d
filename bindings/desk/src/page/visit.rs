//! A request on its way to the page: what it brings with it, and the record that
//! it is about.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::sync::Arc;

use axum::extract::ConnectInfo;
use axum::http::request::Parts;
use chrono::NaiveDate;
use hosewright_core::hose::Label;
use hosewright_core::journal::Moment;
use hosewright_page::{Fields, Person, Refusal, Request};

use super::connections::Shows;
use super::cookies::{self, BY, DEMO, SESSION};
use super::records::Record;
use super::shared::Shared;
use crate::demo;
use crate::moment::moment;

/// A request on its way to the page.
#[derive(Clone)]
pub struct Visit {
    /// What all requests share.
    pub shared: Arc<Shared>,
    /// The record that it is about.
    pub record: Arc<Record>,
    /// What was asked.
    pub request: Request,
    /// The key of the session; empty if there is none.
    pub session: String,
    /// Whether it came on this computer, and not from the network.
    pub here: bool,
    /// From where it came.
    pub from: IpAddr,
}

impl Visit {
    /// What a request brings with it, but for its body.
    pub fn of(shared: &Arc<Shared>, parts: &Parts) -> Result<Self, Refusal> {
        let cookies = cookies::read(&parts.headers);
        let session = cookies.get(SESSION).to_owned();
        let shown = shared.demo().filter(|_| cookies.given(DEMO).is_some());
        let by = cookies.label(BY, "a name").ok().flatten().unwrap_or_else(|| shared.by.clone());
        let peer = parts.extensions.get::<ConnectInfo<SocketAddr>>();
        let from = peer.map_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED), |peer| peer.0.ip());
        let here = from.is_loopback() && parts.extensions.get::<Shows>().is_none();
        let person = Person {
            token: shared.token(&session),
            at_the_desk: here,
            signs_in: shared.door().is_some_and(|door| !here || door.asks_here),
        };
        let request = Request {
            method: parts.method.clone(),
            path: parts.uri.path().to_owned(),
            query: Fields::read(parts.uri.query().unwrap_or_default().as_bytes())?,
            form: Fields::default(),
            pictures: Vec::new(),
            upload: None,
            person,
            demo: shown.is_some(),
            moment: now(shared.pretended, shown.is_some(), by),
        };
        let record = shown.unwrap_or_else(|| shared.record.clone());
        Ok(Self { shared: shared.clone(), record, request, session, here, from })
    }
}

/// The demonstration plays on its own day.
fn now(pretended: Option<NaiveDate>, demo: bool, by: Label) -> Moment {
    let day = if demo { demo::TODAY.parse().ok() } else { pretended };
    moment(day, by)
}
