//! Handing sets out and taking them back.

use hosewright_core::hose::Label;
use hosewright_core::inspection::Observation;
use hosewright_core::rental::{BroughtBack, Foreign, HandOutCheck, MOST_DIVES};
use hosewright_core::set_view::{Checked, PortView};
use hosewright_core::text::visible;
use hosewright_core::{Found, Logbook as Core, LogbookError, words};
use serde::{Deserialize, Serialize};

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

/// A hand-out as it stands with what was scanned so far.
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
    /// The same in words; none where nothing stops it.
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

/// Something seen on a hose that comes back.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, uniffi::Record)]
pub struct SeenOn {
    /// The hose, by whatever names it.
    pub hose: String,
    /// What was seen, as `run:cut:cover`.
    pub seen: String,
}

/// What is filled in of a return; what an earlier program kept has dives and
/// findings alone.
#[derive(Debug, Default, Serialize, Deserialize)]
struct ReturnDraft {
    #[serde(default)]
    dives: Option<u32>,
    #[serde(default)]
    seen: Vec<SeenOn>,
    #[serde(default)]
    here: Vec<String>,
    #[serde(default)]
    missing: Vec<String>,
}

/// A return as far as it is filled in.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct ReturnForm {
    /// The set.
    pub set: Words,
    /// Where it is and how it stands.
    pub words: Words,
    /// What is asked for.
    pub lead: Words,
    /// The hoses that are out.
    pub hoses: Vec<HoseLine>,
    /// The codes of those that are here: they were scanned.
    pub here: Vec<String>,
    /// The codes of those that did not come back.
    pub missing: Vec<String>,
    /// Whether it is said of every hose that is out where it is.
    pub complete: bool,
    /// The dives that were made with each; none where nobody knows.
    pub dives: Option<u32>,
    /// What counts where nobody knows.
    pub unknown_dives: Words,
    /// The most dives that one return can bring.
    pub most_dives: u32,
    /// What was seen.
    pub seen: Vec<SeenOn>,
}

/// A set that came back.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct TakenBack {
    /// What it comes to.
    pub words: Words,
    /// Whether a hose of it is on hold or to be retired.
    pub quarantined: bool,
    /// The hoses that came back, as they stand now.
    pub hoses: Vec<HoseLine>,
    /// The hoses that did not come back: each is on hold.
    pub missing: Vec<HoseLine>,
    /// Hoses that were out and are no longer in the set, or the other way round.
    pub differences: Vec<Words>,
}

#[uniffi::export]
impl Logbook {
    /// A hand-out as it stands, with what was scanned before the phone was put
    /// away.
    ///
    /// # Errors
    /// [`RefusedError`] where there is no such set, it is not for rental, or the
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

    /// Begins the scanning anew.
    pub fn hand_out_anew(&self, set: String) {
        self.drafts.forget(&out_name(&set));
    }

    /// Hands the set out with what was scanned. `override_why` lifts what can
    /// be lifted; it stays on record with the name of who gave it.
    ///
    /// # Errors
    /// [`RefusedError::HandOutStopped`] where something stops it; others where
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

    /// A return as far as it is filled in.
    ///
    /// # Errors
    /// [`RefusedError`] where there is no such set or the store cannot be read.
    pub fn take_back(&self, set: String, moment: Moment) -> Result<ReturnForm, RefusedError> {
        let draft = self.drafts.find(&back_name(&set));
        return_form(&self.core(), &set, draft, &moment)
    }

    /// Takes in one scanned hose: it is here. It is kept until the set is taken
    /// back.
    ///
    /// # Errors
    /// [`RefusedError`] where it is no hose or was not out with the set, or it
    /// cannot be kept.
    pub fn take_back_scan(
        &self,
        set: String,
        text: String,
        moment: Moment,
    ) -> Result<ReturnForm, RefusedError> {
        let core = self.core();
        let record = core.set(&set_name(&core, &set)?)?;
        let out = record.out.ok_or_else(|| LogbookError::NotOut(record.name.clone()))?;
        let hose = core.find_typed(&text)?.hose;
        let code = core.record(hose)?.tag();
        if !out.hoses.contains(&hose) {
            let (hose, set, ticket) = (code, record.name, out.ticket);
            return Err(LogbookError::NotOutWith { hose, set, ticket }.into());
        }
        let mut draft: ReturnDraft = self.drafts.find(&back_name(&set));
        let code = code.to_string();
        draft.missing.retain(|other| *other != code);
        if !draft.here.contains(&code) {
            draft.here.push(code);
        }
        self.drafts.keep(&back_name(&set), &draft)?;
        return_form(&core, &set, draft, &moment)
    }

    /// Fills the return in: the dives (none where nobody knows), the codes of the
    /// hoses that are here and that are missing, and what was seen. It is kept
    /// until the set is taken back.
    ///
    /// # Errors
    /// [`RefusedError`] where what was seen is no finding or on no hose on
    /// record, or it cannot be kept.
    pub fn take_back_fill(
        &self,
        set: String,
        dives: Option<u32>,
        here: Vec<String>,
        missing: Vec<String>,
        seen: Vec<SeenOn>,
        moment: Moment,
    ) -> Result<ReturnForm, RefusedError> {
        let core = self.core();
        for there in &seen {
            let hose = core.find_typed(&there.hose)?.hose;
            there.seen.parse::<Observation>()?.rule(core.record(hose)?.specification.as_ref())?;
        }
        let draft = ReturnDraft { dives, seen, here, missing };
        self.drafts.keep(&back_name(&set), &draft)?;
        return_form(&core, &set, draft, &moment)
    }

    /// Takes the set back: the dives, where each hose is, and a quick look at each
    /// that is here.
    ///
    /// # Errors
    /// [`RefusedError`] where it is not out, a hose is neither here nor missing or
    /// something seen was on another hose, or the store cannot be written. What is
    /// filled in stays.
    pub fn take_back_finish(&self, set: String, moment: Moment) -> Result<TakenBack, RefusedError> {
        let draft: ReturnDraft = self.drafts.find(&back_name(&set));
        let seen: Result<Vec<(String, Observation)>, RefusedError> =
            draft.seen.into_iter().map(|there| Ok((there.hose, there.seen.parse()?))).collect();
        let (mut core, now) = (self.core(), moment.core()?);
        let name = set_name(&core, &set)?;
        let (dives, scanned, missing) = (draft.dives, draft.here, draft.missing);
        let back = BroughtBack { dives, scanned, missing, seen: seen? };
        let back = core.take_back(&name, &back, None, &now)?;
        self.drafts.forget(&back_name(&set));
        Ok(TakenBack {
            words: back.words.into(),
            quarantined: back.quarantined,
            hoses: HoseLine::all(&back.hoses),
            missing: HoseLine::all(&back.missing),
            differences: Words::all(back.differences),
        })
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

fn back_name(set: &str) -> String {
    format!("return {}", set.trim())
}

fn checked(
    core: &Core,
    set: &str,
    scanned: &[String],
    moment: &Moment,
) -> Result<HandOutCheck, RefusedError> {
    Ok(core.hand_out_check(&set_name(core, set)?, scanned, &moment.core()?)?)
}

fn return_form(
    core: &Core,
    set: &str,
    draft: ReturnDraft,
    moment: &Moment,
) -> Result<ReturnForm, RefusedError> {
    let (name, now) = (set_name(core, set)?, moment.core()?);
    let view = core.set_view(&name, &now)?;
    let out = core.set(&name)?.out.map(|out| out.hoses).unwrap_or_default();
    let mut hoses = Vec::new();
    for hose in out {
        let answer = core.answer_alone(Found { hose, tag: None }, &now)?;
        let in_port =
            |port: &&PortView| port.hose.as_ref().is_some_and(|own| own.code == answer.code);
        let port = view.ports.iter().find(in_port).map(|port| port.port.name);
        hoses.push(HoseLine::of(&Checked::of(&answer, port)));
    }
    let told =
        |line: &HoseLine| draft.here.contains(&line.code) || draft.missing.contains(&line.code);
    Ok(ReturnForm {
        set: view.name.to_string().into(),
        words: view.words.as_str().into(),
        lead: words::returns::RETURN_LEAD.into(),
        complete: hoses.iter().all(told),
        hoses,
        here: draft.here,
        missing: draft.missing,
        dives: draft.dives,
        unknown_dives: words::returns::dives_unknown(core.dives_a_day(&now)?).into(),
        most_dives: MOST_DIVES,
        seen: draft.seen,
    })
}
