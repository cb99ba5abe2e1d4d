//! Sets with what is in them, and what is due.

use hosewright_core::fleet::Horizon;
use hosewright_core::policy::Use;
use hosewright_core::set_view::{Checked, SetView};
use hosewright_core::words::{days_in_words, inspection as say, labels};

use crate::answer::Goes;
use crate::logbook::set_name;
use crate::{ActionShown, FormOf, HoseLine, Logbook, Moment, RefusedError, Verdict, Words};

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
    /// What is done next with it: it is handed out or taken back, if it is for rental.
    pub next: Option<ActionShown>,
    /// Its ports, in the order in which they were given.
    pub ports: Vec<PortLine>,
}

/// One thing that is due.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct DueLine {
    /// The hose's tag.
    pub code: String,
    /// What is due.
    pub what: Words,
    /// The last good day for it.
    pub on: String,
    /// How far off that is.
    pub when: Words,
    /// Whether that day is past.
    pub overdue: bool,
    /// What the hose is.
    pub hose: Words,
    /// Where it is.
    pub place: Words,
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

#[uniffi::export]
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
        let core = self.core();
        let view = core.set_view(&set_name(&core, &name)?, &moment.core()?)?;
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
            next: next(&view),
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
            what: row.words.into(),
            on: row.on.to_string(),
            when: days_in_words(row.days).into(),
            overdue: row.overdue,
            hose: row.hose.as_str().into(),
            place: row.place.as_str().into(),
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

fn next(view: &SetView) -> Option<ActionShown> {
    let set = view.id.to_string();
    let (words, of) = match view.out {
        Some(_) => (say::TAKE_BACK, FormOf::TakeBack { set }),
        None => (say::HAND_OUT, FormOf::HandOut { set }),
    };
    (view.in_use == Use::Rental).then(|| ActionShown::new(words, Goes::Form { of }))
}
