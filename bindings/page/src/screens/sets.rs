//! Regulator sets: those that are out, all of them, and one with its picture.

use hosewright_core::event::Port;
use hosewright_core::hose::{Label, Owner, PortKind, Thread};
use hosewright_core::policy::Use;
use hosewright_core::record::SetRecord;
use hosewright_core::set_answer::SetAnswer;
use hosewright_core::set_picture::{narrow, svg};
use hosewright_core::set_view::SetView;
use hosewright_core::words;
use hosewright_core::{Logbook, LogbookError, NewSet, PortCount, PortDevice};
use maud::{Markup, PreEscaped, html};

use super::timeline::timeline;
use crate::fields::{Fields, percent_encode, query};
use crate::form::{Field, Form, save};
use crate::frame::Screen;
use crate::labels as l;
use crate::parts::{class, link, narrowing, reasons, sign, verdict};
use crate::refusal::Refusal;
use crate::response::{Response, Shown, redirect};
use crate::state::State;

/// Who dives with a set.
pub const USES: &[(&str, &str)] = &[("rental", l::SET_RENTAL), ("personal", l::SET_PERSONAL)];

/// The kinds of ports, each with its field and what it is called.
const KINDS: [(&str, &str, PortKind, Thread); 5] = [
    ("hp", l::SET_HP, PortKind::High, Thread::Unf7_16x20),
    ("lp", l::SET_LP, PortKind::Low, Thread::Unf3_8x24),
    ("wide", l::SET_LP_WIDE, PortKind::Low, Thread::Unf1_2x20),
    ("old", l::SET_HP_OLD, PortKind::High, Thread::Unf3_8x24),
    ("unknown", l::SET_UNKNOWN, PortKind::Unknown, Thread::Unf3_8x24),
];

/// How many sets are on a page.
const SETS: u32 = 30;

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
        (narrowing("/sets", begins))
        div #results aria-live="polite" {
            @if sets.is_empty() { p { (l::SETS_NONE) } }
            ul.sets {
                @for (view, at) in &sets {
                    li {
                        div {
                            p { a href=(to(at, "")) { b { (view.name) } } @if *at != view.name { " " (at) } " " (view.in_use) }
                            @if let Some(worst) = view.worst { p { (verdict(worst)) } }
                            p { (words::sets::briefly(view.out.as_ref(), view.quarantined, view.in_quarantine)) }
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
        Ok(Ok((view, answer, logbook.set_history(&at)?)))
    })?;
    let (view, answer, history) = match found {
        Ok(found) => found,
        Err(sets) => return Ok(several(state, &at, &sets)),
    };
    let body = html! {
        h1 { (l::SET) " " (view.name) }
        @if state.request.query.ticked("written") { p.written role="status" { (l::WRITTEN) } }
        (banner(&answer))
        p { (view.in_use) ". " (view.words) }
        @if view.in_use == Use::Rental { p.thumb { (move_of(&at, view.out.is_some(), view.quarantined)) } }
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
            a.button href=(to(&at, "/change")) { (l::SET_CHANGE) }
            a.button href={ "/tags?" (query([("set", at.as_str())])) } { (l::START_TAGS) }
        }
        p { @match view.tag { Some(tag) => { (l::SET_TAG_OWN) " " span.code { (tag) } } None => (l::SET_TAG_NONE) } }
        p { (answer.caution) }
        section.history { h2 { (l::HISTORY) } (timeline(history.iter().rev(), None)) }
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
        @if let Some(first) = &first { (join_form(state, first, &second)) }
    };
    Screen::new(format!("{} {name}", l::SET), body).shown(state)
}

/// The form that says that two sets are one.
pub fn join_form(state: &State<'_>, set: &Label, other: &str) -> Markup {
    html! {
        section.card #join {
            h2 { (l::SET_JOIN) }
            @let form = state.form(to(set, "/join"));
            (form.drawn(html! {
                p { (l::SET_JOIN_LEAD) }
                (form.field(&Field::new("other", l::SET_JOIN_OTHER).value(other).needed()))
                (form.reason("join-"))
                p { button.main type="submit" { (l::SET_JOIN_GO) } }
            }))
        }
    }
}

/// The form for a new set.
pub fn form(state: &State<'_>) -> Shown {
    let body = html! {
        h1 { (l::NEW_SET) }
        @let form = state.form("/sets/new");
        (form.drawn(html! {
            (form.field(&Field::new("name", l::SET_NAME).needed()))
            (form.choice("use", l::SET_USE, "", USES))
            (port_fields(&form, [1, 4, 0, 0, 0]))
            (detail_fields(&form, None))
            (save(l::SAVE))
        }))
    };
    Ok(Screen::new(l::NEW_SET, body).shown(state))
}

/// A field for the number of ports of each kind.
pub fn port_fields(form: &Form<'_>, counts: [usize; 5]) -> Markup {
    html! {
        @for ((name, label, ..), count) in KINDS.iter().zip(counts) {
            (form.field(&Field::number(name, label, 12).value(&count.to_string())))
        }
    }
}

/// How many ports of each kind there are.
pub fn counts(ports: &[Port]) -> [usize; 5] {
    KINDS.map(|(.., kind, thread)| {
        let of = |port: &&Port| port.name.kind() == kind && port.thread == thread;
        ports.iter().filter(of).count()
    })
}

/// The ports that were typed, and how many of each kind.
pub fn ports_of(fields: &Fields) -> Result<(Vec<PortCount>, [usize; 5]), Refusal> {
    let (mut ports, mut typed): (Vec<PortCount>, [usize; 5]) = Default::default();
    for ((field, _, kind, thread), wanted) in KINDS.into_iter().zip(&mut typed) {
        let count: u8 = fields.parsed(field)?.unwrap_or(0);
        if count > 12 {
            return Err(Refusal::bad("a first stage has at most 12 ports of a kind"));
        }
        if count > 0 {
            ports.push(PortCount { kind, thread, count });
        }
        *wanted = usize::from(count);
    }
    Ok((ports, typed))
}

/// The fields of what a set is besides its ports: what is in a port instead of a
/// hose, and whether it is cleaned for oxygen.
pub fn detail_fields(form: &Form<'_>, set: Option<&SetRecord>) -> Markup {
    let devices = set.map(|set| &set.devices);
    let devices = devices.into_iter().flatten().map(|(port, device)| format!("{port}={device}"));
    let devices = devices.collect::<Vec<_>>().join(", ");
    let ticket = set.and_then(|set| set.owner.ticket()).map(ToString::to_string);
    let ticket = ticket.unwrap_or_default();
    html! {
        (form.field(&Field::new("ticket", l::TICKET_OF_CUSTOMER).hint(l::TICKET_OF_CUSTOMER_HINT).value(&ticket)))
        (form.field(&Field::new("devices", l::SET_DEVICES).hint(l::SET_DEVICES_HINT).value(&devices)))
        (form.tick("oxygen", l::OXYGEN, set.is_some_and(|set| set.oxygen)))
    }
}

/// What is in which port, as it was typed; those of a set that are not named any
/// more have their plug again.
pub fn devices_of(fields: &Fields, set: Option<&SetRecord>) -> Result<Vec<PortDevice>, Refusal> {
    let typed = fields.get("devices").split(',').map(str::trim).filter(|text| !text.is_empty());
    let typed = typed.map(|text| text.parse().map_err(|e| Refusal::at("devices", e)));
    let mut devices: Vec<PortDevice> = typed.collect::<Result<_, _>>()?;
    let before = set.map(|set| set.devices.keys().copied().collect::<Vec<_>>());
    for port in before.unwrap_or_default() {
        if !devices.iter().any(|change| change.port == port) {
            devices.push(PortDevice { port, device: None });
        }
    }
    Ok(devices)
}

/// A set as its address names it.
pub fn named(name: &str) -> Result<Label, Refusal> {
    Label::new("the name of a set", name).map_err(Refusal::bad)
}

/// Puts a set on record.
pub fn write(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let name: Label = fields.needed_label("name", "the name of a set")?;
    let in_use: Use = fields.needed("use", "who dives with it")?;
    let (ports, _) = ports_of(fields)?;
    let made = name.clone();
    let mut new = NewSet::new(name, in_use, ports);
    new.devices = devices_of(fields, None)?;
    new.oxygen = fields.ticked("oxygen");
    new.owner = Owner::of_ticket(fields.label("ticket", "a ticket")?);
    state.write(|logbook, moment| Ok(logbook.assemble_new(new, None, moment)?))?;
    Ok(redirect(&to(&made, "")))
}
