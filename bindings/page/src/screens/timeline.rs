//! What happened, line by line, each with the way to take it back.

use hosewright_core::HistoryLine;
use hosewright_core::event::Event;
use hosewright_core::photograph::PhotographName;
use hosewright_core::tag::Code;
use maud::{Markup, html};

use crate::labels as l;
use crate::parts::photograph;

/// Some lines of a history; of a hose with its photographs.
pub fn timeline<'l>(lines: impl Iterator<Item = &'l HistoryLine>, hose: Option<Code>) -> Markup {
    html! {
        ol.timeline {
            @for line in lines {
                li {
                    time datetime=(line.entry.on) { (line.entry.on) } " " span.by { (line.entry.by) }
                    p { (line.words) }
                    @if let (Some(hose), Some(name)) = (hose, pictured(line)) {
                        (photograph(hose, name, &line.words))
                    }
                    @if line.can_be_taken_back() {
                        a.back href={ "/take-back/" (line.id) } { (l::TAKE_BACK_LINE) }
                    }
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
