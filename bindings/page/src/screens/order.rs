//! What to order: as a list, and as a message to send.

use hosewright_core::words::order_message as say;
use maud::{Markup, html};

use super::due::horizon;
use crate::fields::percent_encode;
use crate::frame::Screen;
use crate::labels as l;
use crate::response::Shown;
use crate::sheet::{Cell, Sheet};
use crate::state::State;

/// What to buy.
pub fn show(state: &State<'_>) -> Shown {
    let (within, form) = horizon(state)?;
    let order = state.read(|logbook, moment| Ok(logbook.order(within, moment)?))?;
    let rows = order.lines.iter().map(|line| {
        vec![
            Cell::text(line.to_buy),
            Cell::text(line.need),
            Cell::text(line.in_stock),
            Cell::text(&line.words),
            Cell::Hoses(line.hoses.iter().map(|hose| hose.code).collect()),
        ]
    });
    let head = vec![l::ORDER_BUY, l::ORDER_NEED, l::ORDER_STOCK, l::HOSE, l::ORDER_FOR];
    let sheet = Sheet::new("order", head, rows.collect());
    if sheet.wanted(state) {
        return sheet.csv();
    }
    let notes: Vec<String> = order.lines.iter().flat_map(|line| line.notes()).collect();
    let body = html! {
        h1 { (l::ORDER_TITLE) }
        (form)
        @if sheet.is_empty() { p { (l::nothing_to_replace(order.until)) } }
        @else { p { (l::DUE_UNTIL) " " (order.until) "." } (sheet.drawn(state)) }
        @if !notes.is_empty() { ul.list { @for note in &notes { li { (note) } } } }
        @if let Some(words) = order.undescribed_in_words() { p { (words) } }
        @if let Some(text) = order.message(state.request.moment.today) { (message(&text)) }
    };
    Ok(Screen::new(l::ORDER_TITLE, body).shown(state))
}

/// The most characters of a link to a mail program: longer ones are cut off by some.
const LINK: usize = 1_900;

/// The order as a text to be copied or mailed to whoever the owner buys from.
fn message(text: &str) -> Markup {
    let link = mail(text);
    html! {
        section.card #message {
            h2 { (say::TITLE) }
            p { (say::LEAD) }
            p.field {
                textarea.copied #order-text rows=(text.lines().count() + 2) readonly aria-label=(say::TITLE) { (text) }
            }
            p.others {
                button.main type="button" data-copy="order-text" data-done=(l::COPIED) hidden { (l::COPY) }
                @if link.len() <= LINK { a.button href=(link) { (say::MAIL) } }
            }
            @if link.len() > LINK { p { (say::TOO_LONG) } }
        }
    }
}

/// A link that begins a mail to nobody yet (RFC 6068): its lines end with CR and LF.
fn mail(text: &str) -> String {
    let encoded = |text: &str| percent_encode(&text.replace('\n', "\r\n"));
    format!("mailto:?subject={}&body={}", encoded(say::SUBJECT), encoded(text))
}
