//! Sets with what is in them, and what is due.

use hosewright_core::fleet::Horizon;
use hosewright_core::policy::Use;
use hosewright_core::set_view::{Checked, SetView};
use hosewright_core::view::Action;
use hosewright_core::words::{care, days_in_words, inspection as say, labels, owner, tags};

use crate::answer::Goes;
use crate::hose_line::joined;
use crate::logbook::set_name;
use crate::{
    ActionShown, FormOf, HoseLine, Logbook, Moment, RefusedError, SetAnswer, Verdict, Words,
};

/// A set in a list.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct SetLine {
    /// Its name.
    pub name: Words,
    /// Where it is and its status.
    pub words: Words,
    /// The worst verdict of its hoses; none for a set without one.
    pub worst: Option<Verdict>,
}

/// A port and what is in it.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct PortLine {
    /// Its name.
    pub port: String,
    /// What is in it: a hose, or its plug.
    pub holds: Words,
    /// The hose in it.
    pub hose: Option<HoseLine>,
}

/// A set with what is in each port.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct SetShown {
    /// The set.
    pub set: SetLine,
    /// What stands over it.
    pub title: Words,
    /// What it answers, as its own tag does: its status and its own reasons.
    pub answer: SetAnswer,
    /// What is done next with it: it is handed out or taken back, if it is for rental.
    pub next: Option<ActionShown>,
    /// What else can be done about it.
    pub actions: Vec<ActionShown>,
    /// Its ports, in the order in which they were given.
    pub ports: Vec<PortLine>,
}

/// One thing that is due.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct DueLine {
    /// The hose's tag.
    pub code: String,
    /// What is due, and how far off that is.
    pub name: Words,
    /// Under it: what the hose is, where it is, its tag.
    pub facts: Words,
    /// The last good day for it.
    pub on: String,
    /// Whether that day is past.
    pub overdue: bool,
}

/// What is due up to a day.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct DueList {
    /// What stands over the list.
    pub words: Words,
    /// What is due, the longest overdue first.
    pub rows: Vec<DueLine>,
    /// What is said about hoses that are not in the list.
    pub left_out: Option<Words>,
}

impl Logbook {
    /// Every set on record, by name.
    ///
    /// # Errors
    /// [`RefusedError`] if the store cannot be read.
    pub fn sets(&self, moment: Moment) -> Result<Vec<SetLine>, RefusedError> {
        let (core, now) = (self.core(), moment.core()?);
        let line = |set: hosewright_core::record::SetRecord| {
            Ok(set_line(&core.set_view(&set.id.into(), &now)?))
        };
        core.sets()?.into_iter().map(line).collect()
    }

    /// A set with what is in each port.
    ///
    /// # Errors
    /// [`RefusedError`] if there is no such set or the store cannot be read.
    pub fn set(&self, name: String, moment: Moment) -> Result<SetShown, RefusedError> {
        let (core, now) = (self.core(), moment.core()?);
        let label = set_name(&core, &name)?;
        let view = core.set_view(&label, &now)?;
        let answer = SetAnswer::of(&core.answer_set(&label, &now)?);
        let held =
            core.set(&label).map(|set| !set.holds.is_empty() || !set.quarantines.is_empty())?;
        let port = |port: &hosewright_core::set_view::PortView| PortLine {
            port: port.port.name.to_string(),
            holds: port.holds.as_str().into(),
            hose: port
                .hose
                .as_ref()
                .map(|answer| HoseLine::of(&Checked::of(answer, Some(port.port.name)))),
        };
        let ports = view.ports.iter().map(port).collect();
        Ok(SetShown {
            set: set_line(&view),
            title: labels::set(&view.name).into(),
            answer,
            next: next(&view),
            actions: actions(&view, held),
            ports,
        })
    }

    /// What is due within a time, as `90d`, `6m` or `1y`; none is 90 days.
    ///
    /// # Errors
    /// [`RefusedError`] if it is not a time, or the store cannot be read.
    pub fn due(&self, within: Option<String>, moment: Moment) -> Result<DueList, RefusedError> {
        let horizon = within.map(|typed| typed.parse::<Horizon>()).transpose();
        let horizon = horizon.map_err(|e| RefusedError::Input { words: e.to_string().into() })?;
        let list = self.core().due(horizon.unwrap_or_default(), &moment.core()?)?;
        let rows = list.rows.iter().map(|row| DueLine {
            code: row.code.to_string(),
            name: format!("{}, {}", row.words, days_in_words(row.days)).into(),
            facts: joined([row.hose.clone(), row.place.clone(), row.code.to_string()], ", ").into(),
            on: row.on.to_string(),
            overdue: row.overdue,
        });
        Ok(DueList {
            words: list.heading().into(),
            rows: rows.collect(),
            left_out: list.left_out().map(Into::into),
        })
    }
}

fn set_line(view: &SetView) -> SetLine {
    SetLine {
        name: view.name.to_string().into(),
        words: view.words.as_str().into(),
        worst: view.worst.map(Into::into),
    }
}

/// What is done about a set, the usual first.
fn actions(view: &SetView, held: bool) -> Vec<ActionShown> {
    let of = |form: &str| {
        let of = FormOf::Set { set: view.id.to_string(), form: form.to_owned() };
        Goes::Form { of }
    };
    let release = Action::ReleaseSet { set: view.id }.in_words();
    let printed = FormOf::Tags { set: Some(view.id.to_string()) };
    let edit = Action::ChangeSet { set: view.id }.in_words();
    let all = [
        held.then(|| ActionShown::new(release, of("release"))),
        Some(ActionShown::new(care::HOLD_SET, of("hold"))),
        view.out.is_none().then(|| ActionShown::new(care::DIVE_SET, of("dives"))),
        Some(ActionShown::new(edit, of("edit"))),
        Some(ActionShown::new(owner::SET_TAG, of("new-tag"))),
        Some(ActionShown::new(tags::TAGS_TITLE, Goes::Form { of: printed })),
    ];
    all.into_iter().flatten().collect()
}

fn next(view: &SetView) -> Option<ActionShown> {
    let set = view.id.to_string();
    let (words, of) = match view.out {
        Some(_) => (say::TAKE_BACK, FormOf::TakeBack { set }),
        None => (say::HAND_OUT, FormOf::HandOut { set }),
    };
    (view.in_use == Use::Rental).then(|| ActionShown::new(words, Goes::Form { of }))
}
