//! The photographs of a hose: those that are sent, and those that are shown.

use hosewright_core::LogbookError;
use hosewright_core::answer::LastLook;
use hosewright_core::inspection::Place;
use hosewright_core::photograph::{Photograph, PhotographName};
use hosewright_core::tag::Code;
use hosewright_core::view::form::inspection::photo;
use hosewright_core::view::form::rental;
use hosewright_core::words;
use maud::{Markup, html};

use crate::parts::photograph;
use crate::refusal::Refusal;
use crate::state::State;

/// The photos that were sent of places, as the record keeps them.
pub fn photos(state: &State<'_>) -> Result<Vec<(Place, Photograph)>, Refusal> {
    let made = |(name, bytes): &(String, Vec<u8>)| {
        let place = Place::ALL.iter().find(|place| photo(**place) == *name);
        let place = place.ok_or_else(|| Refusal::bad("the form is not one of this page"))?;
        Ok((*place, Photograph::make(bytes).map_err(LogbookError::from)?))
    };
    state.request.pictures.iter().map(made).collect()
}

/// The photos that were sent of places of several hoses.
pub fn photos_of_hoses(state: &State<'_>) -> Result<Vec<(Code, Place, Photograph)>, Refusal> {
    let made = |(name, bytes): &(String, Vec<u8>)| {
        let of = rental::photo_of(name);
        let (hose, place) = of.ok_or_else(|| Refusal::bad("the form is not one of this page"))?;
        Ok((hose, place, Photograph::make(bytes).map_err(LogbookError::from)?))
    };
    state.request.pictures.iter().map(made).collect()
}

/// The photographs that an inspection has, small, each leading to itself.
pub fn photographs(hose: Code, look: &LastLook) -> Markup {
    let mut shown: Vec<(Place, PhotographName)> = look
        .findings
        .iter()
        .filter_map(|seen| Some((seen.seen.place(), seen.photograph?)))
        .collect();
    shown.dedup();
    html! {
        @for (place, name) in shown { (photograph(hose, name, &words::photograph_of(place))) }
    }
}
