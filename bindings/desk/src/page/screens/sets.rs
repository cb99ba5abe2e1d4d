//! Regulator sets: those that are out, all of them, and one with its picture.

use axum::extract::Path;
use hosewright_core::PortCount;
use hosewright_core::hose::{Label, Pressure, Thread};
use hosewright_core::policy::Use;
use hosewright_core::record::SetRecord;
use hosewright_core::set_picture::{narrow, svg};
use hosewright_core::set_view::SetView;
use hosewright_core::words;
use maud::{Markup, PreEscaped, html};

use super::{Shown, see};
use crate::page::ask::{Ask, Posted};
use crate::page::fields::{query, step};
use crate::page::frame::Screen;
use crate::page::labels as l;
use crate::page::parts::{Field, choice, link, narrowing, save, token, verdict};
use crate::page::refusal::Refusal;

/// How many sets are on a page.
const SETS: u32 = 30;

/// The queue of those that are out, and all sets by name.
pub async fn list(ask: Ask) -> Shown {
    let (after, begins) = (ask.query.get("after").to_owned(), ask.query.get("begins").to_owned());
    let (first, typed) = (after.is_empty() && begins.is_empty(), begins.clone());
    let (out, sets) = ask
        .read(move |logbook, moment| {
            let out = if first { logbook.sets_out()? } else { Vec::new() };
            let sets = logbook.set_page(&after, &typed, SETS)?.into_iter();
            let views = sets.map(|set| Ok(logbook.set_view(&set.name, moment)?));
            Ok((out, views.collect::<Result<Vec<SetView>, Refusal>>()?))
        })
        .await?;
    let last = sets.last().filter(|_| sets.len() == SETS as usize);
    let body = html! {
        h1 { (l::SETS_TITLE) }
        @if first { (queue(&out)) }
        h2 { (l::SETS_ALL) }
        (narrowing("/sets", &begins))
        div #results aria-live="polite" {
            @if sets.is_empty() { p { (l::SETS_NONE) } }
            ul.sets {
                @for view in &sets {
                    li {
                        div {
                            p { a href=(to(&view.name, "")) { b { (view.name) } } " " (view.in_use) }
                            @if let Some(worst) = view.worst { p { (verdict(worst)) } }
                            p { (words::sets::briefly(view.out.as_ref(), view.quarantined)) }
                        }
                        @if view.in_use == Use::Rental {
                            (move_of(&view.name, view.out.is_some(), view.quarantined))
                        }
                    }
                }
            }
            @if let Some(view) = last {
                @let next = query([("begins", begins.as_str()), ("after", view.name.as_str())]);
                p.under { a.button rel="next" href={ "/sets?" (next) } { (l::MORE) } }
            }
        }
        p.under {
            a.button href="/sets/new" { (l::NEW_SET) }
        }
    };
    Ok(Screen::new(l::SETS_TITLE, body).shown(&ask))
}

/// The address of a set, or of something about it.
pub fn to(set: &Label, tail: &str) -> String {
    format!("/set/{}{tail}", step(set.as_str()))
}

fn move_of(set: &Label, out: bool, quarantined: bool) -> Markup {
    html! {
        @if out { a.button.main href=(to(set, "/in")) { (l::TAKE_BACK) } }
        @else { a.button.main[!quarantined] href=(to(set, "/out")) { (l::HAND_OUT) } }
    }
}

/// The sets that are out, the longest first.
fn queue(out: &[SetRecord]) -> Markup {
    let mut out: Vec<_> = out.iter().filter_map(|set| Some((set, set.out.as_ref()?))).collect();
    out.sort_by_key(|(set, out)| (out.on, set.name.clone()));
    html! {
        h2 { (l::SETS_OUT) }
        @if out.is_empty() { p { (words::sets::NOTHING_OUT) } }
        ul.sets {
            @for (set, out) in out {
                li {
                    div {
                        p { a href=(to(&set.name, "")) { b { (set.name) } } }
                        p { (words::sets::set_out(out)) }
                    }
                    (move_of(&set.name, true, false))
                }
            }
        }
    }
}

/// A set as it sits, with a verdict at each hose.
pub async fn show(ask: Ask, Path(name): Path<String>) -> Shown {
    let name = Label::new("the name of a set", &name).map_err(Refusal::bad)?;
    let view = ask.read(move |logbook, moment| Ok(logbook.set_view(&name, moment)?)).await?;
    let body = html! {
        h1 { (l::SET) " " (view.name) }
        p { @if let Some(worst) = view.worst { (verdict(worst)) " " } (view.in_use) ". " (view.words) }
        @if view.in_use == Use::Rental { p.thumb { (move_of(&view.name, view.out.is_some(), view.quarantined)) } }
        div.picture.broad { (PreEscaped(svg(&view))) }
        div.picture.narrow { (PreEscaped(narrow(&view).svg())) }
        table {
            caption.spoken { (l::SET_PORTS) }
            thead { tr { th scope="col" { (l::PORT) } th scope="col" { (l::VERDICT) } th scope="col" { (l::CODE) } th scope="col" { (l::HOLDS) } } }
            tbody {
                @for port in &view.ports {
                    tr {
                        td data-head=(l::PORT) { div { b { (port.port.name) } " " (port.port.thread) } }
                        @match &port.hose {
                            Some(hose) => {
                                td data-head=(l::VERDICT) { (verdict(hose.verdict)) }
                                td data-head=(l::CODE) { (link(hose.code)) }
                            }
                            None => { td data-head=(l::VERDICT) { "–" } td data-head=(l::CODE) { "–" } }
                        }
                        td data-head=(l::HOLDS) { (port.holds) }
                    }
                }
            }
        }
        p.under {
            a.button href={ "/tags?" (query([("set", view.name.as_str())])) } { (l::START_TAGS) }
        }
    };
    Ok(Screen::new(format!("{} {}", l::SET, view.name), body).shown(&ask))
}

/// The form for a new set.
pub async fn form(ask: Ask) -> Shown {
    let uses = [("rental", l::SET_RENTAL), ("personal", l::SET_PERSONAL)];
    let count = |name, label, value: &str| {
        html! {
            p.field {
                label for=(name) { (label) }
                input type="number" min="0" max="12" inputmode="numeric" id=(name) name=(name) value=(value);
            }
        }
    };
    let body = html! {
        h1 { (l::NEW_SET) }
        form action="/sets/new" method="post" {
            (token(&ask.token))
            (Field::new("name", l::SET_NAME).needed().drawn())
            (choice("use", l::SET_USE, "", &uses))
            (count("hp", l::SET_HP, "1"))
            (count("lp", l::SET_LP, "4"))
            (count("wide", l::SET_LP_WIDE, "0"))
            (save(l::SAVE))
        }
    };
    Ok(Screen::new(l::NEW_SET, body).shown(&ask))
}

/// Puts a set on record.
pub async fn write(Posted { ask, fields }: Posted) -> Shown {
    let name: Label = fields.needed_label("name", "the name of a set")?;
    let in_use: Use = fields.needed("use", "who dives with it")?;
    let kinds = [
        ("hp", Pressure::High, Thread::Unf7_16x20),
        ("lp", Pressure::Low, Thread::Unf3_8x24),
        ("wide", Pressure::Low, Thread::Unf1_2x20),
    ];
    let mut ports: Vec<PortCount> = Vec::new();
    for (field, pressure, thread) in kinds {
        let count: u8 = fields.parsed(field)?.unwrap_or(0);
        if count > 12 {
            return Err(Refusal::bad("a first stage has at most 12 ports of a kind"));
        }
        if count > 0 {
            ports.push(PortCount { pressure, thread, count });
        }
    }
    let made = name.clone();
    ask.write(move |logbook, moment| Ok(logbook.assemble(name, in_use, &ports, None, moment)?))
        .await?;
    Ok(see(&to(&made, "")))
}
