//! What all requests share.

use std::net::IpAddr;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError, RwLock};

use axum::Router;
use chrono::NaiveDate;
use data_encoding::HEXLOWER;
use hmac::{Hmac, KeyInit, Mac};
use hosewright_core::hose::Label;
use hosewright_page::{Refusal, Upload};
use sha2::Sha256;
use tokio::sync::{Semaphore, SemaphorePermit};

use super::calendar::CalendarAddress;
use super::certificate::Certificate;
use super::connections::Patience;
use super::door::Door;
use super::lock::held;
use super::records::Record;
use super::under_way::UnderWay;
use super::waiting::Waiting;
use super::watchings::Watchings;
use crate::failure::Failure;
use crate::store;

/// How many requests read or write a record at once, and how many read pictures. More at once
/// would not be answered sooner: they share the processor, and all of them come late.
const AT_ONCE: usize = 4;
const PICTURES_AT_ONCE: usize = 2;
/// How many files are on their way here at once: each is held in memory.
const FILES_AT_ONCE: usize = 16;

/// What opens the door to the shop's network.
pub struct Opens {
    /// The folder of the account's keys.
    pub keys: PathBuf,
    /// Its port; 0 takes one that is free.
    pub port: u16,
    /// What answers there.
    pub router: fn(Arc<Shared>) -> Router,
    /// An authority's certificate, in place of our own.
    pub certificate: Option<Certificate>,
}

/// What all requests share.
pub struct Shared {
    /// The shop's own record.
    pub record: Arc<Record>,
    /// The demonstration, once someone asked for it.
    demo: Mutex<Option<Arc<Record>>>,
    /// The day that is pretended, for tests and trying out.
    pub pretended: Option<NaiveDate>,
    /// Who writes, if nobody says it.
    pub by: Label,
    /// The port that is served.
    pub port: u16,
    /// The door to the shop's network, while it is open.
    door: RwLock<Option<Arc<Door>>>,
    /// What opens it, should someone ask for it: nothing in tests of the page alone.
    pub opens: Option<Opens>,
    /// Makes form tokens: as long as a block of SHA-256.
    secret: [u8; 64],
    /// Holds back what would overload the machine.
    pub work: Semaphore,
    /// The same for what goes through the whole stock: one after the other, so that
    /// the counter is answered in the meantime.
    pub stock: Semaphore,
    /// The same for pictures, which cost more.
    pub pictures: Semaphore,
    /// The same for files on their way here.
    pub files: Semaphore,
    /// How long a sender may take.
    pub patience: Patience,
    /// Lists that wait for a yes.
    pub lists: Waiting<Arc<dyn Upload>>,
    /// The same for what other devices wrote.
    pub entries: Waiting<Arc<dyn Upload>>,
    /// What other devices have, for films and files of the rest.
    pub holdings: Waiting<Arc<dyn Upload>>,
    /// What is shown as a film.
    pub films: Waiting<Arc<dyn Upload>>,
    /// What is watched.
    pub watchings: Watchings,
    /// The meeting that goes on.
    pub under_way: UnderWay,
    /// Where the calendar is read without a session.
    pub calendar: CalendarAddress,
}

impl Shared {
    /// What a page that begins has.
    pub fn new(
        record: Record,
        (pretended, by): (Option<NaiveDate>, Label),
        port: u16,
        patience: Patience,
        calendar: CalendarAddress,
    ) -> Result<Self, Failure> {
        Ok(Self {
            record: Arc::new(record),
            demo: Mutex::default(),
            pretended,
            by,
            port,
            door: RwLock::default(),
            opens: None,
            secret: store::random()?,
            work: Semaphore::new(AT_ONCE),
            stock: Semaphore::new(1),
            pictures: Semaphore::new(PICTURES_AT_ONCE),
            files: Semaphore::new(FILES_AT_ONCE),
            patience,
            lists: Waiting::default(),
            entries: Waiting::default(),
            holdings: Waiting::default(),
            films: Waiting::default(),
            watchings: Watchings::default(),
            under_way: UnderWay::default(),
            calendar,
        })
    }

    /// The door to the shop's network, if it is open.
    pub fn door(&self) -> Option<Arc<Door>> {
        self.door.read().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Puts another door in place of the one that was, which is returned.
    pub fn set_door(&self, door: Option<Arc<Door>>) -> Option<Arc<Door>> {
        std::mem::replace(&mut *self.door.write().unwrap_or_else(PoisonError::into_inner), door)
    }

    /// The token that a form of a session carries: only the desk's own pages know it.
    pub fn token(&self, session: &str) -> String {
        HEXLOWER.encode(&self.signed(session).finalize().into_bytes())
    }

    /// Whether this is the token of a session, compared in constant time.
    pub fn is_token(&self, session: &str, token: &str) -> bool {
        let token = HEXLOWER.decode(token.as_bytes());
        token.is_ok_and(|token| self.signed(session).verify_slice(&token).is_ok())
    }

    fn signed(&self, session: &str) -> Hmac<Sha256> {
        Hmac::<Sha256>::new(&self.secret.into()).chain_update(session)
    }

    /// The demonstration, if it was made.
    pub fn demo(&self) -> Option<Arc<Record>> {
        held(&self.demo).clone()
    }

    /// Makes the demonstration, once.
    pub fn make_demo(&self) -> Result<(), Refusal> {
        let mut demo = held(&self.demo);
        if demo.is_none() {
            *demo = Some(Arc::new(Record::demo()?));
        }
        Ok(())
    }

    /// Waits for a permit to do what is not done for all at once.
    pub async fn permit<'s>(&self, of: &'s Semaphore) -> Result<SemaphorePermit<'s>, Refusal> {
        of.acquire().await.map_err(|_| Refusal::closing())
    }

    /// Does what blocks without holding up who serves.
    pub async fn blocking<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> Result<T, Refusal> + Send + 'static,
    ) -> Result<T, Refusal> {
        let _permit = self.permit(&self.work).await?;
        tokio::task::spawn_blocking(work).await.map_err(|_| Refusal::failed())?
    }

    /// Whether a `Host` names this page. Another site whose name was made to
    /// point here sends its own name (DNS rebinding), which is refused; an
    /// address cannot be made to point elsewhere. On an encrypted connection the browser has
    /// compared the name with our certificate.
    pub fn answers_to(&self, host: &str) -> bool {
        let (name, port) = match host.rsplit_once(':') {
            Some((name, port)) if !port.ends_with(']') => (name, port.parse().ok()),
            _ => (host, Some(80)),
        };
        if port != Some(self.port) {
            return false;
        }
        let bare = name.trim_start_matches('[').trim_end_matches(']');
        match bare.parse::<IpAddr>() {
            Ok(address) => address.is_loopback(),
            Err(_) => name.eq_ignore_ascii_case("localhost"),
        }
    }
}
