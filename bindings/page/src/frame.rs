//! What stands round every screen: the doors, the scan box, who writes, and
//! the page for what was refused.

use hosewright_core::hose::Label;
use hosewright_core::words;
use http::{Method, StatusCode};
use maud::{DOCTYPE, Markup, html};

use crate::form::{Refused, token};
use crate::labels as l;
use crate::refusal::Refusal;
use crate::request::Request;
use crate::response::Response;
use crate::screens::actions::address;
use crate::state::State;
use crate::visible::visible_page;
use hosewright_core::words::sentence;

/// The doors of the page.
const DOORS: &[(&str, &str)] = &[
    ("/", l::DOOR_TODAY),
    ("/hoses", l::DOOR_HOSES),
    ("/sets", l::SETS),
    ("/owner", l::DOOR_OWNER),
    ("/tags", l::DOOR_TAGS),
];

/// Where what is scanned goes: the one box is always there, and what it does
/// depends on the screen.
#[derive(Debug, Clone)]
pub struct Scan {
    /// The address that takes it.
    pub action: String,
    /// The name of its field.
    pub field: &'static str,
    /// What is to be scanned.
    pub label: &'static str,
    /// What goes with it: what was scanned before.
    pub kept: Vec<(String, String)>,
    /// Whether several tags of one photo are all taken, and the camera goes on.
    pub several: bool,
    /// Whether one types elsewhere first: all that is to be scanned was.
    pub elsewhere: bool,
    /// Whether a scan is saved at once: the same address then takes a form too.
    pub saves: bool,
}

impl Scan {
    /// A scan leads to the answer.
    pub fn answer() -> Self {
        Self {
            action: "/scan".to_owned(),
            field: "text",
            label: l::SCAN_A_HOSE,
            kept: Vec::new(),
            several: false,
            elsewhere: false,
            saves: false,
        }
    }

    /// A scan is for something else.
    pub fn into(action: String, field: &'static str, label: &'static str) -> Self {
        Self { action, field, label, ..Self::answer() }
    }
}

/// A screen.
pub struct Screen {
    /// What it is called.
    pub title: String,
    /// What a scan does on it.
    pub scan: Scan,
    /// What is on it.
    pub body: Markup,
}

impl Screen {
    /// A screen on which a scan leads to the answer.
    pub fn new(title: impl Into<String>, body: Markup) -> Self {
        Self { title: title.into(), scan: Scan::answer(), body }
    }

    /// The same with another use for a scan.
    #[must_use]
    pub fn scan(self, scan: Scan) -> Self {
        Self { scan, ..self }
    }

    /// As a response.
    pub fn shown(self, state: &State<'_>) -> Response {
        let status = state.refused.map_or(StatusCode::OK, |refused| refused.refusal.status());
        let staff = state.staff();
        drawn(status, whole(state.request, &self, state.refused, &staff))
    }
}

fn whole(
    request: &Request,
    screen: &Screen,
    refused: Option<&Refused<'_>>,
    staff: &[Label],
) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            (head(&screen.title))
            body {
                a.skip href="#main" { (l::SKIP) }
                header {
                    nav aria-label=(l::NAME) {
                        a.brand href="/" { (l::NAME) }
                        ul {
                            @for (to, label) in DOORS {
                                li { a href=(to) aria-current=[here(request, to).then_some("page")] { (label) } }
                            }
                        }
                    }
                    (scan_box(request, &screen.scan, refused.is_some_and(Refused::is_beside)))
                }
                @if request.demo { (banner(request)) }
                main #main { @if let Some(refused) = refused { (above(refused)) } (screen.body) }
                (footer(request, staff))
            }
        }
    }
}

fn head(title: &str) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            meta name="color-scheme" content="light dark";
            title { (title) " · " (l::NAME) }
            link rel="icon" href="/icon.svg" type="image/svg+xml";
            link rel="stylesheet" href="/style.css";
            script src="/lens.js" defer {}
            script src="/sight.js" defer {}
            script src="/meeting.js" defer {}
            script src="/page.js" defer {}
        }
    }
}

fn here(request: &Request, door: &str) -> bool {
    let path = request.path.as_str();
    match door {
        "/" => path == "/" || path == "/scan",
        "/hoses" => path.starts_with("/hose") || path == "/register" || path.starts_with("/swap"),
        "/sets" => path.starts_with("/set") || path == "/return",
        _ => path.starts_with(door),
    }
}

fn scan_box(request: &Request, scan: &Scan, refused: bool) -> Markup {
    let elsewhere = refused || scan.elsewhere;
    let kept = html! {
        @for (name, text) in &scan.kept { input type="hidden" name=(name) value=(text); }
    };
    html! {
        section.scan aria-label=(scan.label) {
            form #scan-form action=(scan.action) method=(if scan.saves { "post" } else { "get" }) {
                @if scan.saves { (token(&request.person.token)) }
                (kept)
                label for="scan" { (scan.label) }
                div.row {
                    input #scan type="text" name=(scan.field) autofocus[!elsewhere] autocomplete="off"
                        autocapitalize="characters" spellcheck="false" enterkeyhint="go"
                        placeholder=(l::SCAN_SHORT);
                    button type="submit" { (l::SCAN_GO) }
                    button #camera type="button" hidden data-token=(request.person.token)
                        data-stop=(l::SCAN_STOP) data-looking=(l::SCAN_LOOKING)
                        data-none=(l::SCAN_NO_CAMERA) data-which=(l::SCAN_WHICH)
                        data-several[scan.several] { (l::SCAN_CAMERA) }
                    label.button for="photo" { (l::SCAN_PHOTO) }
                }
            }
            form #photo-form action="/photo" method="post" enctype="multipart/form-data" {
                (token(&request.person.token))
                input type="hidden" name="to" value=(scan.action);
                input type="hidden" name="field" value=(scan.field);
                @if scan.several { input type="hidden" name="several" value="yes"; }
                (kept)
                input #photo type="file" name="photo" accept="image/jpeg,image/png" capture="environment"
                    aria-label=(l::SCAN_PHOTO);
                button type="submit" { (l::SCAN_READ_PHOTO) }
            }
            div #viewer hidden {
                video #film muted playsinline {}
                p #film-says role="status" {}
                div #film-which {}
                div.row {
                    button #torch type="button" hidden aria-pressed="false" { (l::SCAN_TORCH) }
                    label hidden { (l::SCAN_ZOOM) " " input #zoom type="range"; }
                }
            }
        }
    }
}

fn banner(request: &Request) -> Markup {
    html! {
        aside.demo {
            p { (l::DEMO_BANNER) }
            form action="/demo/leave" method="post" {
                (token(&request.person.token))
                button type="submit" { (l::DEMO_LEAVE) }
            }
        }
    }
}

/// How many people are a tap away; the others are on a screen of their own.
const TAPS: usize = 8;

fn footer(request: &Request, staff: &[Label]) -> Markup {
    let others = staff.iter().filter(|name| **name != request.moment.by).take(TAPS);
    html! {
        footer {
            p.caution { (words::CAUTION) }
            p {
                (l::WRITING_AS) " " b { (request.moment.by) } ". "
                a href="/who" { (l::CHANGE) } " "
                span { (l::TODAY) " " (request.moment.today) "." }
            }
            @if !staff.is_empty() {
                form.people action="/who" method="post" aria-label=(l::WHO_TITLE) {
                    (token(&request.person.token))
                    @if request.method == Method::GET {
                        input type="hidden" name="back" value=(request.path);
                    }
                    @for name in others { button type="submit" name="by" value=(name) { (name) } " " }
                }
            }
            @if request.person.signs_in {
                form action="/logout" method="post" {
                    (token(&request.person.token))
                    button type="submit" { (l::SIGN_OUT) }
                }
            }
        }
    }
}

/// A refusal as a page, with the way on.
pub fn refused(request: &Request, refusal: &Refusal) -> Response {
    let body = html! {
        h1 { (l::REFUSED_TITLE) }
        p.refusal role="alert" { (sentence(&refusal.to_string())) }
        (unchanged(refusal))
        @if request.method == Method::POST { p { (l::REFUSED_GO_BACK) } }
        p { a.button href="/" { (l::REFUSED_BACK) } }
    };
    drawn(refusal.status(), whole(request, &Screen::new(l::REFUSED_TITLE, body), None, &[]))
}

/// Why the form on a screen was refused.
fn above(refused: &Refused<'_>) -> Markup {
    html! {
        section.refused role="alert" {
            h2 { (l::REFUSED_TITLE) }
            p.refusal { (sentence(&refused.refusal.to_string())) }
            (unchanged(refused.refusal))
            @if refused.is_filled() { p { (l::REFUSED_STILL_HERE) } }
        }
    }
}

/// That nothing was changed, and the hoses that may have been meant.
fn unchanged(refusal: &Refusal) -> Markup {
    let near = refusal.near();
    html! {
        p { (l::REFUSED_UNCHANGED) }
        @if let Some(action) = refusal.action() {
            p { a.button href=(address(action)) { (action.in_words()) } }
        }
        @if !near.is_empty() {
            h2 { (l::REFUSED_NEAR) }
            ul.list { @for code in near { li { a.button.code href={ "/hose/" (code) } { (code) } } } }
        }
    }
}

/// A screen with the status of a refusal.
pub fn with_status(request: &Request, status: StatusCode, screen: &Screen) -> Response {
    drawn(status, whole(request, screen, None, &[]))
}

/// A refusal to someone who must not see more of the page.
pub fn bare(refusal: &Refusal) -> Response {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            (head(l::REFUSED_TITLE))
            body { main { h1 { (l::REFUSED_TITLE) } p.refusal { (sentence(&refusal.to_string())) } } }
        }
    };
    drawn(refusal.status(), page)
}

/// A page without doors, for visitors.
pub fn visitor(title: &str, body: &Markup) -> Response {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            (head(title))
            body { main #main.narrow { (body) } }
        }
    };
    drawn(StatusCode::OK, page)
}

fn drawn(status: StatusCode, page: Markup) -> Response {
    Response::html(status, visible_page(page.into_string()))
}
