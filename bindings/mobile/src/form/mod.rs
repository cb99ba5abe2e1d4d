//! Forms: what is typed and tapped is kept as a draft until the form is submitted
//! or dropped. What a form asks and what is wrong with it, the core says.

pub(crate) mod counters;
mod handing;
mod of;
mod of_set;
mod own;
mod photos;
mod places;
mod saved;
mod shown;
mod tags;
mod ticks;
mod which;

pub(crate) use own::REMINDS;
pub(crate) use places::{At, Places};
pub(crate) use saved::said;
pub use saved::{FileMade, FormSaved};
pub use shown::{
    ChoiceShown, FieldKind, FieldShown, FoldShown, FormShown, GroupShown, HoseList, Line,
    PlaceAnswer, PlaceButton, PlaceLine, PlaceShown,
};
pub use ticks::TicksShown;
pub use which::FormOf;

use hosewright_core::tag::Code;
use hosewright_core::view::Action;
use hosewright_core::view::form::{Filled, hose};
use hosewright_core::{Logbook as Core, LogbookError, Saved, journal, words};
use of::Task;
use serde::{Deserialize, Serialize};

use crate::{Logbook, Moment, RefusedError};

/// What is kept of a form.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
struct Draft {
    filled: Filled,
    /// The tag under which a hose is being registered. If that is on record, the
    /// phone stopped after the hose was written and before the draft was dropped.
    registering: Option<Code>,
}

impl Logbook {
    /// A form, with what was filled in before the phone was put away.
    ///
    /// # Errors
    /// [`RefusedError`] if the hose or set is unknown, the tag of a new hose is in
    /// use, there is no such form, or the store can't be read.
    pub fn form(&self, of: FormOf, moment: Moment) -> Result<FormShown, RefusedError> {
        let (core, now) = (self.core(), moment.core()?);
        let (task, draft) = self.begun(&core, &of)?;
        self.shown(&core, task, &draft.filled, &now)
    }

    /// A field was tapped or typed into. What was typed is kept, also what is wrong.
    ///
    /// # Errors
    /// [`RefusedError`] as for [`Logbook::form`], if the form has no such choice, or
    /// if it can't be kept.
    pub fn touch_form(
        &self,
        of: FormOf,
        field: String,
        value: String,
        moment: Moment,
    ) -> Result<FormShown, RefusedError> {
        let (core, now) = (self.core(), moment.core()?);
        let (task, mut draft) = self.begun(&core, &of)?;
        task.touch(&core, &mut draft.filled, (&field, &value), &now)?;
        let shown = task.shown(&core, &draft.filled, &now)?;
        self.drafts.keep(&name(task), &Some(&draft))?;
        let shown = self.with_pictures(&name(task), &draft.filled, shown);
        Ok(FormShown { begun: true, ..shown })
    }

    /// Records what the form says. `answer` is the value of the button that was
    /// tapped, if the form has several.
    ///
    /// # Errors
    /// [`RefusedError::Field`] with the field that is missing or wrong; others if the
    /// record refuses it. What is filled in stays.
    pub fn submit_form(
        &self,
        of: FormOf,
        answer: Option<String>,
        moment: Moment,
    ) -> Result<FormSaved, RefusedError> {
        self.submitted(&of, answer, true, &moment)
    }

    /// Drops what is filled in.
    ///
    /// # Errors
    /// [`RefusedError`] if the hose or set is unknown.
    pub fn drop_form(&self, of: FormOf) -> Result<(), RefusedError> {
        self.drafts.forget(&name(Task::of(&self.core(), &of)?));
        Ok(())
    }
}

impl Logbook {
    /// The same; if nobody is `sure` yet, what looks like a slip is refused with the
    /// questions to be asked.
    pub(crate) fn submitted(
        &self,
        of: &FormOf,
        answer: Option<String>,
        sure: bool,
        moment: &Moment,
    ) -> Result<FormSaved, RefusedError> {
        let (mut core, now) = (self.core(), moment.core()?);
        let (task, draft) = self.begun(&core, of)?;
        if let (Task::Of(Action::Retire { .. } | Action::Retag { .. }), FormOf::Hose { hose, .. }) =
            (task, of)
        {
            // For good: the beginning of a code is not enough.
            core.find_whole(hose)?;
        }
        core.set_sure(sure);
        let saved = match task {
            Task::Of(action @ Action::Register { .. }) => self
                .register(&mut core, action, draft, &now)
                .and_then(|saved| FormSaved::of(&core, saved, &now)),
            Task::Settings => own::keep(&self.drafts, &draft.filled)
                .inspect(|_| core.set_units(self.drafts.units())),
            _ => self.pictured(&name(task), &draft.filled).and_then(|pictured| {
                task.submit(&mut core, (&draft.filled, pictured), answer.as_deref(), &now)
            }),
        };
        core.set_sure(true);
        let saved = saved?;
        self.drafts.forget(&name(task));
        Ok(saved)
    }

    /// A form and its draft, or what it begins with.
    fn begun(&self, core: &Core, of: &FormOf) -> Result<(Task, Draft), RefusedError> {
        let task = Task::of(core, of)?;
        if let Some(draft) = self.drafts.find(&name(task)) {
            return Ok((task, draft));
        }
        let filled = match task {
            Task::Settings => own::begin(&self.drafts),
            _ => task.begin(core, of)?,
        };
        Ok((task, Draft { filled, registering: None }))
    }

    fn shown(
        &self,
        core: &Core,
        task: Task,
        filled: &Filled,
        now: &journal::Moment,
    ) -> Result<FormShown, RefusedError> {
        let begun = self.drafts.find::<Option<Draft>>(&name(task)).is_some();
        let shown = self.with_pictures(&name(task), filled, task.shown(core, filled, now)?);
        Ok(FormShown { begun, ..shown })
    }

    /// Registers a hose once, also if the phone stops in the middle: the tag is kept
    /// before anything is written under it.
    fn register(
        &self,
        core: &mut Core,
        action: Action,
        mut draft: Draft,
        now: &journal::Moment,
    ) -> Result<Saved, RefusedError> {
        let words = words::form::REGISTERED;
        if let Some(hose) = draft.registering
            && core.is_on_record(hose)?
        {
            return Ok(Saved::OfHose { hose, words });
        }
        hose::read(&draft.filled, now.today)?;
        let own = hose::tag(&draft.filled)?;
        let drawn = if own.is_none() { core.blank_tags(1)?.first().copied() } else { None };
        let tag = own.or(drawn).ok_or(LogbookError::Nothing("no tag was drawn"))?;
        // A tag that is in use must not look like one that was written just now.
        if !core.is_on_record(tag)? {
            draft.registering = Some(tag);
            self.drafts.keep(&name(Task::Of(action)), &Some(&draft))?;
        }
        draft.filled.set("tag", &tag.to_string());
        Ok(match core.submit_form(action, &draft.filled, now)? {
            Saved::OfHose { hose, .. } if own.is_none() => Saved::OfHose { hose, words },
            saved => saved,
        })
    }
}

/// The name of the draft.
fn name(task: Task) -> String {
    format!("form {task:?}")
}

#[cfg(test)]
mod tests;
