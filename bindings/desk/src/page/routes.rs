//! The one table of what can be asked. The router is made from it, and so are
//! the tests that try every row without a session or a token.

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware;
use axum::routing::{MethodRouter, get, post};

use super::ask::MOST_PHOTO;
use super::guard;
use super::refusal::Refusal;
use super::screens::{
    answer, assets, care, hoses, inspect, owner, places, recall, register, rental, scan, sets,
    start, survival, swap, tags, visitor,
};
use super::shared::House;

/// How something is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// It is only shown.
    Get,
    /// It changes something, or sends something here.
    Post,
}

/// One thing that can be asked.
#[derive(Clone, Copy)]
pub struct Route {
    /// How.
    pub how: How,
    /// Where.
    pub path: &'static str,
    /// Whether it needs no session: what a visitor sees before the pass phrase.
    pub open: bool,
    handler: fn() -> MethodRouter<House>,
}

const fn shown(path: &'static str, handler: fn() -> MethodRouter<House>) -> Route {
    Route { how: How::Get, path, open: false, handler }
}

const fn done(path: &'static str, handler: fn() -> MethodRouter<House>) -> Route {
    Route { how: How::Post, path, open: false, handler }
}

const fn to_all(route: Route) -> Route {
    Route { open: true, ..route }
}

/// Everything that can be asked.
#[rustfmt::skip]
pub const ROUTES: &[Route] = &[
    to_all(shown("/style.css", || get(assets::style))),
    to_all(shown("/page.js", || get(assets::script))),
    to_all(shown("/icon.svg", || get(assets::icon))),
    to_all(shown("/login", || get(visitor::login))),
    to_all(done("/login", || post(visitor::sign_in))),
    done("/logout", || post(visitor::sign_out)),
    shown("/who", || get(visitor::who)),
    done("/who", || post(visitor::set_who)),
    shown("/", || get(start::show)),
    done("/demo", || post(start::open_demo)),
    done("/demo/leave", || post(start::leave_demo)),
    shown("/scan", || get(scan::typed)),
    done("/photo", || post(scan::photo)),
    done("/frame", || post(scan::frame)),
    shown("/hose/{code}", || get(answer::show)),
    shown("/hose/{code}/inspect", || get(inspect::form)),
    done("/hose/{code}/inspect", || post(inspect::write)),
    shown("/hose/{code}/photo/{name}", || get(answer::photo)),
    shown("/hose/{code}/care", || get(care::forms)),
    done("/hose/{code}/clean", || post(care::clean)),
    done("/hose/{code}/reseal", || post(care::reseal)),
    done("/hose/{code}/bind", || post(care::bind)),
    shown("/hose/{code}/describe", || get(register::again)),
    done("/hose/{code}/describe", || post(register::describe)),
    done("/hose/{code}/retire", || post(care::retire)),
    done("/hose/{code}/retag", || post(care::retag)),
    shown("/hose/{code}/place", || get(places::form)),
    done("/hose/{code}/fit", || post(places::fit)),
    done("/hose/{code}/remove", || post(places::remove)),
    shown("/hose/{code}/swap", || get(swap::choose)),
    shown("/swap/{old}/{new}", || get(swap::show)),
    done("/swap/{old}/{new}", || post(swap::step)),
    done("/swap/{old}/{new}/give-up", || post(swap::give_up)),
    shown("/hoses", || get(hoses::list)),
    shown("/register", || get(register::form)),
    done("/register", || post(register::write)),
    shown("/sets", || get(sets::list)),
    shown("/sets/new", || get(sets::form)),
    done("/sets/new", || post(sets::write)),
    shown("/set/{name}", || get(sets::show)),
    shown("/set/{name}/out", || get(rental::check)),
    done("/set/{name}/out", || post(rental::hand_out)),
    shown("/set/{name}/in", || get(rental::form)),
    done("/set/{name}/in", || post(rental::take_back)),
    shown("/owner", || get(owner::doors)),
    shown("/owner/due", || get(owner::due)),
    shown("/owner/order", || get(owner::order)),
    shown("/owner/ages", || get(owner::ages)),
    shown("/owner/survival", || get(survival::show)),
    shown("/owner/recall", || get(recall::show)),
    done("/owner/recall", || post(recall::start)),
    done("/owner/recall/found", || post(recall::found)),
    shown("/tags", || get(tags::choose)),
    shown("/tags/sheet.pdf", || get(tags::pdf)),
    shown("/tags/ruler.pdf", || get(tags::ruler)),
    shown("/tags/{code}/tag.svg", || get(tags::picture)),
];

/// The router of the table, with the guard before all of it.
pub fn router(house: House) -> Router {
    let router = ROUTES
        .iter()
        .fold(Router::new(), |router, route| router.route(route.path, (route.handler)()));
    router
        .fallback(|| async { Refusal::NoPage })
        .layer(DefaultBodyLimit::max(MOST_PHOTO))
        .layer(middleware::from_fn_with_state(house.clone(), guard::stand))
        .with_state(house)
}
