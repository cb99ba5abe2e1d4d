//! A full inspection on a phone: one place a page, with two large answers. What the
//! form asks and what answers it, the core says; here is only which place is next.

use hosewright_core::words::inspection as say;

use super::shown::{
    FieldShown, FormShown, GroupShown, PlaceAnswer, PlaceButton, PlaceLine, PlaceShown,
};
use crate::{FieldKind, Words};

/// Where in the inspection a page is.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) enum At {
    /// At the first place that has no answer.
    #[default]
    Open,
    /// At this place; what can be found there is shown, or not.
    Place(usize, bool),
    /// Behind them all.
    End,
}

/// What the name of a box begins with that says that a place is clear.
const CLEAR: &str = "clear-";
/// What the name of a question about known damage begins with.
const OPEN: &str = "open:";

/// The places of an inspection, by the groups of its form that each page has.
pub(crate) struct Places(Vec<Vec<usize>>);

impl Places {
    /// The places of a form; none if it does not ask for one after another.
    pub(crate) fn of(form: &FormShown) -> Option<Self> {
        let (mut pages, mut joins) = (Vec::new(), Vec::new());
        for (at, group) in form.groups.iter().enumerate() {
            if clear(group).is_none() {
                continue;
            }
            joins.push(at);
            // Where nothing can be found by itself, one looks together with what follows.
            if group.fields.len() > 1 {
                pages.push(std::mem::take(&mut joins));
            }
        }
        (pages.len() > 1).then_some(Self(pages))
    }

    fn groups<'f>(&self, form: &'f FormShown, place: usize) -> Vec<&'f GroupShown> {
        let page = self.0.get(place).map_or(&[][..], Vec::as_slice);
        page.iter().filter_map(|group| form.groups.get(*group)).collect()
    }

    /// The boxes that say that a place is clear.
    pub(crate) fn boxes(&self, form: &FormShown, place: usize) -> Vec<String> {
        let boxes = self.groups(form, place).into_iter().filter_map(clear);
        boxes.map(|field| field.name.clone()).collect()
    }

    /// The place that has a field.
    pub(crate) fn with(&self, form: &FormShown, field: &str) -> Option<usize> {
        let has = |place: &usize| {
            let groups = self.groups(form, *place);
            groups.iter().any(|group| group.fields.iter().any(|known| known.name == field))
        };
        (0..self.0.len()).find(has)
    }

    /// Whether a place has its answer.
    fn answered(&self, form: &FormShown, place: usize) -> bool {
        self.groups(form, place).into_iter().all(|group| {
            let ticked = clear(group).is_some_and(|field| !field.value.is_empty());
            known(group).all(is_said) && (ticked || found(group).next().is_some())
        })
    }

    /// Where a page is, as the form stands.
    pub(crate) fn at(&self, form: &FormShown, at: At) -> At {
        match at {
            At::Place(place, open) if place < self.0.len() => At::Place(place, open),
            At::End => At::End,
            _ => self.next(form, 0),
        }
    }

    /// Where it goes on behind a place: at the next one, and at the end where all have an
    /// answer.
    pub(crate) fn next(&self, form: &FormShown, from: usize) -> At {
        let open = |place: &usize| !self.answered(form, *place);
        let all = 0..self.0.len();
        let next = (from..all.end).find(open).or_else(|| all.clone().find(open));
        next.map_or(At::End, |place| At::Place(place, false))
    }

    /// The form with the place that is asked about, or with all that was said.
    pub(crate) fn shown(&self, mut form: FormShown, at: At) -> FormShown {
        match at {
            At::Place(place, open) => {
                form.place = Some(self.place(&form, place, open));
                // It can be saved once every place has its answer.
                (form.submit, form.problem) = (Words::default(), None);
                (form.lead, form.cautions) = (Vec::new(), Vec::new());
            }
            _ => form.places = (0..self.0.len()).map(|place| self.line(&form, place)).collect(),
        }
        for group in self.0.iter().flatten() {
            if let Some(group) = form.groups.get_mut(*group) {
                group.of_place = true;
            }
        }
        form
    }

    fn place(&self, form: &FormShown, place: usize, open: bool) -> PlaceShown {
        let groups = self.groups(form, place);
        let known = groups.iter().flat_map(|group| known(group)).all(is_said);
        let found = groups.iter().any(|group| found(group).next().is_some());
        let open = open || found || groups.iter().any(|group| pictured(group));
        let usual = match (open, self.answered(form, place)) {
            (true, true) => Some(PlaceAnswer::Next),
            _ => known.then_some(PlaceAnswer::Nothing),
        };
        let more = (known && !open).then_some(PlaceAnswer::Something);
        let before = (place > 0).then_some(PlaceAnswer::Before);
        PlaceShown {
            place: number(place),
            words: say::place_of(place + 1, self.0.len()).into(),
            groups: groups.into_iter().map(|group| drawn(group, open)).collect(),
            buttons: [usual, more, before].into_iter().flatten().map(button).collect(),
        }
    }

    fn line(&self, form: &FormShown, place: usize) -> PlaceLine {
        let groups = self.groups(form, place);
        let found: Vec<String> = groups.iter().flat_map(|group| found(group)).collect();
        let mut words = match (self.answered(form, place), found.as_slice()) {
            (false, _) => say::NO_ANSWER_YET.to_owned(),
            (true, []) => say::NOTHING_HERE.to_owned(),
            (true, found) => found.join("; "),
        };
        if groups.iter().any(|group| pictured(group)) {
            words = format!("{words}, {}", say::WITH_PHOTO);
        }
        PlaceLine {
            place: number(place),
            name: groups.last().map(|group| group.title.clone()).unwrap_or_default(),
            words: words.into(),
        }
    }
}

fn number(place: usize) -> u32 {
    u32::try_from(place).unwrap_or(u32::MAX)
}

/// The box that says that a place is clear.
fn clear(group: &GroupShown) -> Option<&FieldShown> {
    group.fields.iter().find(|field| field.name.starts_with(CLEAR))
}

/// What is asked about damage on record.
fn known(group: &GroupShown) -> impl Iterator<Item = &FieldShown> {
    group.fields.iter().filter(|field| field.name.starts_with(OPEN))
}

fn is_said(field: &FieldShown) -> bool {
    !field.value.is_empty()
}

/// What was found at a place, in words.
fn found(group: &GroupShown) -> impl Iterator<Item = String> {
    let of_place = |field: &&FieldShown| !field.name.starts_with(CLEAR);
    group.fields.iter().filter(of_place).flat_map(|field| {
        let gone = |value: &str| field.name.starts_with(OPEN) && value != "same";
        let chosen = field.choices.iter().filter(move |one| one.chosen && !gone(&one.value));
        let counted = field.kind == FieldKind::Number && !field.value.is_empty();
        let counted = counted.then(|| format!("{}: {}", field.label, field.value));
        chosen.map(|one| one.label.to_string()).chain(counted).collect::<Vec<_>>()
    })
}

/// Whether there is a photo of a place.
fn pictured(group: &GroupShown) -> bool {
    let photo = |field: &&FieldShown| field.kind == FieldKind::Photo;
    group.fields.iter().find(photo).is_some_and(is_said)
}

/// A group as the page of a place has it: what can be found there once it is asked for.
/// The box stands in a button, but where nothing else is to be said.
fn drawn(group: &GroupShown, open: bool) -> GroupShown {
    let alone = group.fields.len() == 1;
    let asked = |field: &&FieldShown| match field.name.as_str() {
        name if name.starts_with(CLEAR) => open && alone,
        name => open || name.starts_with(OPEN),
    };
    let fields = group.fields.iter().filter(asked).cloned().collect();
    GroupShown { fields, ..group.clone() }
}

fn button(answer: PlaceAnswer) -> PlaceButton {
    let words = match answer {
        PlaceAnswer::Nothing => say::NOTHING_HERE,
        PlaceAnswer::Something => say::SOMETHING_HERE,
        PlaceAnswer::Next => say::NEXT_PLACE,
        PlaceAnswer::Before => say::PLACE_BEFORE,
    };
    PlaceButton { answer, words: words.into() }
}
