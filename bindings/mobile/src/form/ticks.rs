//! Hoses that tick off one after another, before a camera that stays open: those of a set
//! that is handed out, and of one that is taken back.

use hosewright_core::hose::Label;
use hosewright_core::set_view::Checked;
use hosewright_core::tag::{Code, Payload};
use hosewright_core::view::Action;
use hosewright_core::view::form::{Filled, rental};
use hosewright_core::words::{labels, rental as say};
use hosewright_core::{Logbook as Core, LogbookError, journal};

use super::of::Task;
use super::shown::HoseList;
use super::{Draft, FormOf, name};
use crate::{HoseLine, Logbook, Moment, RefusedError, Words};

/// How far the hoses of a set are ticked off.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct TicksShown {
    /// What stands over it.
    pub title: Words,
    /// How many are still to scan.
    pub words: Words,
    /// Those, and those that were scanned.
    pub lists: Vec<HoseList>,
    /// Whether this phone says aloud what ticks off.
    pub aloud: bool,
}

/// What came of a tag that was held before the camera.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Ticked {
    /// Which hose, and how many are still to scan.
    pub(crate) words: String,
    /// Whether it is one of the set.
    pub(crate) well: bool,
    /// Whether all of them are there now.
    pub(crate) all: bool,
}

/// The hoses of a set, by whether they were scanned.
struct Ticking {
    title: String,
    open: Vec<Checked>,
    here: Vec<Checked>,
}

impl FormOf {
    /// Whether hoses tick off for it before a camera.
    pub(crate) const fn ticks(&self) -> bool {
        matches!(self, Self::HandOut { .. } | Self::TakeBack { .. })
    }
}

impl Logbook {
    /// How far the hoses of a form are ticked off.
    pub(crate) fn ticks(&self, of: &FormOf, moment: &Moment) -> Result<TicksShown, RefusedError> {
        let (core, now) = (self.core(), moment.core()?);
        let (task, draft) = self.begun(&core, of)?;
        let ticking = ticking(&core, task, &draft.filled, &now)?;
        let list = |title: &str, open: bool, hoses: &[Checked]| HoseList {
            title: title.into(),
            open,
            hoses: HoseLine::all(hoses),
        };
        let lists =
            [list(labels::MISSING, true, &ticking.open), list(labels::FOUND, false, &ticking.here)];
        Ok(TicksShown {
            title: ticking.title.into(),
            words: say::to_scan(ticking.open.len(), !ticking.here.is_empty()).into(),
            lists: lists.into_iter().filter(|list| !list.hoses.is_empty()).collect(),
            aloud: self.drafts.speaks(),
        })
    }

    /// Ticks a hose off. One that belongs elsewhere is there as well, and its form says so.
    pub(crate) fn tick(
        &self,
        of: &FormOf,
        text: &str,
        moment: &Moment,
    ) -> Result<Ticked, RefusedError> {
        let (core, now) = (self.core(), moment.core()?);
        let (task, mut draft) = self.begun(&core, of)?;
        let found = match core.find_typed(text) {
            Ok(found) => Some(core.answer_found(found, &now)?.code),
            // A tag that no hose on record has can be on the set, and is none of its hoses.
            Err(_) if Payload::parse(text).is_ok() => None,
            Err(why) => return Err(why.into()),
        };
        let before = ticking(&core, task, &draft.filled, &now)?;
        let is = |hose: &&Checked| Some(hose.code) == found;
        if let Some(hose) = before.here.iter().find(is) {
            let words = say::ticked_before(&called(hose), before.open.len());
            return Ok(Ticked { words, well: true, all: before.open.is_empty() });
        }
        task.touch(&core, &mut draft.filled, (rental::SCANNED, text), &now)?;
        self.drafts.keep(&name(task), &Some(&draft))?;
        let left = ticking(&core, task, &draft.filled, &now)?.open.len();
        Ok(match before.open.iter().find(is) {
            Some(hose) => {
                Ticked { words: say::ticked(&called(hose), left), well: true, all: left == 0 }
            }
            None => {
                let code = found.map_or_else(|| text.to_owned(), |code| code.to_string());
                Ticked { words: say::not_of_this(&code), well: false, all: false }
            }
        })
    }

    /// Whether nothing was scanned yet for a form for which hoses tick off.
    pub(crate) fn ticks_first(&self, of: &FormOf, moment: &Moment) -> Result<bool, RefusedError> {
        if !of.ticks() {
            return Ok(false);
        }
        let (core, now) = (self.core(), moment.core()?);
        let (task, draft): (Task, Draft) = self.begun(&core, of)?;
        let ticking = ticking(&core, task, &draft.filled, &now)?;
        let scanned = draft.filled.all(rental::SCANNED).next().is_some();
        Ok(!scanned && ticking.here.is_empty() && !ticking.open.is_empty())
    }
}

/// A hose as somebody who holds it calls it.
fn called(hose: &Checked) -> String {
    let number = hose.number.as_ref().map(ToString::to_string);
    let port = hose.port.map(|port| port.to_string());
    number.or(port).unwrap_or_else(|| hose.code.to_string())
}

fn ticking(
    core: &Core,
    task: Task,
    filled: &Filled,
    now: &journal::Moment,
) -> Result<Ticking, RefusedError> {
    match task {
        Task::HandOut(set) => {
            let (check, _) = core.hand_out_form(&Label::from(set), filled, now)?;
            // What is out already, or can't go, is said by the form.
            let stays = check.already_out.is_some();
            let open = if stays { Vec::new() } else { check.missing };
            Ok(Ticking { title: labels::set(&check.set), open, here: check.found })
        }
        Task::Of(action @ Action::TakeBack { set }) => {
            let set = Label::from(set);
            let slip = core.slip(&set, now)?.ok_or_else(|| LogbookError::NotOut(set.clone()))?;
            let form = core.form(action, filled, now)?;
            let said = |code: Code| {
                let at = format!("{code}|at");
                form.fields().find(|field| field.name == at).map(|f| f.text_value().to_owned())
            };
            let mut ticking =
                Ticking { title: labels::set(&slip.set), open: Vec::new(), here: Vec::new() };
            for hose in slip.hoses {
                match said(hose.code).as_deref() {
                    Some("here") => ticking.here.push(hose),
                    // Said to be missing, it is not looked for.
                    Some("missing") => {}
                    _ => ticking.open.push(hose),
                }
            }
            Ok(ticking)
        }
        _ => Err(LogbookError::Nothing("nothing is scanned for this").into()),
    }
}
