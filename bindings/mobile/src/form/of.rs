//! What each form on a phone does: each is one of the core's.

use hosewright_core::event::{EntryId, SetId};
use hosewright_core::hose::Label;
use hosewright_core::tag::{Code, Payload};
use hosewright_core::view::Action;
use hosewright_core::view::form::{ANSWER, Filled, hose, rental, set};
use hosewright_core::words::{care, labels, notices, swap as say, withdrawal};
use hosewright_core::{FormRefused, Found, Logbook as Core, LogbookError, Saved, journal, swap};

use super::handing;
use super::own;
use super::saved::{FormSaved, Pictured};
use super::shown::{self, FormShown};
use super::tags;
use super::which::{FormOf, OF_HOSE};
use crate::RefusedError;
use crate::logbook::{set_name, stands};

/// A form, as the core knows it. Its name, as it is debugged, is that of its draft.
#[derive(Debug, Clone, Copy)]
pub(super) enum Task {
    Of(Action),
    HandOut(SetId),
    NewSet,
    HoldSet(SetId),
    ReleaseSet(SetId),
    SetDives(SetId),
    TagSet(SetId),
    Tags(Option<SetId>),
    Swap(Code, Code),
    GiveUp(Code, Code),
    Withdraw(Code, EntryId),
    Settings,
    Help,
}

/// What is done about a set.
type OfSet = fn(SetId) -> Task;

/// The forms about a set, by their names.
const OF_SET: [(&str, OfSet); 5] = [
    ("edit", |set| Task::Of(Action::ChangeSet { set })),
    ("hold", Task::HoldSet),
    ("release", Task::ReleaseSet),
    ("dives", Task::SetDives),
    ("new-tag", Task::TagSet),
];

impl Task {
    pub(super) fn of(core: &Core, of: &FormOf) -> Result<Self, RefusedError> {
        let hose = |typed: &str| core.find_typed(typed).map(|found| found.hose);
        let set = |shown: &str| Ok::<_, RefusedError>(core.set(&set_name(core, shown)?)?.id);
        Ok(match of {
            FormOf::Register { tag } => {
                let mut filled = Filled::default();
                filled.set("tag", tag.as_deref().unwrap_or_default());
                Self::Of(Action::Register { tag: hose::tag(&filled)? })
            }
            FormOf::Hose { hose: typed, form } => {
                let of = OF_HOSE.iter().find(|(name, _)| name == form);
                let (_, of) = of.ok_or(LogbookError::Nothing("this has no form"))?;
                Self::Of(of(hose(typed)?))
            }
            FormOf::HandOut { set: shown } => Self::HandOut(set(shown)?),
            FormOf::TakeBack { set: shown } => Self::Of(Action::TakeBack { set: set(shown)? }),
            FormOf::NewSet => Self::NewSet,
            FormOf::Set { set: shown, form } => {
                let of = OF_SET.iter().find(|(name, _)| name == form);
                let (_, of) = of.ok_or(LogbookError::Nothing("this has no form"))?;
                of(set(shown)?)
            }
            FormOf::Swap { old, new } => Self::Swap(hose(old)?, hose(new)?),
            FormOf::GiveUp { old, new } => Self::GiveUp(hose(old)?, hose(new)?),
            FormOf::Withdraw { hose: of, entry } => {
                Self::Withdraw(hose(of)?, core.find_entry(entry)?)
            }
            FormOf::Tags { set: shown } => Self::Tags(shown.as_deref().map(set).transpose()?),
            // It is no part of the record: its page sees to it.
            FormOf::Counters { .. } => return Err(LogbookError::Nothing("this has no form").into()),
            FormOf::Settings => Self::Settings,
            FormOf::Help => Self::Help,
        })
    }

    /// What it begins with.
    pub(super) fn begin(self, core: &Core, of: &FormOf) -> Result<Filled, RefusedError> {
        let action = match self {
            Self::Of(action) => action,
            Self::NewSet => return Ok(set::empty()),
            Self::Tags(_) => return Ok(tags::begin()),
            _ => return Ok(Filled::default()),
        };
        let mut filled = core.begin_form(action)?;
        if let FormOf::Register { tag: Some(text) } = of
            && let Ok(payload) = Payload::parse(text)
        {
            filled = hose::of_tag(&payload);
            filled.set("tag", text);
        }
        Ok(filled)
    }

    /// The form, as far as it is filled in.
    pub(super) fn shown(
        self,
        core: &Core,
        filled: &Filled,
        now: &journal::Moment,
    ) -> Result<FormShown, RefusedError> {
        Ok(match self {
            Self::NewSet
            | Self::HoldSet(_)
            | Self::ReleaseSet(_)
            | Self::SetDives(_)
            | Self::TagSet(_) => {
                let title = self.of_set().map(|set| core.set(&Label::from(set))).transpose()?;
                let shown = FormShown::of(&self.set_form(core, filled)?);
                FormShown { named: title.map(|set| labels::set(&set.name).into()), ..shown }
            }
            Self::Of(Action::TakeBack { set }) => {
                FormShown::of(&core.return_form_with_photographs(&Label::from(set), filled, now)?)
            }
            Self::Of(action) => {
                let tag = if let Action::Register { tag } = action { tag } else { None };
                FormShown::of(&core.form(action, filled, now)?).with_code(tag)
            }
            Self::HandOut(set) => {
                let (check, form) = core.hand_out_form(&Label::from(set), filled, now)?;
                handing::hand_out(&check, &form)
            }
            Self::Swap(old, new) => {
                let (view, form) = core.swap_form((old, new), filled, now)?;
                shown::swap(&view, form)
            }
            Self::GiveUp(old, new) => {
                let form = core.swap(old, new, None, now)?.give_up_form();
                FormShown::of(&form.ok_or(LogbookError::Nothing(say::NOT_BEGUN))?)
            }
            Self::Withdraw(hose, entry) => {
                let answer = core.answer_found(Found { hose, tag: None }, now)?;
                FormShown::of(&core.withdrawal_form(entry, filled)?.about(&answer))
            }
            // They are about no hose.
            Self::Settings => {
                let cautions = Vec::new();
                FormShown { cautions, ..FormShown::of(&own::settings(filled)) }
            }
            Self::Tags(set) => {
                let cautions = Vec::new();
                FormShown { cautions, ..FormShown::of(&tags::draw(core, set, filled)?) }
            }
            Self::Help => own::help(),
        })
    }

    /// What a tap on a field does, or a text that was typed or scanned into it.
    pub(super) fn touch(
        self,
        core: &Core,
        filled: &mut Filled,
        (name, value): (&str, &str),
        now: &journal::Moment,
    ) -> Result<(), FormRefused> {
        match (self, name) {
            (
                Self::NewSet
                | Self::HoldSet(_)
                | Self::ReleaseSet(_)
                | Self::SetDives(_)
                | Self::TagSet(_),
                _,
            ) => {
                self.set_form(core, filled)?.touch(filled, name, value)?;
            }
            (Self::Of(action), _) => core.touch_form(action, filled, (name, value), now)?,
            (Self::HandOut(_), rental::SCANNED) => filled.add(name, value),
            // What was scanned by mistake.
            (Self::HandOut(_), handing::FOREIGN) => {
                filled.take_back(rental::SCANNED, |scanned| scanned == value);
            }
            (Self::HandOut(set), _) => {
                core.hand_out_form(&Label::from(set), filled, now)?.1.touch(filled, name, value)?;
            }
            (Self::Swap(old, new), _) => {
                let form = core.swap_form((old, new), filled, now)?.1.unwrap_or_default();
                form.touch(filled, name, value)?;
            }
            (Self::GiveUp(..), _) => filled.set(name, value),
            (Self::Withdraw(_, entry), _) => {
                core.withdrawal_form(entry, filled)?.touch(filled, name, value)?;
            }
            (Self::Tags(set), _) => {
                let form = tags::draw(core, set, filled)?;
                form.touch(filled, name, value)?;
            }
            (Self::Settings, _) => own::settings(filled).touch(filled, name, value)?,
            (Self::Help, _) => return Err(LogbookError::Nothing("this has no form").into()),
        }
        Ok(())
    }

    /// Records what the form says; `answer` is what was tapped or scanned of
    /// [`FormShown::answers`].
    pub(super) fn submit(
        self,
        core: &mut Core,
        (filled, pictured): (&Filled, Vec<Pictured>),
        answer: Option<&str>,
        now: &journal::Moment,
    ) -> Result<FormSaved, RefusedError> {
        match self {
            Self::NewSet
            | Self::HoldSet(_)
            | Self::ReleaseSet(_)
            | Self::SetDives(_)
            | Self::TagSet(_) => Ok(FormSaved::said(self.submit_set(core, filled, now)?)),
            Self::Of(action) => {
                let mut filled = filled.clone();
                filled.set(ANSWER, answer.unwrap_or_default());
                let saved = if let Action::TakeBack { set } = action {
                    let of_hose = |(hose, place, photo): Pictured| Some((hose?, place, photo));
                    let pictured = pictured.into_iter().filter_map(of_hose).collect();
                    let set = Label::from(set);
                    let back = core.submit_return_with(&set, &filled, pictured, now)?;
                    Saved::Returned(Box::new(back))
                } else {
                    let pictured = pictured.into_iter().map(|(_, place, photo)| (place, photo));
                    core.submit_form_with(action, &filled, pictured.collect(), now)?
                };
                FormSaved::of(core, saved, now)
            }
            Self::HandOut(set) => {
                // Whose phone it is overrides what stops it.
                let mut filled = filled.clone();
                filled.set(rental::NAME, now.by.as_str());
                let out = core.submit_hand_out(&Label::from(set), &filled, now)?;
                Ok(handing::handed_out(&out))
            }
            Self::Swap(old, new) => {
                // An answer says to which step it is: a second tap answers no other.
                let (step, answer) = answer
                    .and_then(|said| said.split_once(shown::OF_STEP))
                    .ok_or(LogbookError::Nothing(say::NO_ANSWER))?;
                let mut filled = filled.clone();
                filled.set("step", step);
                filled.set(ANSWER, answer);
                let view = core.submit_swap_step((old, new), &filled, now)?;
                let Some(next) = &view.next else {
                    let saved = Saved::OfHose { hose: new, words: notices::SWAP_FINISHED };
                    return FormSaved::of(core, saved, now);
                };
                let still = next.step == step;
                let next = self.shown(core, &Filled::default(), now)?;
                let words = if still { swap::open_still(step) } else { "" };
                Ok(FormSaved { next: Some(next), ..FormSaved::said(words) })
            }
            Self::GiveUp(old, new) => {
                let why = filled.needed_prose("why", care::WHY)?;
                core.swap_give_up((old, new), &why, now)?;
                let answer = Some(stands(core, old, now)?);
                Ok(FormSaved { answer, ..FormSaved::said(say::GIVEN_UP) })
            }
            Self::Withdraw(hose, entry) => {
                core.submit_withdrawal(entry, filled, now)?;
                // Of a registration that is withdrawn nothing is left to answer for.
                let left = core.is_on_record(hose)?;
                let answer = left.then(|| stands(core, hose, now)).transpose()?;
                Ok(FormSaved { answer, ..FormSaved::said(withdrawal::DONE) })
            }
            Self::Tags(set) => tags::made(core, set, filled),
            Self::Settings | Self::Help => {
                Err(LogbookError::Nothing("it is no part of the record").into())
            }
        }
    }
}
