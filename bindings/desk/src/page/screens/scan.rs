//! What was scanned, in any of four ways: typed or by a scanner that types, by
//! the camera, or in a photo.

use axum::http::header::CONTENT_TYPE;
use axum::response::{IntoResponse, Response};
use hosewright_core::tag::{Frame, Payload, PayloadError, TagText, read_frame, read_picture};
use hosewright_core::{Logbook, LogbookError};
use serde_json::json;

use super::{Shown, answer, see, sets};
use crate::page::ask::{Ask, Film, Photo};
use crate::page::fields::query;
use crate::page::refusal::Refusal;
use crate::page::routes;

/// Leads to the answer for what was typed.
pub async fn typed(ask: Ask) -> Shown {
    let text = ask.query.get("text").to_owned();
    if text.is_empty() {
        return Ok(see("/"));
    }
    let (set, known) = {
        let text = text.clone();
        ask.read(move |logbook, moment| {
            let set = logbook.set_answer_of(&text, moment)?;
            Ok((set, logbook.find_typed(&text)))
        })
        .await?
    };
    if let Some(set) = set {
        let code = TagText::parse(&text).map_or(set.code, |tag| tag.code());
        return match &set.set {
            Some(_) => Ok(see(&format!("/set/{code}"))),
            None => Ok(sets::not_known(&ask, &set)),
        };
    }
    match known {
        Ok(found) => Ok(see(&format!("/hose/{}", found.tag.unwrap_or(found.hose)))),
        // A tag of ours that is on no record here is answered from itself.
        Err(LogbookError::UnknownTag(_)) => answer::from_tag(ask, text).await,
        Err(error) => Err(error.into()),
    }
}

/// Reads a photo, and goes where what is scanned goes on its screen.
pub async fn photo(Photo { ask, fields, file }: Photo) -> Shown {
    let to = fields.get("to").to_owned();
    if !leads_here(&to) {
        return Err(Refusal::bad("the photo does not say which screen it is for"));
    }
    let texts = read_apart(&ask, move || {
        let found = read_picture(&file).map_err(LogbookError::from)?;
        Ok(found.into_iter().map(|found| found.text).collect())
    })
    .await?;
    let several = fields.ticked("several");
    let chosen = chosen(texts, several)?;
    let own = ["token", "to", "field", "several"];
    let kept = fields.pairs().iter().filter(|(name, _)| !own.contains(&name.as_str()));
    let field = if fields.get("field") == "scanned" { "scanned" } else { "text" };
    let pairs = kept.map(|(name, text)| (name.as_str(), text.as_str()));
    let pairs = pairs.chain(chosen.iter().map(|text| (field, text.as_str())));
    Ok(see(&format!("{to}?{}", query(pairs))))
}

/// Says what is written on tags in a frame of the camera.
pub async fn frame(Film { ask, grey }: Film) -> Shown {
    let (width, height) =
        (ask.query.needed("width", "the width")?, ask.query.needed("height", "the height")?);
    let texts: Vec<String> = read_apart(&ask, move || {
        let frame = Frame::new(&grey, width, height, width).map_err(Refusal::bad)?;
        Ok(read_frame(&frame).into_iter().map(|found| found.text).collect())
    })
    .await?;
    // A film passes over posters and boxes: of other people's codes those count
    // alone that are bound to a hose.
    let counts =
        move |logbook: &Logbook, text: &String| is_ours(text) || logbook.find_typed(text).is_ok();
    let texts = ask
        .read(move |logbook, _| {
            Ok(texts.into_iter().filter(|text| counts(logbook, text)).collect())
        })
        .await?;
    let (ours, foreign): (Vec<String>, Vec<String>) =
        Vec::into_iter(texts).partition(|text| is_ours(text));
    let texts = if ours.is_empty() { foreign } else { ours };
    let said = json!({ "texts": texts }).to_string();
    Ok::<Response, Refusal>(([(CONTENT_TYPE, "application/json")], said).into_response())
}

/// Reading a picture takes a whole processor: few at once.
async fn read_apart(
    ask: &Ask,
    read: impl FnOnce() -> Result<Vec<String>, Refusal> + Send + 'static,
) -> Result<Vec<String>, Refusal> {
    let _turn = ask.turn(&ask.house.pictures).await?;
    ask.apart(read).await
}

fn is_ours(text: &str) -> bool {
    !matches!(Payload::parse(text), Err(PayloadError::NotOurs { .. }))
}

/// The text that a photo is about: our tag before other people's codes.
fn chosen(texts: Vec<String>, several: bool) -> Result<Vec<String>, Refusal> {
    let (ours, foreign): (Vec<_>, Vec<_>) = texts.into_iter().partition(|text| is_ours(text));
    let texts = if ours.is_empty() { foreign } else { ours };
    match texts.len() {
        0 => Err(LogbookError::NoTagSeen.into()),
        1 => Ok(texts),
        _ if several => Ok(texts),
        _ => Err(LogbookError::SeveralTagsSeen(texts).into()),
    }
}

/// Whether an address is a screen of ours and nothing else: no other site, no
/// question of its own.
fn leads_here(to: &str) -> bool {
    let screens = routes::ROUTES.iter().filter(|route| route.how == routes::How::Get);
    let fits = |pattern: &str| {
        let (wanted, given) = (pattern.split('/'), to.split('/'));
        wanted.clone().count() == given.clone().count()
            && wanted
                .zip(given)
                .all(|(step, text)| step == text || (step.starts_with('{') && !text.is_empty()))
    };
    let plain = !to.contains(['?', '#', '\\', '\r', '\n']);
    plain && screens.into_iter().any(|route| fits(route.path))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_photo_leads_to_screens_of_ours_alone() {
        for to in ["/scan", "/set/Blue%201/out", "/swap/A/B", "/tags", "/owner/recall"] {
            assert!(leads_here(to), "{to}");
        }
        for to in [
            "",
            "//elsewhere.example",
            "https://elsewhere.example",
            "/scan?x=1",
            "/set//out",
            "/\\elsewhere.example",
            "scan",
            "/nothing",
            "/scan\r\nX: y",
            "/set/../../out",
        ] {
            assert!(!leads_here(to), "{to}");
        }
    }

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
