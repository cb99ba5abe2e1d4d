//! What the page asks of the desk.

use std::io::Write;
use std::sync::Arc;

use data_encoding::HEXLOWER;
use hosewright_core::Logbook;
use hosewright_core::device::{Role, Secret};
use hosewright_core::hose::Label;
use hosewright_core::journal::Moment;
use hosewright_core::words::counters;
use hosewright_page::{
    Host, Invited, Made, Meeting, Network, Refusal, Upload, Waiting, Watching, Work,
};
use tokio::runtime::Handle;
use zeroize::Zeroizing;

use super::callers::Right;
use super::lan::{Lan, PassPhrase, PassPhraseError};
use super::lock::held;
use super::shared::Shared;
use super::visit::Visit;
use super::{calls, files, network, opening};
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

    /// Whose meeting is meant.
    fn whose(&self) -> (&str, bool) {
        (&self.visit.session, self.visit.request.demo)
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

/// Begins a session.
fn begun(lan: &Lan) -> Result<String, Refusal> {
    let key = HEXLOWER.encode(&store::random::<32>()?);
    lan.begin(&key, moment::since_start());
    Ok(key)
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
        let Some(door) = self.visit.shared.door() else { return Ok(None) };
        let lan = &door.lan;
        if !lan.may_try(self.visit.from, moment::since_start()) {
            return Err(Refusal::TooMany);
        }
        let chosen = lan.pass_phrase.as_ref();
        let right = chosen.map(|chosen| chosen.is(pass_phrase)).transpose();
        if right.map_err(Refusal::bad)? != Some(true) {
            return Ok(None);
        }
        begun(lan).map(Some)
    }

    fn sign_in_by_pin(
        &self,
        name: &Label,
        pin: &str,
        moment: &Moment,
    ) -> Result<Option<String>, Refusal> {
        let Some(door) = self.visit.shared.door() else { return Ok(None) };
        if !door.lan.may_try(self.visit.from, moment::since_start()) {
            return Err(Refusal::TooMany);
        }
        let record = &self.visit.shared.record;
        match record.write(|logbook| logbook.is_pin_of(name, pin, moment))? {
            true => begun(&door.lan).map(Some),
            false => Ok(None),
        }
    }

    fn calendar(&self) -> Result<Vec<String>, Refusal> {
        let shared = &self.visit.shared;
        let Some(name) = shared.calendar.find()? else { return Ok(Vec::new()) };
        let there = shared.door().map(|door| network::in_network(door.port)).unwrap_or_default();
        let there = there.into_iter().map(|address| format!("https://{address}/"));
        let at = std::iter::once(network::here(shared.port)).chain(there);
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
        if let Some(door) = self.visit.shared.door() {
            door.lan.end(&self.visit.session);
        }
    }

    fn network(&self) -> Option<Network> {
        self.visit.shared.door().map(|door| door.shown())
    }

    fn pass_phrase_chosen(&self) -> bool {
        let opens = self.visit.shared.opens.as_ref();
        opens.is_some_and(|opens| PassPhrase::find(&opens.keys).is_ok())
    }

    fn open_network(&self, pass_phrase: Option<&str>) -> Result<(), Refusal> {
        let shared = &self.visit.shared;
        let keys = shared.opens.as_ref().map(|opens| &opens.keys).ok_or(Refusal::NoPage)?;
        let bad = |error: PassPhraseError| Refusal::at("pass", error);
        let pass_phrase = match pass_phrase {
            Some(typed) => {
                let chosen = PassPhrase::choose(typed, store::random()?).map_err(bad)?;
                chosen.keep(keys).map_err(bad)?;
                Some(chosen)
            }
            None => match PassPhrase::find(keys) {
                Ok(found) => Some(found),
                Err(PassPhraseError::None) => None,
                Err(error) => return Err(bad(error)),
            },
        };
        let opened = opening::open(shared, pass_phrase, false);
        Handle::current().block_on(opened)?;
        Ok(())
    }

    fn close_network(&self) -> Result<(), Refusal> {
        if let Some(door) = self.visit.shared.set_door(None) {
            door.shut();
        }
        Ok(())
    }

    fn begin(&self, meeting: Meeting, work: Work) -> Result<(), Refusal> {
        self.visit.shared.under_way.begin(self.whose(), meeting, &self.visit.record, work)
    }

    fn call(
        &self,
        meeting: Meeting,
        place: &str,
        pass_word: Option<&str>,
        moment: &Moment,
    ) -> Result<(), Refusal> {
        self.begin(meeting, calls::work(&self.visit.record, place, pass_word, moment)?)
    }

    fn meeting(&self) -> Option<Arc<Meeting>> {
        self.visit.shared.under_way.of(self.whose())
    }

    fn stop_meeting(&self) {
        self.visit.shared.under_way.stop(self.whose());
    }

    fn invite(
        &self,
        role: Role,
        name: Option<Label>,
        owner_pass: Option<&str>,
    ) -> Result<(), Refusal> {
        let door = self.visit.shared.door().ok_or_else(|| Refusal::bad(counters::CLOSED))?;
        let secret = Secret::from(store::random()?);
        let owner_pass = owner_pass.map(|pass| Zeroizing::new(pass.to_owned()));
        let right = Right { role, name, owner_pass };
        door.callers.invite(secret, right, moment::since_start());
        Ok(())
    }

    fn invited(&self) -> Invited<Secret> {
        let door = self.visit.shared.door();
        door.map_or(Invited::Nobody, |door| door.callers.invited(moment::since_start()))
    }

    fn uninvite(&self) {
        if let Some(door) = self.visit.shared.door() {
            door.callers.uninvite();
        }
    }
}
