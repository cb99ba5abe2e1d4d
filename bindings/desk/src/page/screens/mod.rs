//! The screens: a file each, with what is asked of the core and how it is shown.

mod actions;
pub mod answer;
pub mod assets;
pub mod bringing;
pub mod care;
pub mod devices;
pub mod hold;
pub mod hoses;
pub mod identify;
pub mod inspect;
pub mod judging;
pub mod limits;
mod looking;
pub mod owner;
pub mod places;
pub mod recall;
pub mod record;
pub mod register;
pub mod rental;
pub mod scan;
pub mod set_change;
pub mod sets;
pub mod start;
pub mod survival;
pub mod swap;
pub mod tags;
pub mod take_back;
mod told;
pub mod visitor;

use axum::http::StatusCode;
use axum::http::header::LOCATION;
use axum::response::{IntoResponse, Response};
use hosewright_core::tag::Code;

/// What a screen comes to.
pub type Shown = Result<Response, super::refusal::Refusal>;

/// Sends the browser to another screen, after something was done or found.
fn see(to: &str) -> Response {
    (StatusCode::SEE_OTHER, [(LOCATION, to)]).into_response()
}

/// To a hose, with a word that something was written down.
fn see_written(hose: Code) -> Response {
    see(&format!("/hose/{hose}?written=yes"))
}
