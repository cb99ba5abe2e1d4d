//! What a touch does on a form. It crosses as what was touched, and means the same
//! however the form was drawn when it was: ticked is ticked, also the second time.

use std::fs;
use std::path::Path;

use hosewright_core::words::slips;

use super::page::{Asked, Page, State};
use super::shown::{Follows, Question};
use super::touch::{PageOf, Touch, Written};
use crate::form::{At, Places, REMINDS};
use crate::{
    FieldKind, FieldShown, FormOf, FormShown, Logbook, PlaceAnswer, RefusedError, Words, all_labels,
};

/// The field that has what was found.
const FINDING: &str = "finding";

impl Page {
    /// Does what a touch of a form does.
    pub(super) fn fills_in(
        &self,
        state: &mut State,
        touch: Touch,
        today: &str,
    ) -> Result<(), RefusedError> {
        let PageOf::Form { of } = &self.of else { return Ok(()) };
        let (book, now) = (self.record.book()?, self.record.moment(today));
        let form = match touch {
            Touch::Tick { field, yes } => {
                if yes && *of == FormOf::Settings && field == REMINDS {
                    state.follows = Some(Follows::AskToRemind);
                }
                book.chosen(of, (&field, ""), yes, &now)?
            }
            Touch::Choose { field, value, yes } => book.chosen(of, (&field, &value), yes, &now)?,
            Touch::Write { field, text } => {
                let form = write(&book, of, state, Written { field, text }, &now)?;
                state.shown.said.clear();
                form
            }
            Touch::Photograph { field, path } => {
                let file = path.as_deref().map(Path::new);
                let form = book.photographed(of, (&field, file), &now)?;
                // A copy of this app's own, of which the draft has what it needs.
                file.into_iter().for_each(|file| drop(fs::remove_file(file)));
                form
            }
            Touch::Scanned { field, text } => {
                state.unsaved.remove(&field);
                let form = book.form(of.clone(), now.clone())?;
                match form.fields().find(|known| known.name == field) {
                    // A scan that answers a step goes with the step that it was drawn for.
                    Some(FieldShown { kind: FieldKind::ScanToAnswer, value, .. }) => {
                        let answer = Some(format!("{value}{text}"));
                        return self.save(state, (Vec::new(), answer), today);
                    }
                    _ => book.touch_form(of.clone(), field, text, now)?,
                }
            }
            Touch::Save { typed, answer } => return self.save(state, (typed, answer), today),
            Touch::Place { place, answer } => {
                let place = usize::try_from(place).unwrap_or(usize::MAX);
                let form = book.form(of.clone(), now.clone())?;
                let Some(places) = Places::of(&form) else { return Ok(()) };
                let (form, at) = book.place(of, (&places, form), (place, answer), &now)?;
                state.at = at;
                form
            }
            Touch::ToPlace { place } => {
                state.at = At::Place(usize::try_from(place).unwrap_or(usize::MAX), false);
                book.form(of.clone(), now)?
            }
            Touch::StartAgain => {
                state.unsaved.clear();
                state.shown.said.clear();
                state.at = At::Open;
                book.drop_form(of.clone())?;
                book.form(of.clone(), now)?
            }
            _ => return Ok(()),
        };
        self.shows(state, form);
        Ok(())
    }

    /// What stands in the fields and the saving are one: what is refused of a field is
    /// not left out of what is saved.
    fn save(
        &self,
        state: &mut State,
        (typed, answer): (Vec<Written>, Option<String>),
        today: &str,
    ) -> Result<(), RefusedError> {
        let PageOf::Form { of } = &self.of else { return Ok(()) };
        if let FormOf::Counters { symbol } = of {
            return self.meets(state, symbol.as_deref(), today);
        }
        let (book, now) = (self.record.book()?, self.record.moment(today));
        for written in typed {
            let form = write(&book, of, state, written, &now)?;
            self.shows(state, form);
        }
        if let Some((_, refused)) = state.unsaved.values().next() {
            return Err(refused.clone());
        }
        if self.record.name().is_empty() && !of.writes_nothing() {
            let labels = all_labels();
            let question = Question {
                words: vec![labels.who_writes],
                field: Some(labels.your_name),
                yes: labels.use_name,
                no: labels.leave_it,
            };
            state.ask(Asked::Name(Touch::Save { typed: Vec::new(), answer }), question);
            return Ok(());
        }
        let saved = match book.submitted(of, answer.clone(), state.sure, &now) {
            Err(RefusedError::AskFirst { questions, .. }) => {
                ask_about(state, questions, Touch::Save { typed: Vec::new(), answer });
                return Ok(());
            }
            Err(RefusedError::Field { field, words }) => {
                self.goes_to(state, &field);
                return Err(RefusedError::Field { field, words });
            }
            saved => saved?,
        };
        state.shown.said = Vec::from_iter((!saved.words.is_empty()).then(|| saved.words.clone()));
        if let Some(next) = saved.next {
            self.shows(state, next);
            return Ok(());
        }
        if let Some(answer) = &saved.answer {
            let (text, said) = (answer.code.clone(), saved.words.clone());
            state.follows = Some(Follows::Hose { text, said, aloud: false });
        }
        state.shown.done = Some(saved);
        Ok(())
    }

    /// Goes to the place that has a field, if the form asks for one after another.
    fn goes_to(&self, state: &mut State, field: &str) {
        let Some(form) = state.shown.form.clone() else { return };
        let place = Places::of(&form).and_then(|places| places.with(&form, field));
        if let Some(place) = place {
            state.at = At::Place(place, field == FINDING);
            self.shows(state, FormShown { place: None, places: Vec::new(), ..form });
        }
    }

    /// A form as it is drawn: what was refused of it stands in it, with why.
    pub(super) fn shows(&self, state: &mut State, mut form: FormShown) {
        for field in form.fields_mut() {
            if let Some((text, refused)) = state.unsaved.get(&field.name) {
                field.value.clone_from(text);
                field.wrong = Some(Words::from(refused.to_string()));
            }
        }
        if let Some(places) = Places::of(&form) {
            state.at = places.at(&form, state.at);
            form = places.shown(form, state.at);
        }
        state.shown.form = Some(form);
    }
}

/// Asks about what looks like a slip; the hose is named once more, by its own number first.
fn ask_about(state: &mut State, questions: Vec<Words>, waits: Touch) {
    let named = state.shown.form.as_ref().and_then(|form| form.hose.clone());
    let words = named.into_iter().chain(questions);
    let labels = all_labels();
    let (yes, no) = (slips::YES.into(), labels.leave_it);
    let question = Question { words: words.collect(), field: None, yes, no };
    state.ask(Asked::Slip(waits), question);
}

/// What stands in a field is kept; refused, it stays in the field, and is not lost.
fn write(
    book: &Logbook,
    of: &FormOf,
    state: &mut State,
    written: Written,
    now: &crate::Moment,
) -> Result<FormShown, RefusedError> {
    let Written { field, text } = written;
    let kept = book.touch_form(of.clone(), field.clone(), text.clone(), now.clone());
    match &kept {
        Err(RefusedError::Store { .. }) => {}
        // A field that is not there any more can't be put right.
        Err(refused) if book.form(of.clone(), now.clone())?.fields().any(|f| f.name == field) => {
            state.unsaved.insert(field, (text, refused.clone()));
        }
        Err(_) => {}
        Ok(_) => {
            state.unsaved.remove(&field);
        }
    }
    kept
}

impl Logbook {
    /// Answers a place, and says where it goes on.
    fn place(
        &self,
        of: &FormOf,
        (places, mut form): (&Places, FormShown),
        (place, answer): (usize, PlaceAnswer),
        now: &crate::Moment,
    ) -> Result<(FormShown, At), RefusedError> {
        Ok(match answer {
            PlaceAnswer::Nothing => {
                for clear in places.boxes(&form, place) {
                    form = self.chosen(of, (&clear, ""), true, now)?;
                }
                let at = places.next(&form, place.saturating_add(1));
                (form, at)
            }
            PlaceAnswer::Something => (form, At::Place(place, true)),
            PlaceAnswer::Next => {
                let at = places.next(&form, place.saturating_add(1));
                (form, at)
            }
            PlaceAnswer::Before => (form, At::Place(place.saturating_sub(1), false)),
        })
    }

    /// Sees to it that a choice is chosen, or that it is not.
    fn chosen(
        &self,
        of: &FormOf,
        (field, value): (&str, &str),
        yes: bool,
        now: &crate::Moment,
    ) -> Result<FormShown, RefusedError> {
        let form = self.form(of.clone(), now.clone())?;
        let is = form.fields().filter(|known| known.name == field).any(|known| match known.kind {
            FieldKind::Choice | FieldKind::Many => {
                known.choices.iter().any(|choice| choice.value == value && choice.chosen)
            }
            _ => !known.value.is_empty(),
        });
        if is == yes {
            return Ok(form);
        }
        let one = |known: &FieldShown| known.name == field && known.kind == FieldKind::Choice;
        let value = if !yes && form.fields().any(one) { "" } else { value };
        self.touch_form(of.clone(), field.to_owned(), value.to_owned(), now.clone())
    }
}
