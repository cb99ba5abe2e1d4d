//! The forms about a set that no action names: held, released, dived; and a new one.

use hosewright_core::event::SetId;
use hosewright_core::hose::Label;
use hosewright_core::view::Action;
use hosewright_core::view::form::{Filled, Form, care, hose, owner, set};
use hosewright_core::words::{care as say, form};
use hosewright_core::{FormRefused, Logbook as Core, LogbookError, journal};

use super::of::Task;

impl Task {
    /// The set that it is about.
    pub(super) const fn of_set(self) -> Option<SetId> {
        match self {
            Self::HoldSet(set)
            | Self::ReleaseSet(set)
            | Self::SetDives(set)
            | Self::TagSet(set) => Some(set),
            _ => None,
        }
    }

    /// Its form, as far as it is filled in.
    pub(super) fn set_form(self, core: &Core, filled: &Filled) -> Result<Form, LogbookError> {
        let form = match self {
            Self::HoldSet(_) => care::hold(say::HOLD_SET),
            Self::ReleaseSet(id) => {
                let set = core.set(&Label::from(id))?;
                let holds: Vec<_> = set.holds.iter().chain(&set.quarantines).cloned().collect();
                care::release(Action::ReleaseSet { set: id }.in_words(), &holds)
            }
            Self::SetDives(_) => care::dive(say::SET_DIVED),
            Self::TagSet(id) => owner::tag_set(&core.set(&Label::from(id))?),
            _ => return Ok(set::draw(filled, None)),
        };
        Ok(form.filled(filled))
    }

    /// Records what it says, and says that.
    pub(super) fn submit_set(
        self,
        core: &mut Core,
        filled: &Filled,
        now: &journal::Moment,
    ) -> Result<String, FormRefused> {
        let why = || filled.needed_prose("why", say::WHY);
        match self {
            Self::HoldSet(set) => {
                core.hold_set(&Label::from(set), why()?, filled.ticked("incident"), now)?;
            }
            Self::ReleaseSet(set) => core.release_set(&Label::from(set), &why()?, now)?,
            Self::SetDives(set) => {
                core.submit_set_dives(&Label::from(set), filled, now)?;
            }
            Self::TagSet(set) => {
                let tag = core.tag_set(&Label::from(set), hose::tag(filled)?, None, now)?;
                return Ok(form::set_tagged(tag));
            }
            _ => {
                core.submit_new_set(filled, now)?;
            }
        }
        Ok(form::SAVED.to_owned())
    }
}
