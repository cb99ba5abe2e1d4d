//! Forms: what is typed and tapped is kept as a draft until the form is submitted
//! or dropped. What a form asks and what is wrong with it, the core says.

use hosewright_core::tag::{Code, Payload};
use hosewright_core::view::Action;
use hosewright_core::view::form::{self, Filled, Group, Kind, hose};
use hosewright_core::{Logbook as Core, LogbookError, Saved, journal, words};
use serde::{Deserialize, Serialize};

use crate::logbook::stands;
use crate::rental::set_name;
use crate::{Answer, HoseLine, Inspection, Logbook, Moment, RefusedError, Verdict, Words};

/// Which form.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Enum)]
pub enum FormOf {
    /// The one to register a hose.
    Register {
        /// The tag that is on it, as it was scanned or typed; none if the form asks
        /// for it, or a new one is drawn.
        tag: Option<String>,
    },
    /// The one to edit the details of a hose.
    Describe {
        /// Whatever names the hose.
        hose: String,
    },
    /// The one of an inspection.
    Inspect {
        /// Whatever names the hose.
        hose: String,
        /// How thoroughly.
        kind: Inspection,
    },
    /// The one to take a set back.
    TakeBack {
        /// The set.
        set: String,
    },
}

/// How a field is filled in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum FieldKind {
    /// By a text.
    Text,
    /// By a day, as `2026-06-15`.
    Date,
    /// By a number.
    Number,
    /// By tapping one of its choices.
    Choice,
    /// By tapping any of its choices.
    Many,
    /// By tapping it.
    Tick,
    /// By a text, or by scanning a tag or a barcode.
    Scan,
    /// By scanning tags, one after another.
    Scans,
}

/// Something that can be chosen.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct ChoiceShown {
    /// What a tap on it hands to [`Logbook::touch_form`].
    pub value: String,
    /// The same in words.
    pub label: Words,
    /// What it means for the hose, if it means something.
    pub verdict: Option<Verdict>,
    /// Whether it is chosen.
    pub chosen: bool,
}

/// A field, as far as it is filled in.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct FieldShown {
    /// Its name.
    pub name: String,
    /// What it is called; empty if that is plain.
    pub label: Words,
    /// How it is written, or what it is for, if that is not plain.
    pub hint: Option<Words>,
    /// How it is filled in.
    pub kind: FieldKind,
    /// What can be chosen.
    pub choices: Vec<ChoiceShown>,
    /// What is in it, as it was typed.
    pub value: String,
    /// What is wrong with that.
    pub wrong: Option<Words>,
}

/// Fields that belong together.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct GroupShown {
    /// What stands over them; empty if nothing does.
    pub title: Words,
    /// What is said before them.
    pub notes: Vec<Words>,
    /// The fields.
    pub fields: Vec<FieldShown>,
    /// More of them, shown when asked for; none if there are none.
    pub fold: Option<FoldShown>,
}

/// Fields that are shown when asked for.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct FoldShown {
    /// What they are for.
    pub title: Words,
    /// The fields.
    pub fields: Vec<FieldShown>,
}

/// A form, as far as it is filled in.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct FormShown {
    /// What stands over it.
    pub title: Words,
    /// The tag of the hose that it is about, if there is one.
    pub code: Option<String>,
    /// What that hose is.
    pub hose: Option<Words>,
    /// May it be dived?
    pub verdict: Option<Verdict>,
    /// What is said before its fields.
    pub lead: Vec<Words>,
    /// Its fields.
    pub groups: Vec<GroupShown>,
    /// What its button says.
    pub submit: Words,
    /// What is missing or wrong; none if it can be submitted.
    pub problem: Option<Words>,
    /// The caution that goes with every answer.
    pub caution: Words,
}

/// A form was submitted.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct FormSaved {
    /// What was done, and what to do next.
    pub words: Words,
    /// How the hose stands now, if it was about one.
    pub answer: Option<Answer>,
    /// What else is to be known.
    pub notes: Vec<Words>,
    /// How the hoses stand now, if it was about several.
    pub hoses: Vec<HoseLine>,
}

/// What is kept of a form.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
struct Draft {
    filled: Filled,
    /// The tag under which a hose is being registered. If that is on record, the
    /// phone stopped after the hose was written and before the draft was dropped.
    registering: Option<Code>,
}

#[uniffi::export]
impl Logbook {
    /// A form, with what was filled in before the phone was put away.
    ///
    /// # Errors
    /// [`RefusedError`] if the hose or set is unknown, the tag of a new hose is in
    /// use, or the store can't be read.
    pub fn form(&self, of: FormOf, moment: Moment) -> Result<FormShown, RefusedError> {
        let (core, now) = (self.core(), moment.core()?);
        shown(&core, action(&core, &of)?, &self.begun(&core, &of)?.filled, &now)
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
        let (action, mut draft) = (action(&core, &of)?, self.begun(&core, &of)?);
        core.touch_form(action, &mut draft.filled, (&field, &value), &now)?;
        self.drafts.keep(&name(action), &Some(&draft))?;
        shown(&core, action, &draft.filled, &now)
    }

    /// Records what the form says.
    ///
    /// # Errors
    /// [`RefusedError::Field`] with the field that is missing or wrong; others if the
    /// record refuses it. What is filled in stays.
    pub fn submit_form(&self, of: FormOf, moment: Moment) -> Result<FormSaved, RefusedError> {
        let (mut core, now) = (self.core(), moment.core()?);
        let (action, draft) = (action(&core, &of)?, self.begun(&core, &of)?);
        let saved = match action {
            Action::Register { .. } => self.register(&mut core, action, draft, &now)?,
            _ => core.submit_form(action, &draft.filled, &now)?,
        };
        self.drafts.forget(&name(action));
        FormSaved::of(&core, saved, &now)
    }

    /// Drops what is filled in.
    ///
    /// # Errors
    /// [`RefusedError`] if the hose or set is unknown.
    pub fn drop_form(&self, of: FormOf) -> Result<(), RefusedError> {
        self.drafts.forget(&name(action(&self.core(), &of)?));
        Ok(())
    }

    /// Binds a maker's own barcode to a hose as a second tag.
    ///
    /// # Errors
    /// [`RefusedError::Field`] if it is a tag of Hosewright's; others if no hose is
    /// found, the barcode leads to another, or the store can't be written.
    pub fn bind_barcode(
        &self,
        typed: String,
        barcode: String,
        moment: Moment,
    ) -> Result<Answer, RefusedError> {
        let (mut core, now) = (self.core(), moment.core()?);
        let hose = core.find_typed(&typed)?.hose;
        let mut filled = Filled::default();
        filled.set("barcode", &barcode);
        if let Some(barcode) = hose::barcode(&filled)? {
            core.bind(hose, barcode, &now)?;
        }
        stands(&core, hose, &now)
    }
}

impl Logbook {
    /// The draft of a form, or what it begins with.
    fn begun(&self, core: &Core, of: &FormOf) -> Result<Draft, RefusedError> {
        let action = action(core, of)?;
        let kept: Option<Draft> = self.drafts.find(&name(action));
        if let Some(draft) = kept {
            return Ok(draft);
        }
        let mut filled = core.begin_form(action)?;
        if let FormOf::Register { tag: Some(text) } = of
            && let Ok(payload) = Payload::parse(text)
        {
            filled = hose::of_tag(&payload);
            filled.set("tag", text);
        }
        Ok(Draft { filled, registering: None })
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
            self.drafts.keep(&name(action), &Some(&draft))?;
        }
        draft.filled.set("tag", &tag.to_string());
        Ok(match core.submit_form(action, &draft.filled, now)? {
            Saved::OfHose { hose, .. } if own.is_none() => Saved::OfHose { hose, words },
            saved => saved,
        })
    }
}

/// The form that a phone names.
fn action(core: &Core, of: &FormOf) -> Result<Action, RefusedError> {
    let hose = |typed: &str| core.find_typed(typed).map(|found| found.hose);
    Ok(match of {
        FormOf::Register { tag } => {
            let mut filled = Filled::default();
            filled.set("tag", tag.as_deref().unwrap_or_default());
            Action::Register { tag: hose::tag(&filled)? }
        }
        FormOf::Describe { hose: typed } => Action::Describe { hose: hose(typed)? },
        FormOf::Inspect { hose: typed, kind } => {
            Action::Inspect { hose: hose(typed)?, kind: kind.core() }
        }
        FormOf::TakeBack { set } => Action::TakeBack { set: core.set(&set_name(core, set)?)?.id },
    })
}

/// The name of the draft.
fn name(action: Action) -> String {
    format!("form {action:?}")
}

fn shown(
    core: &Core,
    action: Action,
    filled: &Filled,
    now: &journal::Moment,
) -> Result<FormShown, RefusedError> {
    let form = core.form(action, filled, now)?;
    let tag = if let Action::Register { tag } = action { tag } else { None };
    let about = form.about.as_ref();
    Ok(FormShown {
        title: form.title.as_str().into(),
        code: about.map(|about| about.code).or(tag).map(|code| code.to_string()),
        hose: about.map(|about| about.words.as_str().into()),
        verdict: about.map(|about| about.verdict.into()),
        lead: Words::all(form.lead.iter().cloned()),
        groups: form.groups.iter().map(GroupShown::of).collect(),
        submit: form.submit.as_str().into(),
        problem: form.problem.map(Into::into),
        caution: words::CAUTION.into(),
    })
}

impl FormSaved {
    fn of(core: &Core, saved: Saved, now: &journal::Moment) -> Result<Self, RefusedError> {
        let (notes, hoses) = (Vec::new(), Vec::new());
        Ok(match saved {
            Saved::OfHose { hose, words } => {
                Self { words: words.into(), answer: Some(stands(core, hose, now)?), notes, hoses }
            }
            Saved::OfSet(_) => {
                Self { words: words::form::SAVED.into(), answer: None, notes, hoses }
            }
            Saved::Returned(back) => Self {
                words: back.words.into(),
                answer: None,
                notes: Words::all(back.differences),
                hoses: [HoseLine::all(&back.missing), HoseLine::all(&back.hoses)].concat(),
            },
        })
    }
}

impl GroupShown {
    /// What is folded on a page stays so if it is about several places.
    fn of(group: &Group) -> Self {
        let several = |more: &&form::More| more.groups.len() > 1;
        let fold = group.more.as_ref().filter(several).map(|more| FoldShown {
            title: more.title.as_str().into(),
            fields: more.groups.iter().flat_map(fields).collect(),
        });
        Self {
            title: group.title.as_str().into(),
            notes: Words::all(group.notes.iter().cloned()),
            fields: if fold.is_some() { shown_of(&group.fields) } else { fields(group) },
            fold,
        }
    }
}

/// Every field of a group; one without a label is called as the group is.
fn fields(group: &Group) -> Vec<FieldShown> {
    let mut all = shown_of(group.all());
    for field in all.iter_mut().filter(|field| field.label.is_empty()) {
        field.label = group.title.as_str().into();
    }
    all
}

fn shown_of<'f>(fields: impl IntoIterator<Item = &'f form::Field>) -> Vec<FieldShown> {
    fields.into_iter().filter(|field| field.asked).filter_map(FieldShown::of).collect()
}

impl FieldShown {
    /// A field that a phone can fill in: it has no room for photos.
    fn of(field: &form::Field) -> Option<Self> {
        let (kind, choices) = match &field.kind {
            Kind::Text => (FieldKind::Text, &[][..]),
            Kind::Date => (FieldKind::Date, &[][..]),
            Kind::Number(_) => (FieldKind::Number, &[][..]),
            Kind::Choice(choices) => (FieldKind::Choice, &choices[..]),
            Kind::Many(choices) => (FieldKind::Many, &choices[..]),
            Kind::Tick => (FieldKind::Tick, &[][..]),
            Kind::Tag | Kind::Barcode => (FieldKind::Scan, &[][..]),
            Kind::Scans => (FieldKind::Scans, &[][..]),
            Kind::Photo | Kind::Fixed => return None,
        };
        let choices = choices.iter().map(|choice| ChoiceShown {
            chosen: field.is_chosen(choice),
            value: choice.value.clone(),
            label: choice.label.as_str().into(),
            verdict: choice.verdict.map(Into::into),
        });
        Some(Self {
            name: field.name.clone(),
            label: field.label.as_str().into(),
            hint: field.hint.as_deref().map(Into::into),
            kind,
            choices: choices.collect(),
            value: field.text_value().to_owned(),
            wrong: field.wrong.as_deref().map(Into::into),
        })
    }
}

#[cfg(test)]
#[path = "form_tests.rs"]
mod tests;
