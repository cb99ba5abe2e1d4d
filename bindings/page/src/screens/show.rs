//! A film on this screen, for the camera of another device.

use std::sync::Arc;

use hosewright_core::LogbookError;
use hosewright_core::file::InMemory;
use hosewright_core::journal::{Film, FilmPace};
use hosewright_core::words::sight;
use maud::{Markup, html};

use crate::fields::query;
use crate::frame::Screen;
use crate::host::Waiting;
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::{Response, Shown, redirect};
use crate::state::State;

/// How many frames the screen asks for at once.
const STRIP: u32 = 60;

/// A button that begins a film; `what` says of what.
pub fn button(state: &State<'_>, what: &[(&str, &str)], words: &str, first: bool) -> Markup {
    state.form("/owner/meet/show").drawn(html! {
        @for (name, value) in what { input type="hidden" name=(name) value=(value); }
        p.under { button.main[first] type="submit" { (words) } }
    })
}

/// Makes a film of what the other lacks, or of everything; or of what is here without the
/// entries. It is kept: the record may go on while it is shown.
pub fn begin(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let size = FilmPace::Usual.size();
    let since = fields.given("since").map(|key| state.host.kept(Waiting::Holdings, key));
    let since = since.transpose()?;
    let (film, entries) = state.read(|logbook, moment| {
        if fields.ticked("holds") {
            return Ok((logbook.film_of_holdings(size, moment.today)?, 0));
        }
        let header = since.map(|file| logbook.bundle_header(&*file));
        Ok(logbook.film(header.transpose()?.as_ref(), size, moment.today, |_| ())?)
    })?;
    let content = InMemory::new("film", film.content());
    let key = state.host.keep(Waiting::Film, Arc::new(content))?;
    let entries = entries.to_string();
    let asked = [("film", key.as_str()), ("entries", entries.as_str())];
    Ok(redirect(&format!("/owner/meet/film?{}", query(asked))))
}

/// What is asked of a film.
struct Asked {
    key: String,
    pace: FilmPace,
    film: Film,
}

fn asked(state: &State<'_>) -> Result<Asked, Refusal> {
    let fields = &state.request.query;
    let key = fields.get("film").to_owned();
    let pace = fields.parsed("pace")?.unwrap_or(FilmPace::Usual);
    let kept = state.host.kept(Waiting::Film, &key).map_err(|_| Refusal::bad(l::FILM_GONE))?;
    let mut content = Vec::new();
    kept.open()?.read_to_end(&mut content)?;
    let film = Film::new(&content, pace.size()).map_err(LogbookError::from)?;
    Ok(Asked { key, pace, film })
}

impl Asked {
    fn address(&self, of: &str) -> String {
        let asked = [("film", self.key.as_str()), ("pace", self.pace.word())];
        format!("/owner/meet/film/{of}?{}", query(asked))
    }
}

/// The film: it begins by a press, since it flickers. One of a single frame stands still.
pub fn film(state: &State<'_>) -> Shown {
    let asked = asked(state)?;
    let entries = state.request.query.parsed("entries")?.unwrap_or(0);
    let still = asked.film.parts() == 1;
    let body = html! {
        h1 { (sight::SHOWN) }
        p { (sight::film(entries, &asked.film, asked.pace)) " " @if !still { b { (sight::FLICKER) } } }
        @if still {
            p.strip { img src=(asked.address("film.png")) alt=(sight::SHOWN); }
        } @else {
            div #strip-box data-strip=(asked.address("strip")) data-rate=(asked.pace.rate())
                data-calm-rate=(FilmPace::Calm.rate()) {
                p.under { button #strip-go.main type="button" hidden data-pause=(sight::PAUSE) { (sight::START) } }
                p #strip-calm.hint hidden { (sight::CALM) }
                p #strip-says role="status" {}
                p.strip { canvas #strip role="img" aria-label=(sight::SHOWN) hidden {} }
            }
        }
        p { (sight::HOLD) }
        @if !still { (paces(&asked, entries)) }
        section.card {
            p.under { a.button.main href="/owner/meet/watch" { (sight::WATCH) } a.button href="/owner/meet" { (l::MEET_BACK) } }
            p { (sight::AS_PICTURE_LEAD) }
            p.under { a.button href=(asked.address("film.png")) { (sight::AS_PICTURE) } }
        }
    };
    Ok(Screen::new(sight::SHOWN, body).shown(state))
}

fn paces(asked: &Asked, entries: u64) -> Markup {
    html! {
        form.card action="/owner/meet/film" method="get" {
            input type="hidden" name="film" value=(asked.key);
            input type="hidden" name="entries" value=(entries);
            fieldset.choice {
                legend { (sight::PACE) }
                @for pace in FilmPace::ALL {
                    label.pick {
                        input type="radio" name="pace" value=(pace) checked[*pace == asked.pace];
                        span { (sight::pace(*pace)) }
                    }
                }
            }
            p { button type="submit" { (sight::CHANGE) } }
        }
    }
}

/// Frames for the script that draws them, from one on.
pub fn strip(state: &State<'_>) -> Shown {
    let from = state.request.query.needed("from", "the frame to begin with")?;
    let strip = asked(state)?.film.strip(from, STRIP).map_err(LogbookError::from)?;
    Ok(Response::new("application/octet-stream", strip))
}

/// The whole film as a picture that moves.
pub fn picture(state: &State<'_>) -> Shown {
    let Asked { pace, film, .. } = asked(state)?;
    state.file("image/png", ("inline", "film.png"), |out| {
        Ok(film.write_png(film.round(), pace.rate(), out, |_| ())?)
    })
}
