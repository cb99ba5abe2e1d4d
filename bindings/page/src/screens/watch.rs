//! Another device's film before the camera of this one.

use std::sync::Arc;

use hosewright_core::file::InMemory;
use hosewright_core::journal::{Seen, Sighted, Viewed};
use hosewright_core::tag::Frame;
use hosewright_core::words::sight;
use hosewright_core::{Logbook, LogbookError};
use maud::html;
use serde_json::json;

use super::bringing::brought;
use crate::frame::Screen;
use crate::host::{Host, Upload};
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::{Response, Shown, redirect};
use crate::state::State;
use crate::watching::Watching;

/// How far it is, and the camera.
pub fn screen(state: &State<'_>) -> Shown {
    let (left, viewed) = with(state.host, |watching, logbook| {
        let watch = watching.watch(logbook)?;
        Ok((watch.left(), watch.viewed()))
    })?;
    let half = |viewed: &&Viewed| viewed.needed > viewed.had && viewed.had > 0;
    let whole = viewed.needed > 0 && viewed.had == viewed.needed;
    let halves: Vec<String> = left.iter().chain([&viewed]).filter(half).map(sight::left).collect();
    let body = html! {
        h1 { (sight::WATCHED) }
        @if state.request.query.given("forgotten").is_some() { p.written role="status" { (sight::FORGOTTEN) } }
        p { (sight::WATCHED_LEAD) }
        @for half in &halves { p.note { (half) } }
        section.card #sight data-token=(state.request.person.token) data-looking=(sight::LOOKING)
            data-whole=(sight::WHOLE) data-none=(sight::NO_CAMERA) data-stopped=(l::SIGHT_FAILED) {
            p.under { button #sight-look.main type="button" hidden { (sight::LOOK) } }
            div #sight-none {
                p { (sight::NO_CAMERA) }
                p.under { a.button href="/owner/record" { (l::RECORD_TITLE) } }
            }
            div #sight-film hidden {
                video #sight-video muted playsinline {}
                div.row {
                    button #sight-torch type="button" hidden aria-pressed="false" { (l::SCAN_TORCH) }
                    label hidden { (l::SCAN_ZOOM) " " input #sight-zoom type="range"; }
                }
                progress #sight-bar max="1" value="0" aria-label=(sight::WATCHED) {}
                p #sight-far {}
            }
            p #sight-says role="status" {}
            form #sight-stop action="/owner/meet/watch/stop" method="post" hidden {
                (crate::form::token(&state.request.person.token))
                p { button type="submit" { (sight::STOP) } }
            }
            form #sight-take action="/owner/meet/watch/take" method="post" hidden[!whole] {
                (crate::form::token(&state.request.person.token))
                p { button.main type="submit" { (l::FILM_TAKE) } }
            }
        }
        @if whole || !halves.is_empty() {
            (state.form("/owner/meet/watch/forget").drawn(html! { p { button type="submit" { (sight::FORGET) } } }))
        }
        p.under { a.button href="/owner/meet" { (l::MEET_BACK) } }
    };
    Ok(Screen::new(sight::WATCHED, body).shown(state))
}

/// A frame of the camera, as the script of the page sends it.
pub fn frame(state: &State<'_>) -> Shown {
    let query = &state.request.query;
    let (width, height) =
        (query.needed("width", "the width")?, query.needed("height", "the height")?);
    let frame = Frame::new(state.picture("frame"), width, height, width).map_err(Refusal::bad)?;
    Ok(Response::new("application/json", watched(&frame, state.host)?))
}

/// Takes a frame of the camera into the film that is watched, and says how far that is: as JSON,
/// for the script that shows it.
///
/// # Errors
/// [`Refusal`] if the record cannot be read, or what was seen cannot be kept.
pub fn watched(frame: &Frame<'_>, host: &dyn Host) -> Result<String, Refusal> {
    let (sighted, viewed, keep) = with(host, |watching, logbook| {
        let sighted = watching.look(frame, logbook)?;
        let watch = watching.watch(logbook)?;
        Ok((sighted, watch.viewed(), watch.is_to_be_kept()))
    })?;
    if keep {
        kept(host)?;
    }
    let Sighted { seen, obstacle } = sighted;
    let odd = seen.and_then(sight::seen).or(obstacle.map(sight::hint));
    Ok(json!({
        "far": sight::viewed(&viewed),
        "odd": odd,
        "had": viewed.had,
        "needed": viewed.needed,
        "read": seen.is_some_and(|seen| seen != Seen::NoFrame),
        "whole": viewed.needed > 0 && viewed.had == viewed.needed,
    })
    .to_string())
}

/// The film of whoever asks, with the record that it goes on from.
fn with<T>(
    host: &dyn Host,
    work: impl FnOnce(&mut Watching, &Logbook) -> Result<T, LogbookError>,
) -> Result<T, Refusal> {
    let (mut work, mut done) = (Some(work), None);
    host.watching(&mut |watching| {
        let read = host.read(&mut |logbook| {
            done = work.take().map(|work| work(watching, logbook).map_err(Refusal::from));
        });
        if let Err(refusal) = read {
            done = Some(Err(refusal));
        }
    })?;
    done.unwrap_or_else(|| Err(Refusal::failed()))
}

/// The same with a record that can be written.
fn with_writing(
    host: &dyn Host,
    work: impl Fn(&mut Watching, &mut Logbook) -> Result<(), LogbookError>,
) -> Result<(), Refusal> {
    let mut done = Err(Refusal::failed());
    host.watching(&mut |watching| {
        let written = host.write(&mut |logbook| {
            done = work(watching, logbook).map_err(Refusal::from);
        });
        if let Err(refusal) = written {
            done = Err(refusal);
        }
    })?;
    done
}

/// Keeps what was half seen.
fn kept(host: &dyn Host) -> Result<(), Refusal> {
    with_writing(host, |watching, logbook| {
        let mut watch = std::mem::take(watching.watch(logbook)?);
        let kept = logbook.keep_watch(&mut watch);
        *watching.watch(logbook)? = watch;
        kept
    })
}

/// Stops for now.
pub fn stop(state: &State<'_>) -> Shown {
    kept(state.host)?;
    Ok(redirect("/owner/meet/watch"))
}

/// Forgets what was half seen.
pub fn forget(state: &State<'_>) -> Shown {
    with_writing(state.host, Watching::forget)?;
    Ok(redirect("/owner/meet/watch?forgotten=yes"))
}

/// Takes a film in that is whole.
pub fn take(state: &State<'_>) -> Shown {
    let content = with(state.host, |watching, logbook| {
        Ok(watching.watch(logbook)?.content().map(<[u8]>::to_vec).ok())
    })?;
    let content = content.ok_or_else(|| Refusal::bad(sight::NOT_WHOLE))?;
    let film: Arc<dyn Upload> = Arc::new(InMemory::new("film", content));
    let shown = brought(state, &film, false)?;
    with_writing(state.host, |watching, logbook| {
        watching.watch(logbook)?.done();
        Ok(())
    })?;
    kept(state.host)?;
    Ok(shown)
}
