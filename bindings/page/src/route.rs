//! One thing that can be asked: how, where, and what goes along.

use crate::request::Request;
use crate::response::Shown;
use crate::state::State;

/// How something is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// It is only shown.
    Get,
    /// It changes something, or sends something here.
    Post,
}

/// What is sent with a request.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Takes {
    /// Nothing.
    Nothing,
    /// A form.
    Form,
    /// A form with a photo, in a field of that name.
    Photo,
    /// A form that may have photos, each in a field whose name begins with `photo-`.
    Photos,
    /// A frame of the camera, as a script of this page posts it: a grey value a pixel.
    Frame,
    /// A form with a file of any size, in a field `file` after the others.
    File,
}

/// What a request costs the host, which need not answer many of a kind at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cost {
    /// A few questions to the record.
    Usual,
    /// Reading pictures, which takes a whole processor.
    Pictures,
    /// Comparing a hose with the whole stock.
    Stock,
}

/// What answers.
type Handler = fn(&State<'_>) -> Shown;

/// One thing that can be asked.
#[derive(Clone, Copy)]
pub struct Route {
    /// How.
    pub how: How,
    /// Where.
    pub path: &'static str,
    /// Whether it needs no session: what a visitor sees before the pass phrase.
    pub open: bool,
    /// What is sent with it.
    pub takes: Takes,
    /// The last part of the path of the form that is sent here: it is shown again
    /// where it is refused.
    pub form: Option<&'static str>,
    /// The field of the query with which it goes through the whole stock.
    pub stock: Option<&'static str>,
    /// What answers.
    pub(crate) handler: Handler,
}

/// It is shown.
pub const fn shown(path: &'static str, handler: Handler) -> Route {
    let (form, stock, takes) = (None, None, Takes::Nothing);
    Route { how: How::Get, path, open: false, takes, form, stock, handler }
}

/// It is done, by a form.
pub const fn done(path: &'static str, handler: Handler) -> Route {
    Route { how: How::Post, takes: Takes::Form, ..shown(path, handler) }
}

/// Sent with something else than a plain form.
pub const fn sends(takes: Takes, route: Route) -> Route {
    Route { takes, ..route }
}

/// Sent by a form of the same path.
pub const fn again(route: Route) -> Route {
    from("", route)
}

/// Sent by a form of the path with another last part, or with none (`..`).
pub const fn from(form: &'static str, route: Route) -> Route {
    Route { form: Some(form), ..route }
}

/// To visitors too, before the pass phrase.
pub const fn to_all(route: Route) -> Route {
    Route { open: true, ..route }
}

/// It goes through the whole stock where this field is asked.
pub const fn stock(field: &'static str, route: Route) -> Route {
    Route { stock: Some(field), ..route }
}

impl Route {
    /// Whether it is asked at this path.
    pub fn is_at(&self, path: &str) -> bool {
        self.parts(path).is_some()
    }

    /// The address of the form that was sent to this route.
    pub fn form_at(&self, path: &str) -> Option<String> {
        match (self.form?, path.rsplit_once('/')?) {
            ("", _) => Some(path.to_owned()),
            ("..", (before, _)) => Some(before.to_owned()),
            (form, (before, _)) => Some(format!("{before}/{form}")),
        }
    }

    /// What a request to this route costs.
    pub fn cost(&self, request: &Request) -> Cost {
        if !request.pictures.is_empty() {
            Cost::Pictures
        } else if self.stock.is_some_and(|field| request.query.ticked(field)) {
            Cost::Stock
        } else {
            Cost::Usual
        }
    }

    /// The parts of a path that stand for the names in this row's, as they were sent.
    pub fn parts<'p>(&self, path: &'p str) -> Option<Vec<(&'static str, &'p str)>> {
        let (wanted, given) = (self.path.split('/'), path.split('/'));
        if wanted.clone().count() != given.clone().count() {
            return None;
        }
        let mut parts = Vec::new();
        for (wanted, given) in wanted.zip(given) {
            match wanted.strip_prefix('{').and_then(|name| name.strip_suffix('}')) {
                Some(name) if !given.is_empty() => parts.push((name, given)),
                None if wanted == given => {}
                _ => return None,
            }
        }
        Some(parts)
    }
}
