//! The counter's home page: what is out, half done, on hold, due, and ready to go.

use hosewright_core::view::{Today, TodayAbout, TodayKind, TodayPart, TodayRow};
use hosewright_core::words;
use hosewright_core::words::returns::SCAN_THEM_BACK;
use maud::{Markup, html};

use crate::fields::query;
use crate::labels as l;
use crate::parts::{class, sign};

/// Every part, with the ways on.
pub fn drawn(today: &Today) -> Markup {
    html! { div.today { @for part in &today.parts { (drawn_part(part)) } } }
}

fn drawn_part(part: &TodayPart) -> Markup {
    let id = format!("today-{}", part.part);
    html! {
        section.card aria-labelledby=(id) {
            h2 #(id) {
                (part.title)
                @if let Some(total) = part.total { @if total > 0 { " (" (total) ")" } }
            }
            @if part.rows.is_empty() { p { (part.none) } }
            ul { @for row in &part.rows { li { (drawn_row(part.part, row)) } } }
            @if part.part == TodayKind::Out && !part.rows.is_empty() {
                p.under { a.button href="/return" { (SCAN_THEM_BACK) } }
            }
            @if part.more {
                p.under { a.button href=(whole(part.part)) { (l::TODAY_ALL) span.spoken { ": " (part.title) } } }
            }
        }
    }
}

fn drawn_row(part: TodayKind, row: &TodayRow) -> Markup {
    html! {
        a href=(to(&row.about)) class=[row.verdict.map(class)] {
            @if let Some(verdict) = row.verdict {
                (sign(verdict)) span.spoken { (verdict) ": " }
            }
            span { b { (row.name) } @if !row.words.is_empty() { span.quiet { (row.words) } } }
        }
        @match (part, &row.about) {
            (TodayKind::Out, TodayAbout::Set(set)) => {
                a.button href={ "/set/" (set) "/in" } { (l::TAKE_BACK) span.spoken { ": " (row.name) } }
            }
            (TodayKind::Packed, TodayAbout::Set(set)) => {
                a.button href={ "/set/" (set) } { (words::packing::GO) span.spoken { ": " (row.name) } }
            }
            (TodayKind::Ready, TodayAbout::Set(set)) => {
                a.button href={ "/set/" (set) "/out" } { (l::HAND_OUT) span.spoken { ": " (row.name) } }
            }
            _ => {}
        }
    }
}

fn to(about: &TodayAbout) -> String {
    match about {
        TodayAbout::Hose(code) => format!("/hose/{code}"),
        TodayAbout::Set(set) => format!("/set/{set}"),
        TodayAbout::Swap { old, new } => format!("/swap/{old}/{new}"),
        TodayAbout::Device(device) => {
            format!("/owner/devices?{}", query([("device", device.to_string().as_str())]))
        }
        TodayAbout::Person(_) => "/owner/staff".to_owned(),
    }
}

/// The list of which a part shows the beginning.
const fn whole(part: TodayKind) -> &'static str {
    match part {
        TodayKind::Out | TodayKind::Packed | TodayKind::Ready => "/sets",
        TodayKind::Swaps | TodayKind::Hold => "/hoses?verdict=hold",
        TodayKind::Due => "/owner/due?within=1w",
        TodayKind::Devices => "/owner/devices",
        TodayKind::WrongPins => "/owner/staff",
    }
}
