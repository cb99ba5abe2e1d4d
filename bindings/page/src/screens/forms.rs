//! Every form of the core's: its screen, and what comes of sending it.

use hosewright_core::inspection::InspectionKind;
use hosewright_core::tag::Code;
use hosewright_core::view::Action;
use hosewright_core::view::form::{About, Form, Kind};
use hosewright_core::{Logbook, Saved};
use http::Method;
use maud::{Markup, html};

use super::looking::photos;
use crate::frame::Screen;
use crate::labels as l;
use crate::parts::{cautions, sign};
use crate::refusal::Refusal;
use crate::response::{Response, Shown, redirect, redirect_saved};
use crate::state::State;

/// The form of an action, sent to where this screen is, with what was typed in it
/// if it was refused.
pub fn form(
    state: &State<'_>,
    action: impl FnOnce(&Logbook) -> Result<Action, Refusal>,
) -> Result<Form, Refusal> {
    state.read(|logbook, moment| {
        let action = action(logbook)?;
        let mut filled = match state.refused {
            Some(refused) => refused.typed.filled(),
            None => logbook.begin_form(action)?,
        };
        if state.refused.is_none() {
            for name in ["tag", "registration"] {
                filled.add(name, state.request.query.get(name));
            }
        }
        Ok(logbook.form(action, &filled, moment)?)
    })
}

/// A screen with one form, sent to where it is.
pub fn screen(state: &State<'_>, form: &Form) -> Response {
    let photos = form.fields().any(|field| field.kind == Kind::Photo);
    let drawn = state.form(&state.request.path).class("looking");
    let drawn = if photos { drawn.with_files() } else { drawn };
    let about = form.about.as_ref();
    let title = about
        .map_or_else(|| form.title.clone(), |about| format!("{} · {}", form.title, about.code));
    let body = html! {
        (head(about, &form.title))
        (drawn.shown(form))
        @if !form.cautions.is_empty() { (cautions(&form.cautions)) }
        @if let Some(about) = about { p { a.button href={ "/hose/" (about.code) } { (l::CANCEL) } } }
    };
    Screen::new(title, body).shown(state)
}

/// Which hose a form is about, and its status.
pub fn head(about: Option<&About>, title: &str) -> Markup {
    html! {
        h1 { (title) }
        @if let Some(About { code, verdict, words, .. }) = about {
            p.about {
                (sign(*verdict)) " " a.code href={ "/hose/" (code) } { (code) } " "
                b { (verdict) } " " (words)
            }
        }
    }
}

/// A form on a card of its own, sent to an address.
pub fn card(state: &State<'_>, id: &str, form: &Form, to: &str) -> Markup {
    html! {
        section.card id=(id) {
            h2 { (form.title) }
            (state.form(to).on_card(form))
            @if !form.cautions.is_empty() { (cautions(&form.cautions)) }
        }
    }
}

/// The form to register a hose.
pub fn register(state: &State<'_>) -> Shown {
    Ok(screen(state, &form(state, |_| Ok(NEW))?))
}

/// Registers it, and shows it.
pub fn registered(state: &State<'_>) -> Shown {
    let hose = save(state, |_| Ok(NEW))?;
    Ok(redirect(&format!("/hose/{hose}?registered=yes")))
}

const NEW: Action = Action::Register { tag: None };

/// The form to edit the details of a hose.
pub fn describe(state: &State<'_>) -> Shown {
    shown(state, |hose| Action::Describe { hose })
}

/// Edits them.
pub fn edited(state: &State<'_>) -> Shown {
    saved(state, |hose| Action::Describe { hose })
}

/// The form of an inspection.
pub fn inspect(state: &State<'_>) -> Shown {
    let kind = state.request.query.parsed("kind")?.unwrap_or(InspectionKind::Quick);
    shown(state, |hose| Action::Inspect { hose, kind })
}

/// Records one.
pub fn inspected(state: &State<'_>) -> Shown {
    let kind = state.request.form.needed("kind", "the kind of inspection")?;
    saved(state, |hose| Action::Inspect { hose, kind })
}

/// The form of the registration that was chosen of a hose.
pub fn identify(state: &State<'_>) -> Shown {
    shown(state, |hose| Action::Identify { hose })
}

/// Gives the hose in the hand its new tag.
pub fn identified(state: &State<'_>) -> Shown {
    saved(state, |hose| Action::Identify { hose })
}

/// Soaked, cleaned and dried.
pub fn clean(state: &State<'_>) -> Shown {
    saved(state, |hose| Action::Clean { hose })
}

/// New O-rings at one end.
pub fn reseal(state: &State<'_>) -> Shown {
    saved(state, |hose| Action::Reseal { hose, end: None })
}

/// Dives outside a rental.
pub fn dived(state: &State<'_>) -> Shown {
    saved(state, |hose| Action::Dive { hose })
}

/// A new valve core or coupling.
pub fn recouple(state: &State<'_>) -> Shown {
    saved(state, |hose| Action::ReplaceCoupling { hose })
}

/// Binds a maker's own barcode to the hose.
pub fn bind(state: &State<'_>) -> Shown {
    saved(state, |hose| Action::BindBarcode { hose })
}

/// A new tag; the old one is withdrawn.
pub fn retag(state: &State<'_>) -> Shown {
    saved(state, |hose| Action::Retag { hose })
}

/// Out of service for good.
pub fn retire(state: &State<'_>) -> Shown {
    saved(state, |hose| Action::Retire { hose })
}

/// Puts it on hold.
pub fn hold(state: &State<'_>) -> Shown {
    saved(state, |hose| Action::Hold { hose })
}

/// Releases it.
pub fn release(state: &State<'_>) -> Shown {
    saved(state, |hose| Action::Release { hose })
}

/// Puts it in a port.
pub fn fit(state: &State<'_>) -> Shown {
    saved(state, |hose| Action::Place { hose })
}

/// It is where the record shows it, as someone saw who looked.
pub fn confirm_place(state: &State<'_>) -> Shown {
    saved(state, |hose| Action::ConfirmPlace { hose })
}

/// The form about the hose of the path.
fn shown(state: &State<'_>, action: impl FnOnce(Code) -> Action) -> Shown {
    Ok(screen(state, &form(state, |logbook| on_hose(state, logbook, action))?))
}

/// Records what a form about the hose of the path says, and leads to it.
fn saved(state: &State<'_>, action: impl FnOnce(Code) -> Action) -> Shown {
    Ok(redirect_saved(save(state, |logbook| on_hose(state, logbook, action))?))
}

/// What gets a new tag or is retired is named by its whole code.
fn on_hose(
    state: &State<'_>,
    logbook: &Logbook,
    action: impl FnOnce(Code) -> Action,
) -> Result<Action, Refusal> {
    let typed = state.parameter("code");
    let action = action(logbook.find_typed(typed)?.hose);
    let for_good =
        matches!(action, Action::Identify { .. } | Action::Retag { .. } | Action::Retire { .. });
    if for_good && state.request.method == Method::POST {
        logbook.find_whole(typed)?;
    }
    Ok(action)
}

/// Records what a form about a hose says.
fn save(
    state: &State<'_>,
    action: impl FnOnce(&Logbook) -> Result<Action, Refusal>,
) -> Result<Code, Refusal> {
    let photographs = photos(state)?;
    state.write(|logbook, moment| {
        let (action, filled) = (action(logbook)?, state.request.form.filled());
        match logbook.submit_form_with(action, &filled, photographs, moment)? {
            Saved::OfHose { hose, .. } => Ok(hose),
            Saved::OfSet(_) | Saved::Returned(_) => Err(Refusal::failed()),
        }
    })
}
