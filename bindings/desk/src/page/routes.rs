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
    answer, assets, bringing, care, devices, hold, hoses, identify, inspect, judging, limits,
    owner, places, recall, record, register, rental, scan, set_change, sets, start, survival, swap,
    tags, take_back, visitor,
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
    /// Where the form stands that is sent here, as the path's last step: it is
    /// shown again where it is refused.
    pub form: Option<&'static str>,
    handler: fn() -> MethodRouter<House>,
}

const fn shown(path: &'static str, handler: fn() -> MethodRouter<House>) -> Route {
    Route { how: How::Get, path, open: false, form: None, handler }
}

const fn done(path: &'static str, handler: fn() -> MethodRouter<House>) -> Route {
    Route { how: How::Post, path, open: false, form: None, handler }
}

/// Sent by a form of the same path.
const fn again(route: Route) -> Route {
    from("", route)
}

/// Sent by a form of the path with another last step, or with none (`..`).
const fn from(form: &'static str, route: Route) -> Route {
    Route { form: Some(form), ..route }
}

impl Route {
    /// The address of the form that was sent to this route.
    pub fn form_at(&self, path: &str) -> Option<String> {
        match (self.form?, path.rsplit_once('/')?) {
            ("", _) => Some(path.to_owned()),
            ("..", (before, _)) => Some(before.to_owned()),
            (form, (before, _)) => Some(format!("{before}/{form}")),
        }
    }
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
    again(done("/who", || post(visitor::set_who))),
    shown("/", || get(start::show)),
    done("/demo", || post(start::open_demo)),
    done("/demo/leave", || post(start::leave_demo)),
    shown("/scan", || get(scan::typed)),
    done("/photo", || post(scan::photo)),
    done("/frame", || post(scan::frame)),
    shown("/hose/{code}", || get(answer::show)),
    shown("/hose/{code}/inspect", || get(inspect::form)),
    again(done("/hose/{code}/inspect", || post(inspect::write))),
    shown("/hose/{code}/photo/{name}", || get(answer::photo)),
    shown("/hose/{code}/care", || get(care::forms)),
    from("care", done("/hose/{code}/clean", || post(care::clean))),
    from("care", done("/hose/{code}/home", || post(care::home))),
    from("care", done("/hose/{code}/come-in", || post(care::come_in))),
    from("care", done("/hose/{code}/reseal", || post(care::reseal))),
    from("care", done("/hose/{code}/bind", || post(care::bind))),
    shown("/hose/{code}/describe", || get(register::again)),
    again(done("/hose/{code}/describe", || post(register::describe))),
    from("care", done("/hose/{code}/retire", || post(care::retire))),
    from("care", done("/hose/{code}/retag", || post(care::retag))),
    shown("/hose/{code}/place", || get(places::form)),
    from("place", done("/hose/{code}/fit", || post(places::fit))),
    from("place", done("/hose/{code}/remove", || post(places::remove))),
    from("place", done("/hose/{code}/confirm-place", || post(places::confirm))),
    shown("/hose/{code}/hold", || get(hold::forms)),
    again(done("/hose/{code}/hold", || post(hold::hold))),
    from("hold", done("/hose/{code}/release", || post(hold::release))),
    shown("/hose/{code}/identify", || get(identify::form)),
    again(done("/hose/{code}/identify", || post(identify::write))),
    shown("/take-back/{entry}", || get(take_back::form)),
    again(done("/take-back/{entry}", || post(take_back::write))),
    shown("/hose/{code}/swap", || get(swap::choose)),
    shown("/swap/{old}/{new}", || get(swap::show)),
    again(done("/swap/{old}/{new}", || post(swap::step))),
    done("/swap/{old}/{new}/give-up", || post(swap::give_up)),
    shown("/hoses", || get(hoses::list)),
    shown("/register", || get(register::form)),
    again(done("/register", || post(register::write))),
    shown("/sets", || get(sets::list)),
    shown("/sets/new", || get(sets::form)),
    again(done("/sets/new", || post(sets::write))),
    shown("/set/{name}", || get(sets::show)),
    shown("/set/{name}/change", || get(set_change::forms)),
    again(done("/set/{name}/change", || post(set_change::change))),
    from("change", done("/set/{name}/hold", || post(set_change::hold))),
    from("change", done("/set/{name}/release", || post(set_change::release))),
    from("change", done("/set/{name}/join", || post(set_change::join))),
    from("change", done("/set/{name}/home", || post(set_change::home))),
    from("change", done("/set/{name}/come-in", || post(set_change::come_in))),
    from("change", done("/set/{name}/dissolve", || post(set_change::dissolve))),
    shown("/set/{name}/out", || get(rental::check)),
    again(done("/set/{name}/out", || post(rental::hand_out))),
    shown("/set/{name}/in", || get(rental::form)),
    again(done("/set/{name}/in", || post(rental::take_back))),
    shown("/owner", || get(owner::doors)),
    shown("/owner/due", || get(owner::due)),
    shown("/owner/order", || get(owner::order)),
    shown("/owner/ages", || get(owner::ages)),
    shown("/owner/survival", || get(survival::show)),
    shown("/owner/recall", || get(recall::show)),
    again(done("/owner/recall", || post(recall::start))),
    done("/owner/recall/found", || post(recall::found)),
    from("..", done("/owner/recall/end", || post(recall::end))),
    from("..", done("/owner/recall/check-off", || post(recall::check_off))),
    shown("/owner/history", || get(take_back::of_fleet)),
    shown("/owner/limits", || get(limits::show)),
    again(done("/owner/limits", || post(limits::set))),
    shown("/owner/record", || get(record::show)),
    shown("/owner/record/export.jsonl", || get(record::export)),
    shown("/owner/record/bundle.hwbundle", || get(record::bundle)),
    from("..", done("/owner/record/entries", || post(bringing::entries))),
    shown("/owner/record/entries", || get(bringing::shown)),
    from("..", done("/owner/record/entries/take", || post(bringing::take))),
    from("..", done("/owner/record/since", || post(record::since))),
    from("..", done("/owner/record/list", || post(record::list))),
    shown("/owner/record/list", || get(record::plan)),
    from("..", done("/owner/record/list/take", || post(record::take))),
    shown("/owner/devices", || get(devices::show)),
    again(done("/owner/devices", || post(devices::word))),
    from("..", done("/owner/devices/found", || post(devices::found))),
    from("..", done("/owner/devices/join", || post(devices::join))),
    from("..", done("/owner/devices/words", || post(devices::words))),
    shown("/owner/devices/entries", || get(judging::show)),
    from("entries", done("/owner/devices/admit", || post(judging::admit))),
    from("entries", done("/owner/devices/dismiss", || post(judging::dismiss))),
    from("entries", done("/owner/devices/lost", || post(judging::lost))),
    from("..", done("/owner/devices/recover", || post(devices::recover))),
    shown("/tags", || get(tags::choose)),
    shown("/tags/sheet.pdf", || get(tags::pdf)),
    shown("/tags/ruler.pdf", || get(tags::ruler)),
    shown("/tags/{code}/tag.svg", || get(tags::picture)),
];

/// The row of what is sent to a path of the table.
pub fn posted(path: &str) -> Option<&'static Route> {
    ROUTES.iter().find(|route| route.how == How::Post && route.path == path)
}

/// The router of the table, with the guard before all of it.
pub fn router(house: House) -> Router {
    let screens = screens(house.clone());
    screens
        .clone()
        .layer(middleware::from_fn_with_state(guard::Guard { house, screens }, guard::stand))
}

/// The screens without the guard, for itself alone.
fn screens(house: House) -> Router {
    let router = ROUTES
        .iter()
        .fold(Router::new(), |router, route| router.route(route.path, (route.handler)()));
    router
        .fallback(|| async { Refusal::NoPage })
        .layer(DefaultBodyLimit::max(MOST_PHOTO))
        .with_state(house)
}
