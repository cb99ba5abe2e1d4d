//! A form as a phone draws it.

use hosewright_core::set_view::Checked;
use hosewright_core::tag::Code;
use hosewright_core::view::form::{self, Choice, Field, Form, Group, Kind};
use hosewright_core::words::{labels, notices, swap as swaps};
use hosewright_core::{SwapView, words};

use super::FormOf;
use crate::answer::Goes;
use crate::{ActionShown, HoseLine, Verdict, Words, phone};

/// Between a step's name and its answer.
pub(super) const OF_STEP: char = '|';

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
    /// By scanning a tag, which submits the form: its text, put behind
    /// [`FieldShown::value`], is the answer.
    ScanToAnswer,
    /// By a photo, taken or chosen: [`FieldShown::value`] is the file of the one that is
    /// there.
    Photo,
}

/// Something that can be chosen.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct ChoiceShown {
    /// What a tap on it hands to [`crate::Logbook::touch_form`].
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
    /// Whether they are asked on the page of a place, and not on the form's own.
    pub of_place: bool,
}

/// Fields that are shown when asked for.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct FoldShown {
    /// What they are for.
    pub title: Words,
    /// The fields.
    pub fields: Vec<FieldShown>,
}

/// What a button of a place does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum PlaceAnswer {
    /// Nothing was found there, and the next place is asked about.
    Nothing,
    /// Something was: what it can be is shown.
    Something,
    /// What was found is said; the next place.
    Next,
    /// The place before.
    Before,
}

/// A button of a place, with its words.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct PlaceButton {
    /// What it does.
    pub answer: PlaceAnswer,
    /// What it says.
    pub words: Words,
}

/// The place that is asked about now.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct PlaceShown {
    /// Which, from 0.
    pub place: u32,
    /// Which it is of how many.
    pub words: Words,
    /// What to do there, and what can be filled in.
    pub groups: Vec<GroupShown>,
    /// Its buttons, the usual one first.
    pub buttons: Vec<PlaceButton>,
}

/// A place that was asked about, and its answer: touched, it is asked about again.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct PlaceLine {
    /// Which, from 0.
    pub place: u32,
    /// What was to be done there.
    pub name: Words,
    /// What was said of it.
    pub words: Words,
}

/// Something, and what is to be said of it.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Line {
    /// What.
    pub name: Words,
    /// What is to be said of it.
    pub words: Words,
}

/// Hoses under a heading.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct HoseList {
    /// What stands over them.
    pub title: Words,
    /// Whether they are still to be scanned: they carry no sign, which would look like a
    /// tick, and nobody has said anything of them yet.
    pub open: bool,
    /// The hoses; never none.
    pub hoses: Vec<HoseLine>,
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
    /// What it is about, beside the button: the hose by its own number and its tag, or
    /// the hoses of a swap.
    pub named: Option<Words>,
    /// May it be dived?
    pub verdict: Option<Verdict>,
    /// What is said before its fields.
    pub lead: Vec<Words>,
    /// Its fields.
    pub groups: Vec<GroupShown>,
    /// The place that is asked about now, before all else.
    pub place: Option<PlaceShown>,
    /// The places that were asked about, with what was said of each.
    pub places: Vec<PlaceLine>,
    /// What stops it, each with what is to be said.
    pub lines: Vec<Line>,
    /// The hoses that it is about.
    pub lists: Vec<HoseList>,
    /// What its button says; empty if it can't be submitted.
    pub submit: Words,
    /// Buttons that submit it with an answer each, in its place; the usual one first.
    pub answers: Vec<ChoiceShown>,
    /// What is missing or wrong; none if it can be submitted.
    pub problem: Option<Words>,
    /// What else can be done in its place.
    pub other: Option<ActionShown>,
    /// Whether something is filled in that [`crate::Logbook::drop_form`] drops.
    pub begun: bool,
    /// What is to be heeded, and the caution that goes with every answer.
    pub cautions: Vec<Words>,
}

impl FormShown {
    /// A form of the core's.
    pub(super) fn of(form: &Form) -> Self {
        let about = form.about.as_ref();
        let cautions = form.cautions.iter().map(String::as_str).chain([words::CAUTION]);
        Self {
            title: form.title.as_str().into(),
            code: about.map(|about| about.code.to_string()),
            hose: about.map(|about| about.words.as_str().into()),
            named: about.map(|about| about.named.as_str().into()),
            verdict: about.map(|about| about.verdict.into()),
            lead: Words::all(form.lead.iter().cloned()),
            groups: form.groups.iter().map(GroupShown::of).collect(),
            place: None,
            places: Vec::new(),
            lines: Vec::new(),
            lists: Vec::new(),
            submit: form.submit.as_str().into(),
            answers: form.answers.iter().map(|answer| ChoiceShown::of(answer, false)).collect(),
            problem: form.problem.as_deref().map(Into::into),
            other: None,
            begun: false,
            cautions: Words::all(cautions),
        }
    }

    /// Every field, also those that are folded.
    pub(crate) fn fields(&self) -> impl Iterator<Item = &FieldShown> {
        self.groups.iter().flat_map(|group| {
            group.fields.iter().chain(group.fold.iter().flat_map(|fold| &fold.fields))
        })
    }

    /// The same, to be changed.
    pub(crate) fn fields_mut(&mut self) -> impl Iterator<Item = &mut FieldShown> {
        self.groups.iter_mut().flat_map(|group| {
            group.fields.iter_mut().chain(group.fold.iter_mut().flat_map(|fold| &mut fold.fields))
        })
    }

    /// The same about a hose that is not on record yet.
    pub(super) fn with_code(self, tag: Option<Code>) -> Self {
        Self { code: self.code.or(tag.map(|tag| tag.to_string())), ..self }
    }
}

/// The step of a swap that comes next, alone, with what is done in one line.
pub(super) fn swap(view: &SwapView, form: Option<Form>) -> FormShown {
    let form = form.unwrap_or_else(|| Form::default().lead(notices::SWAP_FINISHED));
    let step = view.next.as_ref().map_or("", |next| next.step);
    let mut shown = FormShown::of(&form);
    let of_step = |answer: &str| format!("{step}{OF_STEP}{answer}");
    for group in &mut shown.groups {
        group.title = form.title.as_str().into();
        for field in group.fields.iter_mut().filter(|field| field.name == form::ANSWER) {
            (field.kind, field.value) = (FieldKind::ScanToAnswer, of_step(""));
            shown.submit = Words::default();
        }
    }
    let answers = form.answers.iter().map(|choice| ChoiceShown {
        value: of_step(&choice.value),
        ..ChoiceShown::of(choice, false)
    });
    let give_up = FormOf::GiveUp { old: view.old.to_string(), new: view.new.to_string() };
    let give_up = ActionShown::new(swaps::GIVE_UP, Goes::Form { of: give_up });
    let lead = view.step_of().into_iter().chain(view.done_so_far()).chain(form.lead);
    let cautions = view.giving_up.iter().map(String::as_str).chain(view.cautions.iter().copied());
    FormShown {
        title: swaps::TITLE.into(),
        named: Some(swaps::off_and_on(&view.names, &view.seat).into()),
        lead: Words::all(lead),
        answers: answers.collect(),
        other: view.giving_up.as_ref().map(|_| give_up),
        cautions: Words::all(cautions),
        ..shown
    }
}

impl Line {
    pub(super) fn of(name: &str, words: &str) -> Self {
        Self { name: name.into(), words: words.into() }
    }
}

pub(super) fn lists<const N: usize>(all: [(&str, &Vec<Checked>); N]) -> Vec<HoseList> {
    let all = all.into_iter().filter(|(_, hoses)| !hoses.is_empty());
    let list = |(title, hoses): (&str, &Vec<Checked>)| HoseList {
        title: title.into(),
        open: title == labels::MISSING,
        hoses: HoseLine::all(hoses),
    };
    all.map(list).collect()
}

impl GroupShown {
    pub(super) fn untitled(fields: Vec<FieldShown>) -> Self {
        Self { title: Words::default(), notes: Vec::new(), fields, fold: None, of_place: false }
    }

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
            of_place: false,
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

pub(super) fn shown_of<'f>(fields: impl IntoIterator<Item = &'f Field>) -> Vec<FieldShown> {
    fields.into_iter().filter(|field| field.asked).filter_map(FieldShown::of).collect()
}

impl ChoiceShown {
    fn of(choice: &Choice, chosen: bool) -> Self {
        let verdict = choice.verdict.map(Into::into);
        Self { value: choice.value.clone(), label: choice.label.as_str().into(), verdict, chosen }
    }
}

impl FieldShown {
    /// A field that a phone can fill in.
    fn of(field: &Field) -> Option<Self> {
        let (kind, choices) = match &field.kind {
            // Phones have no form with a secret yet.
            Kind::Text | Kind::Prose | Kind::Secret => (FieldKind::Text, &[][..]),
            Kind::Date => (FieldKind::Date, &[][..]),
            Kind::Number(_) => (FieldKind::Number, &[][..]),
            Kind::Choice(choices) => (FieldKind::Choice, &choices[..]),
            Kind::Many(choices) => (FieldKind::Many, &choices[..]),
            Kind::Tick => (FieldKind::Tick, &[][..]),
            Kind::Tag | Kind::Barcode => (FieldKind::Scan, &[][..]),
            Kind::Scans => (FieldKind::Scans, &[][..]),
            Kind::Photo => (FieldKind::Photo, &[][..]),
            Kind::Fixed => return None,
        };
        let of_phone = (kind == FieldKind::Photo).then_some(phone::PHOTO_HINT);
        let choices = choices.iter().map(|choice| ChoiceShown::of(choice, field.is_chosen(choice)));
        Some(Self {
            name: field.name.clone(),
            label: field.label.as_str().into(),
            hint: of_phone.or(field.hint.as_deref()).map(Into::into),
            kind,
            choices: choices.collect(),
            value: field.text_value().to_owned(),
            wrong: field.wrong.as_deref().map(Into::into),
        })
    }
}
