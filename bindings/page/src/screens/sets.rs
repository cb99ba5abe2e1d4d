//! Regulator sets: those that are out, all of them, and one with its picture.

use hosewright_core::event::{Port, PortName};
use hosewright_core::hose::Label;
use hosewright_core::policy::Use;
use hosewright_core::record::SetRecord;
use hosewright_core::set_answer::SetAnswer;
use hosewright_core::set_picture::{narrow, svg};
use hosewright_core::set_view::SetView;
use hosewright_core::words;
use hosewright_core::{Logbook, LogbookError};
use maud::{Markup, PreEscaped, html};

use super::forms;
use super::packing;
use super::timeline;
use crate::fields::{percent_encode, query};
use crate::frame::{Scan, Screen};
use crate::labels as l;
use crate::parts::{class, narrowing, numbered, reasons, sign, verdict};
use crate::refusal::Refusal;
use crate::response::{Response, Shown, redirect};
use crate::state::State;
use hosewright_core::view::form::{owner, set};

/// How many sets are on a page.
const SETS: u32 = 30;
/// How many hoses are offered for a port.
const FILLS: usize = 20;

/// The queue of those that are out, and all sets by name.
pub fn list(state: &State<'_>) -> Shown {
    let asked = &state.request.query;
    let (after, begins) = (asked.get("after"), asked.get("begins"));
    let first = after.is_empty() && begins.is_empty();
    let (out, sets) = state.read(|logbook, moment| {
        let out = if first { logbook.sets_out()? } else { Vec::new() };
        let sets = logbook.set_page(after, begins, SETS)?.into_iter();
        let views = sets.map(|set| {
            // Two sets may have one name: then each goes by its code.
            let alone = logbook.set(&set.name).is_ok();
            let at = if alone { set.name } else { Label::from(set.id) };
            Ok((logbook.set_view(&at, moment)?, at))
        });
        Ok((out, views.collect::<Result<Vec<(SetView, Label)>, Refusal>>()?))
    })?;
    let last = sets.last().filter(|_| sets.len() == SETS as usize);
    let body = html! {
        h1 { (l::SETS_TITLE) }
        @if first { (queue(&out)) }
        h2 { (l::SETS_ALL) }
        (narrowing("/sets", l::BEGINS, begins))
        div #results aria-live="polite" {
            @if sets.is_empty() { p { (l::SETS_NONE) } }
            ul.sets {
                @for (view, at) in &sets {
                    li {
                        div {
                            p { a href=(to(at, "")) { b { (view.name) } } @if *at != view.name { " " (at) } " " (view.in_use) }
                            @if let Some(worst) = view.worst { p { (verdict(worst)) } }
                            p { (words::sets::briefly(view.out.as_ref(), view.packed.as_ref(), view.quarantined, view.in_quarantine)) }
                        }
                        @if view.in_use == Use::Rental {
                            (move_of(at, view.out.is_some(), view.quarantined))
                        }
                    }
                }
            }
            @if let Some((_, at)) = last {
                @let next = query([("begins", begins), ("after", at.as_str())]);
                p.under { a.button rel="next" href={ "/sets?" (next) } { (l::MORE) } }
            }
        }
        p.under {
            a.button href="/sets/new" { (l::NEW_SET) }
        }
    };
    Ok(Screen::new(l::SETS_TITLE, body).shown(state))
}

/// The address of a set, or of something about it.
pub fn to(set: &Label, tail: &str) -> String {
    format!("/set/{}{tail}", percent_encode(set.as_str()))
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
        @else { p.under { a.button href="/return" { (words::returns::SCAN_THEM_BACK) } } }
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
pub fn show(state: &State<'_>) -> Shown {
    let at = named(state.parameter("name"))?;
    let found = state.read(|logbook, moment| {
        let view = match logbook.set_view(&at, moment) {
            Err(LogbookError::SeveralSets { .. }) => return Ok(Err(of_name(logbook, &at)?)),
            view => view?,
        };
        // What was scanned may be an old tag of it.
        let answer = match logbook.set_answer_of(at.as_str(), moment)? {
            Some(answer) => answer,
            None => logbook.answer_set(&at, moment)?,
        };
        let packed = logbook.packed(&at, moment)?;
        Ok(Ok((view, answer, logbook.set_history(&at)?, packed)))
    })?;
    let (view, answer, history, packed) = match found {
        Ok(found) => found,
        Err(sets) => return Ok(several(state, &at, &sets)),
    };
    let body = html! {
        h1 { (l::SET) " " (view.name) }
        @if state.request.query.ticked("written") { p.written role="status" { (l::WRITTEN) } }
        (banner(&answer))
        p { (words::sets::heading(&view.name, view.in_use, view.oxygen, (view.owner.as_ref(), view.branch.as_ref()))) ". " (view.words) }
        @if view.out.is_none() && view.worst.is_some() {
            p { a.button href=(to(&at, "/change#dives")) { (words::care::DIVE) } }
        }
        @if let Some(packed) = &packed { (packing::card(state, packed)) }
        @else if view.in_use == Use::Rental { p.thumb { (move_of(&at, view.out.is_some(), view.quarantined)) } }
        div.picture.broad { (PreEscaped(svg(&view))) }
        div.picture.narrow { (PreEscaped(narrow(&view).svg())) }
        table {
            caption.spoken { (l::SET_PORTS) }
            thead { tr { th scope="col" { (l::PORT) } th scope="col" { (l::VERDICT) } th scope="col" { (l::CODE) } th scope="col" { (l::HOLDS) } } }
            tbody {
                @for port in &view.ports {
                    tr {
                        td data-head=(l::PORT) { div { b { (port.port.name) } " " (port.port.thread) (kind_known(&port.port)) } }
                        @match &port.hose {
                            Some(hose) => {
                                td data-head=(l::VERDICT) { (verdict(hose.verdict)) }
                                td data-head=(l::CODE) { (numbered(hose.hose.origin.own.number.as_ref(), hose.code)) }
                            }
                            None => { td data-head=(l::VERDICT) { "–" } td data-head=(l::CODE) { "–" } }
                        }
                        td data-head=(l::HOLDS) {
                            @if port.hose.is_none() && port.device.is_none() && view.out.is_none() {
                                div { (port.holds) " " a.button href={ (to(&at, "/fill")) "?port=" (port.port.name) } { (l::FILL) " " (port.port.name) } }
                            } @else { (port.holds) }
                        }
                    }
                }
            }
        }
        p.under {
            a.button href=(to(&at, "/inspect")) { (words::inspection::SET_TITLE) }
            a.button href=(to(&at, "/change")) { (l::SET_CHANGE) }
            a.button href={ "/sets/new?" (query([("like", at.as_str())])) } { (l::ANOTHER) }
            a.button href={ "/tags?" (query([("set", at.as_str())])) } { (l::START_TAGS) }
            a.button href=(to(&at, "/case")) { (words::case::CASE) }
        }
        @if view.owner.as_ref().is_some_and(|owner| owner.ticket().is_some()) {
            p { a.button href=(to(&at, "/job")) { (words::job::TITLE) } }
        }
        p { @match view.tag { Some(tag) => { (l::SET_TAG_OWN) " " span.code { (tag) } } None => (l::SET_TAG_NONE) } }
        p { (answer.caution) }
        section.history { h2 { (l::HISTORY) } (timeline::history(&history, usize::MAX, None).0) }
    };
    Ok(Screen::new(format!("{} {}", l::SET, view.name), body).shown(state))
}

/// How the whole set stands, and its own reasons.
fn banner(answer: &SetAnswer) -> Markup {
    html! {
        section.banner.(class(answer.verdict)) {
            (sign(answer.verdict))
            div {
                p.verdict-word { b { (answer.verdict) } }
                p { (answer.meaning) }
            }
            p.which { (answer.line()) }
        }
        @if !answer.reasons.is_empty() {
            section aria-label=(l::WHY) { (reasons(&answer.reasons)) }
        }
    }
}

/// A set's tag that is on no record here.
pub fn not_known(state: &State<'_>, answer: &SetAnswer) -> Response {
    let body = html! {
        h1 { (l::SET) " " span.code { (answer.code) } }
        (banner(answer))
        p { (answer.caution) }
    };
    Screen::new(answer.code.to_string(), body).shown(state)
}

/// What is known of the kind of a port whose name does not say it.
fn kind_known(port: &Port) -> String {
    match (port.name.pressure(), port.kind) {
        (Some(_), _) => String::new(),
        (None, Some(kind)) => format!(", {kind}"),
        (None, None) => format!(", {}", l::KIND_NOT_KNOWN),
    }
}

/// The sets of a name.
fn of_name(logbook: &Logbook, name: &Label) -> Result<Vec<SetRecord>, Refusal> {
    let mut sets = logbook.sets()?;
    sets.retain(|set| set.name.as_str().to_lowercase() == name.as_str().to_lowercase());
    Ok(sets)
}

/// Sets that two devices gave one name: each by its code, and what settles it.
fn several(state: &State<'_>, name: &Label, sets: &[SetRecord]) -> Response {
    let made = |set: &SetRecord| set.made.as_ref().map(|made| format!("{} {}", made.on, made.by));
    let first = sets.first().map(|set| Label::from(set.id));
    let second = sets.get(1).map(|set| set.id.to_string()).unwrap_or_default();
    let body = html! {
        h1 { (l::SEVERAL_SETS) ": " (name) }
        ul.list {
            @for set in sets {
                li {
                    a.button.code href={ "/set/" (set.id) } { (set.id) }
                    span { b { (set.name) } " " (set.in_use) @if let Some(made) = made(set) { ", " (made) } }
                    a.button href={ "/set/" (set.id) "/change" } { (l::SET_CHANGE) }
                }
            }
        }
        @if let Some(first) = &first {
            (forms::card(state, "join", &owner::join_sets(&second), &to(first, "/join")))
        }
    };
    Screen::new(format!("{} {name}", l::SET), body).shown(state)
}

/// The form for a new set: from a usual one, like another, or from nothing.
pub fn form(state: &State<'_>) -> Shown {
    let asked = &state.request.query;
    let pattern = set::PATTERNS.iter().find(|pattern| asked.get("pattern") == pattern.word);
    let like: Option<Label> = asked.label("like", "the name of a set")?;
    let filled = match (state.refused, pattern, like) {
        (Some(refused), ..) => refused.typed.filled(),
        (None, Some(pattern), _) => pattern.filled(),
        (None, None, Some(like)) => {
            state.read(|logbook, _| Ok(set::another(&logbook.set(&like)?)))?
        }
        (None, None, None) => set::empty(),
    };
    let form = set::draw(&filled, None);
    let body = html! {
        (forms::head(None, &form.title))
        p { (l::PATTERNS) }
        p.under {
            @for pattern in set::PATTERNS {
                a.button href={ "/sets/new?pattern=" (pattern.word) } { (pattern.words) }
            }
        }
        (state.form(&state.request.path).class("looking").shown(&form))
    };
    Ok(Screen::new(form.title.clone(), body).shown(state))
}

/// The ports of a set that have neither a hose nor a device, in their order.
fn empty_ports(view: &SetView) -> impl Iterator<Item = PortName> {
    let empty = view.ports.iter().filter(|port| port.hose.is_none() && port.device.is_none());
    empty.map(|port| port.port.name)
}

/// Fills the ports one by one: a hose is scanned for one, and the next empty one follows.
pub fn fill(state: &State<'_>) -> Shown {
    let (at, asked) = (named(state.parameter("name"))?, &state.request.query);
    let wanted: Option<PortName> = asked.parsed("port")?;
    let text = asked.get("text");
    let (view, found) = state.read(|logbook, moment| {
        let view = logbook.set_view(&at, moment)?;
        // A scan names its hose; what is typed may mean several.
        let found = match (text, logbook.find_typed(text)) {
            ("", _) => Vec::new(),
            (_, Ok(found)) => vec![logbook.answer_alone(found, moment)?],
            (_, Err(_)) => {
                let hits = logbook.look_for(text, FILLS, moment)?;
                hits.into_iter().map(|hit| hit.answer).collect()
            }
        };
        Ok((view, found))
    })?;
    let first = empty_ports(&view).find(|port| wanted.is_none_or(|wanted| wanted == *port));
    let Some(port) = first.or_else(|| empty_ports(&view).next()) else {
        return Ok(redirect(&to(&at, "")));
    };
    let address = to(&at, "/fill");
    let body = html! {
        h1 { (l::FILL) " " (port) }
        @if asked.ticked("written") { p.written role="status" { (l::WRITTEN) } }
        @if text.is_empty() { p.lead { (l::FILL_LEAD) } }
        @else if found.is_empty() { p { (l::TIE_NONE) } }
        ul.list {
            @for answer in &found {
                @let number = answer.hose.origin.own.number.as_ref();
                @let what = words::hose_briefly(answer.hose.specification.as_ref());
                li {
                    p { (numbered(number, answer.code)) }
                    p { (what) ", " (answer.place.words) }
                    (state.form(&address).drawn(html! {
                        input type="hidden" name="port" value=(port);
                        input type="hidden" name="hose" value=(answer.code);
                        button.main type="submit" { (l::FILL_GO) " " (port) span.spoken { ": " (what) } }
                    }))
                }
            }
        }
        ul.actions {
            @for other in empty_ports(&view).filter(|other| *other != port) {
                li { a.button href={ (address) "?" (query([("port", other.to_string().as_str())])) } { (l::FILL) " " (other) } }
            }
        }
        p { a.button href=(to(&at, "")) { (l::SET) " " (view.name) } }
    };
    let kept = vec![("port".to_owned(), port.to_string())];
    let scan = Scan { kept, ..Scan::into(address, "text", l::FILL_SCAN) };
    Ok(Screen::new(format!("{} {port}", l::FILL), body).scan(scan).shown(state))
}

/// Puts a hose in a port, and goes on with the next empty one.
pub fn filled(state: &State<'_>) -> Shown {
    let (at, fields) = (named(state.parameter("name"))?, &state.request.form);
    let port: PortName = fields.needed("port", "a port")?;
    let hose = fields.get("hose");
    let next = state.write(|logbook, moment| {
        let hose = logbook.find_typed(hose)?.hose;
        logbook.fit(hose, &at, port, None, moment)?;
        Ok::<_, Refusal>(empty_ports(&logbook.set_view(&at, moment)?).next())
    })?;
    Ok(redirect(&match next {
        Some(next) => to(&at, &format!("/fill?port={next}&written=yes")),
        None => to(&at, "?written=yes"),
    }))
}

/// A set as its address names it.
pub fn named(name: &str) -> Result<Label, Refusal> {
    Label::new("the name of a set", name).map_err(Refusal::bad)
}

/// Puts a set on record.
pub fn write(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let made: Label = fields.needed_label("name", "the name of a set")?;
    state.write(|logbook, moment| Ok(logbook.submit_new_set(&fields.filled(), moment)?))?;
    Ok(redirect(&to(&made, "")))
}
