//! What happened, line by line, each with the way to take it back.

use hosewright_core::event::Event;
use hosewright_core::photograph::PhotographName;
use hosewright_core::tag::Code;
use hosewright_core::{HistoryLine, Told, told};
use maud::{Markup, html};

use crate::labels as l;
use crate::parts::photograph;

/// Some lines of a history, as they come.
pub fn timeline<'l>(lines: impl Iterator<Item = &'l HistoryLine>) -> Markup {
    html! { ol.timeline { @for line in lines { (drawn(line, None)) } } }
}

/// A history, newest first, of a hose with its photographs: at most so many parts of it,
/// and whether that is all. A swap is one part, which opens.
pub fn history(lines: &[HistoryLine], most: usize, hose: Option<Code>) -> (Markup, bool) {
    let parts = told(lines);
    let shown = html! {
        ol.timeline {
            @for part in parts.iter().rev().take(most) {
                @match part {
                    Told::Line(line) => (drawn(line, hose)),
                    Told::Swap { words, lines } => (swap(words, lines, hose)),
                }
            }
        }
    };
    (shown, parts.len() <= most)
}

fn swap(words: &str, lines: &[&HistoryLine], hose: Option<Code>) -> Markup {
    let newest = lines.last();
    html! {
        li {
            @if let Some(line) = newest { (head(line)) }
            details {
                summary { (words) }
                ol.timeline { @for line in lines.iter().rev() { (drawn(line, hose)) } }
            }
        }
    }
}

fn head(line: &HistoryLine) -> Markup {
    html! { time datetime=(line.entry.on) { (line.entry.on) } " " span.by { (line.entry.by) } }
}

fn drawn(line: &HistoryLine, hose: Option<Code>) -> Markup {
    html! {
        li {
            (head(line))
            p { (line.words) }
            @if let (Some(hose), Some(name)) = (hose, pictured(line)) {
                (photograph(hose, name, &line.words))
            }
            @if line.can_be_taken_back() {
                a.back href={ "/take-back/" (line.id) } {
                    (l::TAKE_BACK_TITLE) span.spoken { ": " (line.words) }
                }
            }
        }
    }
}

fn pictured(line: &HistoryLine) -> Option<PhotographName> {
    match &line.event {
        Some(Event::Photographed { photograph, .. }) if line.counts() => Some(photograph.name()),
        _ => None,
    }
}
