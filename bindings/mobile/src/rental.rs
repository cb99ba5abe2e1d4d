//! Handing sets out.

use hosewright_core::hose::Label;
use hosewright_core::rental::{Foreign, HandOutCheck};
use hosewright_core::text::visible;
use hosewright_core::{Logbook as Core, words};

use crate::{HoseLine, Logbook, Moment, RefusedError, Words};

/// One thing that stops a hand-out.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct StopLine {
    /// What stops it.
    pub words: Words,
    /// What to do about it.
    pub todo: Words,
    /// Whether a name and a reason can lift it.
    pub can_be_lifted: bool,
}

/// Something that was scanned and is not of the set.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct ForeignLine {
    /// What was scanned.
    pub scanned: String,
    /// The hose's tag, where it is on record.
    pub code: Option<String>,
    /// Where it belongs, or why it is not known.
    pub words: Words,
}

impl ForeignLine {
    fn of(foreign: &Foreign) -> Self {
        Self {
            scanned: foreign.scanned.clone(),
            code: foreign.hose.as_ref().map(|hose| hose.code.to_string()),
            words: foreign.words.as_str().into(),
        }
    }
}

/// A hand-out as it is with what was scanned so far.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct HandOut {
    /// The set.
    pub set: Words,
    /// What was scanned so far, in that order.
    pub scanned: Vec<String>,
    /// Whether nothing stops it.
    pub ready: bool,
    /// The same in one line.
    pub words: Words,
    /// Everything that stops it, what no reason can lift first.
    pub stops: Vec<StopLine>,
    /// Whether a name and a reason would lift all that stops it.
    pub can_be_lifted: bool,
    /// The same in words; none if nothing stops it.
    pub lifting: Option<Words>,
    /// Hoses of the set that were scanned.
    pub found: Vec<HoseLine>,
    /// Hoses of the set that were not.
    pub missing: Vec<HoseLine>,
    /// What was scanned and is not of the set.
    pub foreign: Vec<ForeignLine>,
    /// Hoses that are on hold.
    pub held: Vec<HoseLine>,
    /// Hoses that are never to be dived again.
    pub retired: Vec<HoseLine>,
    /// Hoses that go out, and of which something is to be said.
    pub watch: Vec<HoseLine>,
}

impl HandOut {
    pub(crate) fn of(check: &HandOutCheck, scanned: Vec<String>) -> Self {
        let can_be_lifted = check.can_be_lifted();
        let lifts = if can_be_lifted {
            words::sets::OVERRIDE_LIFTS
        } else {
            words::sets::OVERRIDE_DOES_NOT_LIFT
        };
        let stops = check.stops.iter().map(|stop| StopLine {
            words: stop.words.as_str().into(),
            todo: stop.todo.as_str().into(),
            can_be_lifted: stop.can_be_lifted,
        });
        Self {
            set: check.set.to_string().into(),
            scanned,
            ready: check.ready,
            words: check.words.as_str().into(),
            stops: stops.collect(),
            can_be_lifted,
            lifting: (!check.ready).then(|| lifts.to_owned()).map(Into::into),
            found: HoseLine::all(&check.found),
            missing: HoseLine::all(&check.missing),
            foreign: check.foreign.iter().map(ForeignLine::of).collect(),
            held: HoseLine::all(&check.held),
            retired: HoseLine::all(&check.retired),
            watch: HoseLine::all(&check.watch),
        }
    }
}

/// A set that went out.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct HandedOut {
    /// The same in words.
    pub words: Words,
    /// What was lifted by the reason that was given.
    pub lifted: Vec<StopLine>,
    /// What the hirer is to be told.
    pub watch: Vec<HoseLine>,
}

#[uniffi::export]
impl Logbook {
    /// A hand-out as it is, with what was scanned before the phone was put
    /// away.
    ///
    /// # Errors
    /// [`RefusedError`] if there is no such set, it is not for rental, or the
    /// store cannot be read.
    pub fn hand_out(&self, set: String, moment: Moment) -> Result<HandOut, RefusedError> {
        let scanned: Vec<String> = self.drafts.find(&out_name(&set));
        let check = checked(&self.core(), &set, &scanned, &moment)?;
        Ok(HandOut::of(&check, scanned))
    }

    /// Takes in one scanned hose, and keeps it until the set went out.
    ///
    /// # Errors
    /// As [`Logbook::hand_out`], and where it cannot be kept.
    pub fn hand_out_scan(
        &self,
        set: String,
        text: String,
        moment: Moment,
    ) -> Result<HandOut, RefusedError> {
        let mut scanned: Vec<String> = self.drafts.find(&out_name(&set));
        if !scanned.contains(&text) {
            scanned.push(text);
        }
        let check = checked(&self.core(), &set, &scanned, &moment)?;
        self.drafts.keep(&out_name(&set), &scanned)?;
        Ok(HandOut::of(&check, scanned))
    }

    /// Puts back something that was scanned by mistake.
    ///
    /// # Errors
    /// As [`Logbook::hand_out_scan`].
    pub fn hand_out_unscan(
        &self,
        set: String,
        text: String,
        moment: Moment,
    ) -> Result<HandOut, RefusedError> {
        let mut scanned: Vec<String> = self.drafts.find(&out_name(&set));
        scanned.retain(|other| *other != text);
        let check = checked(&self.core(), &set, &scanned, &moment)?;
        self.drafts.keep(&out_name(&set), &scanned)?;
        Ok(HandOut::of(&check, scanned))
    }

    /// Begins the scanning again.
    pub fn hand_out_anew(&self, set: String) {
        self.drafts.forget(&out_name(&set));
    }

    /// Hands the set out with what was scanned. `override_why` lifts what can
    /// be lifted; it stays on record with the name of who gave it.
    ///
    /// # Errors
    /// [`RefusedError::HandOutStopped`] if something stops it; others where
    /// the ticket cannot be or the store cannot be written. What was scanned stays.
    pub fn hand_out_finish(
        &self,
        set: String,
        ticket: String,
        override_why: Option<String>,
        moment: Moment,
    ) -> Result<HandedOut, RefusedError> {
        let scanned: Vec<String> = self.drafts.find(&out_name(&set));
        let ticket = Label::new("the ticket", &ticket)?;
        let why = override_why.map(|why| Label::new("the reason", &why)).transpose()?;
        let (mut core, now) = (self.core(), moment.core()?);
        let name = set_name(&core, &set)?;
        let check = core.hand_out(&name, ticket.clone(), &scanned, why, None, &now)?;
        self.drafts.forget(&out_name(&set));
        let words = words::sets::handed_out(&check.set, &ticket, check.going().len());
        let shown = HandOut::of(&check, scanned);
        Ok(HandedOut { words: words.into(), lifted: shown.stops, watch: shown.watch })
    }
}

/// The set that a phone names as it was shown it.
pub(crate) fn set_name(core: &Core, shown: &str) -> Result<Label, RefusedError> {
    let typed = Label::new("a set's name", shown)?;
    if !shown.contains("<U+") {
        return Ok(typed);
    }
    let sets = core.sets()?.into_iter().map(|set| set.name);
    let known: Vec<Label> = sets.filter(|name| visible(name.as_str()) == shown).collect();
    let exact = known.contains(&typed);
    Ok(known.into_iter().next().filter(|_| !exact).unwrap_or(typed))
}

fn out_name(set: &str) -> String {
    format!("hand-out {}", set.trim())
}

fn checked(
    core: &Core,
    set: &str,
    scanned: &[String],
    moment: &Moment,
) -> Result<HandOutCheck, RefusedError> {
    Ok(core.hand_out_check(&set_name(core, set)?, scanned, &moment.core()?)?)
}
