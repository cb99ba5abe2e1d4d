//! What goes out: a page, a file, or the way to another page.

use std::any::Any;

use hosewright_core::hose::Label;
use hosewright_core::tag::Code;
use http::header::{CONTENT_TYPE, LOCATION};
use http::{HeaderName, StatusCode};

use crate::refusal::Refusal;

/// What a screen comes to.
pub type Shown = Result<Response, Refusal>;

/// What goes out.
pub struct Response {
    /// The status.
    pub status: StatusCode,
    /// The headers that the page cares about, its content type among them.
    pub headers: Vec<(HeaderName, String)>,
    /// What is shown or kept.
    pub body: Body,
    /// What the browser remembers from now on.
    pub remember: Option<Remember>,
}

/// What is shown or kept.
pub enum Body {
    /// All of it.
    Bytes(Vec<u8>),
    /// A file that the host made.
    Made(Made),
}

/// A file that the host made and will send. Only the host knows what it is.
pub struct Made(pub Box<dyn Any + Send>);

/// What a browser remembers from one request to the next; how is the host's.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Remember {
    /// Who writes.
    Name(Label),
    /// Whether it looks at the demonstration.
    Demo(bool),
    /// The key of its session, or that this is over.
    Session(Option<String>),
}

impl Response {
    /// Something of a content type.
    pub fn new(content_type: &str, body: impl Into<Vec<u8>>) -> Self {
        let headers = vec![(CONTENT_TYPE, content_type.to_owned())];
        let body = Body::Bytes(body.into());
        Self { status: StatusCode::OK, headers, body, remember: None }
    }

    /// A page of this program.
    pub fn html(status: StatusCode, page: String) -> Self {
        Self { status, ..Self::new("text/html; charset=utf-8", page) }
    }

    /// The same with one more header.
    #[must_use]
    pub fn header(mut self, name: HeaderName, value: impl Into<String>) -> Self {
        self.headers.push((name, value.into()));
        self
    }

    /// The same, and the browser remembers something.
    #[must_use]
    pub fn remember(self, what: Remember) -> Self {
        Self { remember: Some(what), ..self }
    }
}

/// Sends the browser to another screen, after something was done or found.
pub fn redirect(to: &str) -> Response {
    let headers = vec![(LOCATION, to.to_owned())];
    let (status, body) = (StatusCode::SEE_OTHER, Body::Bytes(Vec::new()));
    Response { status, headers, body, remember: None }
}

/// To a hose, with a word that it was saved.
pub fn redirect_saved(hose: Code) -> Response {
    redirect(&format!("/hose/{hose}?written=yes"))
}
