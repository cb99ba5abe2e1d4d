//! What the page asks of the desk.

use std::io::Write;
use std::sync::Arc;

use data_encoding::HEXLOWER;
use hosewright_core::Logbook;
use hosewright_page::{Host, Made, Refusal, Upload, Waiting, Watching};

use super::lock::held;
use super::shared::Shared;
use super::visit::Visit;
use super::{files, network};
use crate::{moment, store};

/// The desk, for one request.
pub struct Desk<'v> {
    visit: &'v Visit,
}

impl<'v> Desk<'v> {
    /// The desk, for a request.
    pub const fn new(visit: &'v Visit) -> Self {
        Self { visit }
    }

    fn waiting(&self, what: Waiting) -> &super::waiting::Waiting<Arc<dyn Upload>> {
        let Shared { lists, entries, holdings, films, .. } = &*self.visit.shared;
        match what {
            Waiting::List => lists,
            Waiting::Entries => entries,
            Waiting::Holdings => holdings,
            Waiting::Film => films,
        }
    }
}

impl Host for Desk<'_> {
    fn read(&self, work: &mut dyn FnMut(&Logbook)) -> Result<(), Refusal> {
        self.visit.record.read(|logbook| {
            work(logbook);
            Ok(())
        })
    }

    fn write(&self, work: &mut dyn FnMut(&mut Logbook)) -> Result<(), Refusal> {
        self.visit.record.write(work);
        Ok(())
    }

    fn make(
        &self,
        write: &mut dyn FnMut(&mut dyn Write) -> Result<(), Refusal>,
    ) -> Result<Made, Refusal> {
        Ok(Made(Box::new(files::made(write)?)))
    }

    fn keep(&self, what: Waiting, file: Arc<dyn Upload>) -> Result<String, Refusal> {
        self.waiting(what).keep(file)
    }

    fn kept(&self, what: Waiting, key: &str) -> Result<Arc<dyn Upload>, Refusal> {
        self.waiting(what).find(key)
    }

    fn done(&self, what: Waiting, key: &str) {
        self.waiting(what).done(key);
    }

    fn watching(&self, work: &mut dyn FnMut(&mut Watching)) -> Result<(), Refusal> {
        let Visit { shared, session, request, .. } = self.visit;
        let watching = shared.watchings.of(session, request.demo);
        work(&mut held(&watching));
        Ok(())
    }

    fn make_demo(&self) -> Result<(), Refusal> {
        self.visit.shared.make_demo()
    }

    fn sign_in(&self, pass_phrase: &str) -> Result<Option<String>, Refusal> {
        let Some(lan) = &self.visit.shared.lan else { return Ok(None) };
        if !lan.may_try(self.visit.from, moment::since_start()) {
            return Err(Refusal::TooMany);
        }
        if !lan.pass_phrase.is(pass_phrase).map_err(Refusal::bad)? {
            return Ok(None);
        }
        let key = HEXLOWER.encode(&store::random::<32>()?);
        lan.begin(&key, moment::since_start());
        Ok(Some(key))
    }

    fn calendar(&self) -> Result<Vec<String>, Refusal> {
        let shared = &self.visit.shared;
        let Some(name) = shared.calendar.find()? else { return Ok(Vec::new()) };
        let at = network::addresses(shared.port, shared.lan.is_some()).into_iter();
        Ok(at.map(|address| format!("{address}calendar/{name}")).collect())
    }

    fn is_calendar(&self, name: &str) -> Result<bool, Refusal> {
        Ok(self.visit.shared.calendar.is(name)?)
    }

    fn set_calendar(&self, on: bool) -> Result<(), Refusal> {
        let calendar = &self.visit.shared.calendar;
        Ok(if on { calendar.renew() } else { calendar.end() }?)
    }

    fn sign_out(&self) {
        if let Some(lan) = &self.visit.shared.lan {
            lan.end(&self.visit.session);
        }
    }
}
