//! What was scanned, in any of four ways: typed or by a scanner that types, by
//! the camera, or in a photo.

use hosewright_core::answer::Answer;
use hosewright_core::tag::{
    Frame, Payload, PayloadError, Reader, TagText, hint, read_badge, read_barcodes, read_picture,
};
use hosewright_core::{Logbook, LogbookError, NamingError, StaffError, words};
use maud::html;
use serde_json::json;

use super::{answer, hoses, sets};
use crate::fields::query;
use crate::frame::Screen;
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::{Remember, Response, Shown, redirect};
use crate::state::State;

/// Leads to the answer for what was typed.
pub fn typed(state: &State<'_>) -> Shown {
    let text = state.request.query.get("text");
    if text.is_empty() {
        return Ok(redirect("/"));
    }
    if read_badge(text).is_some() {
        return person(state, text);
    }
    let (set, known) = state.read(|logbook, moment| {
        Ok((logbook.set_answer_of(text, moment)?, logbook.find_typed(text)))
    })?;
    if let Some(set) = set {
        let code = TagText::parse(text).map_or(set.code, |tag| tag.code());
        return match &set.set {
            Some(_) => Ok(redirect(&format!("/set/{code}"))),
            None => Ok(sets::not_known(state, &set)),
        };
    }
    match known {
        Ok(found) => Ok(redirect(&format!("/hose/{}", found.tag.unwrap_or(found.hose)))),
        // One of our tags that is on no record here is answered from itself.
        Err(LogbookError::Naming(NamingError::UnknownTag(_))) => answer::from_tag(state, text),
        Err(error) => looked_for(state, text, error),
    }
}

/// Whoever scans their badge writes from now on.
fn person(state: &State<'_>, badge: &str) -> Shown {
    let person = state.read(|logbook, _| Ok(logbook.person(badge)?))?;
    match person.left {
        Some(on) => Err(LogbookError::from(StaffError::Left { name: person.name, on }).into()),
        None => Ok(redirect("/").remember(Remember::Name(person.name))),
    }
}

/// What is no tag is looked for: the hose where there is one, else the hoses that it
/// could mean, else what is wrong with it as a tag.
fn looked_for(state: &State<'_>, text: &str, error: LogbookError) -> Shown {
    let is_search = matches!(
        error,
        LogbookError::Naming(NamingError::NothingBeginsSo(_))
            | LogbookError::Naming(NamingError::TooShort(_))
            | LogbookError::Naming(NamingError::NotACode(_))
            | LogbookError::Naming(NamingError::Several { .. })
    );
    if !is_search {
        return Err(error.into());
    }
    let hits = state.read(|logbook, moment| Ok(logbook.look_for(text, FOUND, moment)?))?;
    match hits.as_slice() {
        [] => Err(error.into()),
        [hit] if hit.whole => Ok(redirect(&format!("/hose/{}", hit.answer.code))),
        hits => {
            let near = hits.iter().all(|hit| !hit.whole);
            let answers: Vec<Answer> = hits.iter().map(|hit| hit.answer.clone()).collect();
            let body = html! {
                h1 { (l::FOUND_TITLE) }
                p { @if near { (l::FOUND_NEAR) } @else { (l::FOUND_LEAD) } " “" (text) "”." }
                (hoses::rows(&answers))
            };
            Ok(Screen::new(l::FOUND_TITLE, body).shown(state))
        }
    }
}

/// How many hoses are shown that a text could mean.
const FOUND: usize = 50;

/// Reads a photo, and goes where what is scanned goes on its screen.
pub fn photo(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let to = fields.get("to");
    if !(state.is_screen)(to) {
        return Err(Refusal::bad("the photo does not say which screen it is for"));
    }
    let found = read_picture(state.picture("photo")).map_err(LogbookError::from)?;
    let texts = found.into_iter().map(|found| found.text).collect();
    let several = fields.ticked("several");
    let chosen = chosen(texts, several)?;
    let own = ["token", "to", "field", "several", "photo"];
    let kept = fields.pairs().iter().filter(|(name, _)| !own.contains(&name.as_str()));
    let field = if fields.get("field") == "scanned" { "scanned" } else { "text" };
    let pairs = kept.map(|(name, text)| (name.as_str(), text.as_str()));
    let pairs = pairs.chain(chosen.iter().map(|text| (field, text.as_str())));
    Ok(redirect(&format!("{to}?{}", query(pairs))))
}

/// Says what is written on tags in a frame of the camera.
pub fn frame(state: &State<'_>) -> Shown {
    let query = &state.request.query;
    let (width, height) =
        (query.needed("width", "the width")?, query.needed("height", "the height")?);
    let grey = state.picture("frame");
    let frame = Frame::new(grey, width, height, width).map_err(Refusal::bad)?;
    let mut reader = Reader::new();
    let mut found = reader.read(&frame).to_vec();
    found.extend(read_barcodes(&frame));
    let glimpse = if found.is_empty() { reader.glimpse(&frame) } else { None };
    let hint = glimpse.map(|glimpse| hint(glimpse.obstacle));
    let texts = found.into_iter().map(|found| found.text).collect();
    let seen = state.read(|logbook, _| Ok(seen(logbook, texts)))?;
    let (texts, names): (Vec<_>, Vec<_>) = seen.into_iter().unzip();
    let read = json!({ "texts": texts, "names": names, "hint": hint }).to_string();
    Ok(Response::new("application/json", read))
}

/// Of texts that a camera saw those that count, each with what its hose is called. A film
/// passes over posters and boxes: of other people's codes those count alone that are bound
/// to a hose, and where one of our tags is in view, none.
pub fn seen(logbook: &Logbook, texts: Vec<String>) -> Vec<(String, String)> {
    let counts = |text: &String| is_ours(text) || logbook.find_typed(text).is_ok();
    let texts = ours_first(texts.into_iter().filter(counts).collect());
    let named = |text: String| {
        let name = name(logbook, &text);
        (text, name)
    };
    texts.into_iter().map(named).collect()
}

/// What people call the hose of a text, with its code.
fn name(logbook: &Logbook, text: &str) -> String {
    let Ok(found) = logbook.find_typed(text) else {
        return TagText::parse(text).map_or_else(|_| text.to_owned(), |tag| tag.code().to_string());
    };
    let code = found.tag.unwrap_or(found.hose);
    let record = logbook.record(found.hose).ok();
    words::called(record.as_ref().and_then(|record| record.origin.own.number.as_ref()), code)
}

fn is_ours(text: &str) -> bool {
    !matches!(Payload::parse(text), Err(PayloadError::NotOurs { .. }))
}

/// Our tags; where there are none, other people's codes.
fn ours_first(texts: Vec<String>) -> Vec<String> {
    let (ours, foreign): (Vec<_>, Vec<_>) = texts.into_iter().partition(|text| is_ours(text));
    if ours.is_empty() { foreign } else { ours }
}

/// The text that a photo is about: our tag before other people's codes.
fn chosen(texts: Vec<String>, several: bool) -> Result<Vec<String>, Refusal> {
    let texts = ours_first(texts);
    match texts.len() {
        0 => Err(LogbookError::Naming(NamingError::NoTagSeen).into()),
        1 => Ok(texts),
        _ if several => Ok(texts),
        _ => Err(LogbookError::Naming(NamingError::SeveralTagsSeen(texts)).into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn our_tag_counts_before_other_codes() {
        let ours = "HW1:2RWBXCB4GDEA7.".to_owned();
        let other = "4006381333931".to_owned();
        let both = vec![other.clone(), ours.clone()];
        assert!(chosen(both, false).is_ok_and(|texts| texts == [ours]));
        assert!(chosen(vec![other.clone()], false).is_ok_and(|texts| texts == [other.clone()]));
        assert!(chosen(vec![other.clone(), "4".to_owned()], false).is_err());
        assert!(chosen(vec![other, "4".to_owned()], true).is_ok_and(|texts| texts.len() == 2));
        assert!(chosen(Vec::new(), true).is_err());
    }
}
