//! Who comes, and under which name: the pass phrase, and who writes.

use axum::http::header::SET_COOKIE;
use axum::http::{HeaderValue, StatusCode};
use axum::response::Response;
use data_encoding::HEXLOWER;
use hosewright_core::hose::Label;
use maud::html;

use super::{Shown, see};
use crate::moment;
use crate::page::ask::{Ask, BY, Posted, SESSION};
use crate::page::fields::step;
use crate::page::frame::{Screen, visitor};
use crate::page::labels as l;
use crate::page::parts::{Field, save, token};
use crate::page::refusal::Refusal;
use crate::page::shared::random;

/// Asks for the pass phrase.
pub async fn login(ask: Ask) -> Shown {
    if ask.house.lan.is_none() {
        return Ok(see("/"));
    }
    Ok(asked(&ask, ""))
}

fn asked(ask: &Ask, wrong: &str) -> Response {
    let body = html! {
        h1 { (l::NAME) }
        p { (l::LOGIN_LEAD) }
        @if !wrong.is_empty() { p.refusal role="alert" { (wrong) } }
        form action="/login" method="post" {
            (token(&ask.token))
            p.field {
                label for="pass" { (l::LOGIN_TITLE) }
                input #pass type="password" name="pass" required autofocus
                    autocomplete="current-password";
            }
            p { button.main type="submit" { (l::LOGIN_GO) } }
        }
        p.hint { (l::LOGIN_PLAIN) }
    };
    visitor(l::LOGIN_TITLE, &body)
}

/// Opens a session for the right pass phrase.
pub async fn sign_in(Posted { ask, fields }: Posted) -> Shown {
    let Some(lan) = &ask.house.lan else { return Ok(see("/")) };
    if !lan.may_try(ask.from, moment::since_start()) {
        return Err(Refusal::TooMany);
    }
    let (typed, chosen) = (fields.get("pass").to_owned(), lan.pass_phrase.clone());
    let right = ask.apart(move || chosen.is(&typed).map_err(Refusal::bad)).await?;
    if !right {
        let mut again = asked(&ask, l::LOGIN_WRONG);
        *again.status_mut() = StatusCode::FORBIDDEN;
        return Ok(again);
    }
    let key = HEXLOWER.encode(&random::<32>()?);
    lan.begin(&key, moment::since_start());
    Ok(with_cookie(see("/"), SESSION, &key))
}

/// Ends the session.
pub async fn sign_out(Posted { ask, .. }: Posted) -> Shown {
    if let Some(lan) = &ask.house.lan {
        lan.end(&ask.session);
    }
    Ok(with_cookie(see("/"), SESSION, ""))
}

/// Asks who writes.
pub async fn who(ask: Ask) -> Shown {
    let by = ask.moment.by.to_string();
    let body = html! {
        h1 { (l::WHO_TITLE) }
        p { (l::WHO_LEAD) }
        form action="/who" method="post" {
            (token(&ask.token))
            (Field::new("by", l::WHO_NAME).value(&by).needed().drawn())
            (save(l::WHO_GO))
        }
    };
    Ok(Screen::new(l::WHO_TITLE, body).shown(&ask))
}

/// Remembers who writes from this browser.
pub async fn set_who(Posted { fields, .. }: Posted) -> Shown {
    let by: Label = fields.needed_label("by", "a name")?;
    Ok(with_cookie(see("/"), BY, by.as_str()))
}

/// A response that leaves something in the browser: kept from scripts, and not
/// sent along from other sites. An empty text takes it away.
pub fn with_cookie(mut response: Response, name: &str, text: &str) -> Response {
    let ends = if text.is_empty() { "; Max-Age=0" } else { "" };
    let line = format!("{name}={}; Path=/; HttpOnly; SameSite=Strict{ends}", step(text));
    if let Ok(line) = HeaderValue::from_str(&line) {
        response.headers_mut().append(SET_COOKIE, line);
    }
    response
}
