//! Photos of what was found: taken or chosen at a form, kept with its draft as the record
//! would keep them, and recorded with what the form says.

use std::fs;
use std::path::Path;

use hosewright_core::inspection::Place;
use hosewright_core::photograph::{Photograph, PhotographError};
use hosewright_core::tag::Code;
use hosewright_core::view::form::{Filled, inspection, rental};
use hosewright_core::words::sentence;

use super::saved::Pictured;
use super::shown::FormShown;
use super::{FieldKind, FieldShown, FormOf, name};
use crate::{Logbook, Moment, RefusedError, phone};

impl Logbook {
    /// A photo was taken or chosen for a field, or is left out again. The file is this app's
    /// own copy; it stays until somebody takes it away.
    ///
    /// # Errors
    /// [`RefusedError::Field`] if it is no picture that can be kept, or there is no such
    /// field; others if it can't be read or kept.
    pub(crate) fn photographed(
        &self,
        of: &FormOf,
        (field, file): (&str, Option<&Path>),
        moment: &Moment,
    ) -> Result<FormShown, RefusedError> {
        // Unpacking takes a while, in which others may ask.
        let taken = file.map(|file| made(field, file)).transpose()?;
        let (core, now) = (self.core(), moment.core()?);
        let (task, mut draft) = self.begun(&core, of)?;
        let drawn = task.shown(&core, &draft.filled, &now)?;
        let asked = |known: &&FieldShown| known.name == field;
        if !drawn.fields().find(asked).is_some_and(|known| known.kind == FieldKind::Photo) {
            return Err(refused(field, phone::NO_PHOTO_HERE));
        }
        let draft_name = name(task);
        let called =
            taken.map(|taken| self.drafts.keep_photograph(&draft_name, &taken)).transpose()?;
        draft.filled.set(field, called.as_deref().unwrap_or_default());
        self.drafts.keep(&draft_name, &Some(&draft))?;
        let has = |called: &str| pictures(&draft.filled).any(|(_, known)| known == called);
        self.drafts.forget_photographs(&draft_name, has);
        self.shown(&core, task, &draft.filled, &now)
    }

    /// The photos of a form, as they are recorded.
    pub(super) fn pictured(
        &self,
        draft: &str,
        filled: &Filled,
    ) -> Result<Vec<Pictured>, RefusedError> {
        let read = |(field, called): (&str, &str)| {
            let (hose, place) = of_field(field)?;
            let bytes = fs::read(self.drafts.photograph(draft, called)).unwrap_or_default();
            let gone = |_| refused(field, phone::PHOTO_GONE);
            Some(Photograph::kept(bytes).map_err(gone).map(|photo| (hose, place, photo)))
        };
        pictures(filled).filter_map(read).collect()
    }

    /// A form with the files of its photos in their fields. A photo is asked for where
    /// something was found.
    pub(super) fn with_pictures(
        &self,
        draft: &str,
        filled: &Filled,
        mut shown: FormShown,
    ) -> FormShown {
        for field in shown.fields_mut().filter(|field| field.kind == FieldKind::Photo) {
            let file = filled.given(&field.name).map(|it| self.drafts.photograph(draft, it));
            field.value = file.map(|it| it.to_string_lossy().into_owned()).unwrap_or_default();
        }
        let idle = |field: &&FieldShown| {
            field.kind == FieldKind::Photo && field.value.is_empty() && !found(&shown, &field.name)
        };
        let idle: Vec<String> =
            shown.fields().filter(idle).map(|field| field.name.clone()).collect();
        for group in &mut shown.groups {
            group.fields.retain(|field| !idle.contains(&field.name));
            if let Some(fold) = &mut group.fold {
                fold.fields.retain(|field| !idle.contains(&field.name));
            }
        }
        shown
    }
}

/// Whether something was found where a photo is of.
fn found(form: &FormShown, photo: &str) -> bool {
    let Some((_, place)) = of_field(photo) else { return false };
    let hose = photo.strip_suffix(&inspection::photo(place)).unwrap_or_default();
    let at = format!("{place}:");
    let (finding, known) = (format!("{hose}finding"), format!("{hose}open:{at}"));
    let count = format!("{hose}count:{at}");
    form.fields().any(|field| {
        let chosen = |is: &dyn Fn(&str) -> bool| {
            field.choices.iter().any(|choice| choice.chosen && is(&choice.value))
        };
        (field.name == finding && chosen(&|value| value.starts_with(&at)))
            || (field.name.starts_with(&known) && chosen(&|value| value != "gone"))
            || (field.name.starts_with(&count) && !field.value.is_empty())
    })
}

fn made(field: &str, file: &Path) -> Result<Photograph, RefusedError> {
    let bytes = fs::read(file)
        .map_err(|why| RefusedError::File { words: phone::file_failed(&why).into() })?;
    Photograph::make(&bytes).map_err(|why: PhotographError| refused(field, &why.to_string()))
}

fn refused(field: &str, words: &str) -> RefusedError {
    RefusedError::Field { field: field.to_owned(), words: sentence(words).into() }
}

/// The fields of photos that are filled in, with how the draft calls each.
fn pictures(filled: &Filled) -> impl Iterator<Item = (&str, &str)> {
    filled.beginning("").filter(|(field, _)| of_field(field).is_some())
}

/// The hose and the place of which a field has a photo.
fn of_field(field: &str) -> Option<(Option<Code>, Place)> {
    if let Some((hose, place)) = rental::photo_of(field) {
        return Some((Some(hose), place));
    }
    let place = Place::ALL.iter().find(|place| inspection::photo(**place) == field)?;
    Some((None, *place))
}
