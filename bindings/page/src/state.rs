//! A request with what its screen needs.

use std::io::Write;
use std::sync::Arc;

use hosewright_core::Logbook;
use hosewright_core::hose::Label;
use hosewright_core::journal::Moment;
use hosewright_core::staff::Person;
use hosewright_core::tag::Code;
use hosewright_core::view::form::staff::{AS, PIN};
use http::StatusCode;
use http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};

use crate::form::{Form, Refused};
use crate::host::{Host, Upload};
use crate::meeting::HERE;
use crate::refusal::Refusal;
use crate::request::Request;
use crate::response::{Body, Response, Shown, redirect, redirect_saved};

/// The field with which the second step says yes to what looks like a slip.
pub const SURE: &str = "sure";
/// The field of the pass phrase of the owner's key.
pub const OWNER_PASS: &str = "owner_pass";

/// A request with what its screen needs.
#[derive(Clone, Copy)]
pub struct State<'r> {
    /// What was asked.
    pub request: &'r Request,
    /// Who serves it.
    pub host: &'r dyn Host,
    /// What stands for the names in the pattern of the path.
    pub parameters: &'r [(&'static str, String)],
    /// Whether an address is a screen of this page.
    pub is_screen: fn(&str) -> bool,
    /// The form that was refused, and is shown again on this screen.
    pub refused: Option<&'r Refused<'r>>,
}

impl State<'_> {
    /// What stands for a name in the pattern of the path.
    pub fn parameter(&self, name: &str) -> &str {
        let found = self.parameters.iter().find(|(known, _)| *known == name);
        found.map_or("", |(_, text)| text)
    }

    /// A form that is sent to an address.
    pub fn form(&self, action: impl Into<String>) -> Form<'_> {
        Form::new(action, self.request, self.refused)
    }

    /// Reads the record.
    pub fn read<T>(
        &self,
        work: impl FnOnce(&Logbook, &Moment) -> Result<T, Refusal>,
    ) -> Result<T, Refusal> {
        let (mut work, mut done) = (Some(work), None);
        self.host.read(&mut |logbook| {
            done = work.take().map(|work| work(logbook, &self.request.moment));
        })?;
        done.unwrap_or_else(|| Err(Refusal::failed()))
    }

    /// Writes in the record. What looks like a slip is refused with its questions, and
    /// what is for others to do with who they are, until the second step has the answer.
    pub fn write<T>(
        &self,
        work: impl FnOnce(&mut Logbook, &Moment) -> Result<T, Refusal>,
    ) -> Result<T, Refusal> {
        let sure = self.request.form.ticked(SURE);
        let (moment, pin) = (self.writer()?, self.pin());
        let owner_pass = self.request.form.given(OWNER_PASS);
        let (mut work, mut done) = (Some(work), None);
        self.host.write(&mut |logbook| {
            logbook.set_sure(sure);
            if let Some(typed) = owner_pass {
                logbook.offer_owner_pass(typed);
            }
            let proven = pin.map_or(Ok(()), |pin| logbook.offer_pin(pin, &moment));
            done = work.take().map(|work| {
                proven?;
                work(logbook, &moment)
            });
            logbook.forget_offered_pin();
            logbook.forget_owner_pass();
            logbook.set_sure(false);
        })?;
        done.unwrap_or_else(|| Err(Refusal::failed()))
    }

    /// Now, and who writes: whoever says yes for this once, else the browser's own name.
    fn writer(&self) -> Result<Moment, Refusal> {
        let mut moment = self.request.moment.clone();
        if let Some(by) = self.request.form.label(AS, "a name")? {
            moment.by = by;
        }
        Ok(moment)
    }

    /// The PIN that was given.
    fn pin(&self) -> Option<&str> {
        self.request.form.given(PIN)
    }

    /// The names of those who work here.
    pub fn staff(&self) -> Vec<Label> {
        let all = self.read(|logbook, _| Ok(logbook.staff()?)).unwrap_or_default();
        all.into_iter().filter(Person::is_here).map(|person| person.name).collect()
    }

    /// Writes about the hose of the path, and leads to it.
    pub fn save_hose(
        &self,
        work: impl FnOnce(&mut Logbook, Code, &Moment) -> Result<Code, Refusal>,
    ) -> Shown {
        let tag = self.write(|logbook, moment| {
            let hose = logbook.find_typed(self.parameter("code"))?.hose;
            work(logbook, hose, moment)
        })?;
        Ok(redirect_saved(tag))
    }

    /// Leads to a meeting that was begun; or to one of the same person's that goes on already.
    pub fn begun(&self, began: Result<(), Refusal>) -> Shown {
        let goes_on = || self.host.meeting().is_some_and(|meeting| meeting.goes_on());
        match began {
            Err(Refusal::Busy) if goes_on() => Ok(redirect(&format!("{HERE}?busy=yes"))),
            other => other.map(|()| redirect(HERE)),
        }
    }

    /// A file of a content type: `inline` to be seen, `attachment` to be kept.
    pub fn file(
        &self,
        content_type: &str,
        (how, name): (&str, &str),
        write: impl FnOnce(&mut dyn Write) -> Result<(), Refusal>,
    ) -> Shown {
        let mut write = Some(write);
        let made = self.host.make(&mut |out| match write.take() {
            Some(write) => write(out),
            None => Err(Refusal::failed()),
        })?;
        let headers = vec![
            (CONTENT_TYPE, content_type.to_owned()),
            (CONTENT_DISPOSITION, format!("{how}; filename=\"{name}\"")),
        ];
        let status = StatusCode::OK;
        Ok(Response { status, headers, body: Body::Made(made), remember: None })
    }

    /// The file that was sent.
    pub fn upload(&self) -> Result<&Arc<dyn Upload>, Refusal> {
        self.request.upload.as_ref().ok_or_else(|| Refusal::at("file", "choose a file first"))
    }

    /// The picture of a field; empty if none was sent.
    pub fn picture(&self, name: &str) -> &[u8] {
        let found = self.request.pictures.iter().find(|(known, _)| known == name);
        found.map_or(&[], |(_, bytes)| bytes)
    }

    /// What the owner's key does is done at the desk's own computer: who knows the pass phrase
    /// is not the owner.
    pub fn at_the_desk(&self) -> Result<(), Refusal> {
        if self.request.person.at_the_desk { Ok(()) } else { Err(Refusal::AtTheDesk) }
    }
}
