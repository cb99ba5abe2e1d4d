//! Handing a set out and taking it back.

use hosewright_core::LogbookError;
use hosewright_core::hose::{Label, Specification};
use hosewright_core::inspection::InspectionKind;
use hosewright_core::rental::{BroughtBack, HandOutCheck};
use hosewright_core::set_view::Checked;
use hosewright_core::tag::Code;
use hosewright_core::{TakenBack, words};
use maud::{Markup, html};

use super::sets::named;
use super::{looking, sets};
use crate::fields::Fields;
use crate::form::{Field, save};
use crate::frame::{Scan, Screen};
use crate::labels as l;
use crate::parts::{checked, link, sentence};
use crate::refusal::Refusal;
use crate::response::{Response, Shown};
use crate::state::State;

/// More scans than any set has hoses.
const MOST: usize = 64;

/// What was scanned so far, each once.
fn scanned(fields: &Fields) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for text in fields.all("scanned") {
        if !all.contains(&text) && all.len() < MOST {
            all.push(text);
        }
    }
    all
}

/// The live list: what was scanned, what is missing, foreign or held.
pub fn check(state: &State<'_>) -> Shown {
    let set = named(state.parameter("name"))?;
    let texts = scanned(&state.request.query);
    let check = state.read(|logbook, moment| Ok(logbook.hand_out_check(&set, &texts, moment)?))?;
    Ok(checking(state, &set, &texts, &check))
}

fn checking(state: &State<'_>, set: &Label, texts: &[String], check: &HandOutCheck) -> Response {
    let kept: Vec<(String, String)> =
        texts.iter().map(|text| ("scanned".to_owned(), text.clone())).collect();
    let at = sets::to(set, "/out");
    let scan = Scan {
        action: at.clone(),
        field: "scanned",
        label: l::SCAN_FOR_SET,
        kept: kept.clone(),
        several: true,
    };
    let of = check.found.len() + check.missing.len();
    let form = |over: bool| {
        html! {
            @let form = state.form(&at);
            (form.drawn(html! {
                @for (name, text) in &kept { input type="hidden" name=(name) value=(text); }
                (form.field(&Field::new("ticket", l::TICKET).hint(l::TICKET_HINT).needed()))
                @if over {
                    (form.field(&Field::new("name", l::OUT_NAME).needed()))
                    (form.field(&Field::new("why", l::OUT_WHY).needed()))
                    p { button.main type="submit" { (l::OUT_OVER) } }
                } @else {
                    (save(l::OUT_GO))
                }
            }))
        }
    };
    let body = html! {
        h1 { (l::OUT_TITLE) ": " (l::SET) " " (set) }
        p.result.(if check.ready { "ready" } else { "hold" }) role="status" {
            b.count { (check.found.len()) " " (l::OUT_OF) " " (of) } " " (check.words)
        }
        @if check.ready { (form(false)) }
        @if !check.ready && texts.is_empty() { (missing(&check.missing)) }
        @else {
            @if !check.stops.is_empty() {
                section {
                    h2 { (l::OUT_STOPS) }
                    ul.reasons {
                        @for stop in &check.stops {
                            li.hold { div { p.why { (stop.words) } p.todo { (stop.todo) } } }
                        }
                    }
                }
            }
            @if !check.watch.is_empty() { (list(l::OUT_WATCH, &check.watch)) }
            @if !check.foreign.is_empty() {
                section {
                    h2 { (l::OUT_FOREIGN) }
                    ul.list {
                        @for foreign in &check.foreign {
                            li { b { (foreign.scanned) } " " (foreign.words) }
                        }
                    }
                }
            }
            @if !check.missing.is_empty() { (missing(&check.missing)) }
            @if !check.found.is_empty() { (list(l::OUT_FOUND, &check.found)) }
            @if !check.ready && !texts.is_empty() {
                section.card {
                    h2 { (l::OUT_OVER) }
                    @if check.can_be_lifted() { p { (words::sets::OVERRIDE_LIFTS) } (form(true)) }
                    @else { p { (words::sets::OVERRIDE_DOES_NOT_LIFT) } }
                }
            }
            p.under { a.button href=(at) { (l::OUT_AGAIN) } }
        }
    };
    Screen::new(format!("{} · {set}", l::OUT_TITLE), body).scan(scan).shown(state)
}

/// What is missing stands without its verdict: a green sign would say that all
/// is well.
fn missing(hoses: &[Checked]) -> Markup {
    html! {
        section {
            h2 { (l::OUT_MISSING) " (" (hoses.len()) ")" }
            ul.list {
                @for hose in hoses {
                    li {
                        @if let Some(port) = hose.port { b { (port) } " " }
                        (link(hose.code)) " " (hose.words)
                    }
                }
            }
        }
    }
}

fn list(title: &str, hoses: &[Checked]) -> Markup {
    html! {
        section { h2 { (title) " (" (hoses.len()) ")" } ul.reasons { @for hose in hoses { (checked(hose)) } } }
    }
}

/// Hands it out; with a name and a reason over what stops it.
pub fn hand_out(state: &State<'_>) -> Shown {
    let name = state.parameter("name");
    let fields = &state.request.form;
    let set = named(name)?;
    let ticket: Label = fields.needed_label("ticket", "a ticket")?;
    let why = fields.label("why", "a reason")?;
    let own;
    let state = match (&why, fields.label("name", "a name")?) {
        (Some(_), Some(name)) => {
            own = state.request.by(name);
            &State { request: &own, ..*state }
        }
        (Some(_), None) => return Err(Refusal::at("name", "an override needs your name")),
        (None, _) => state,
    };
    let texts = scanned(fields);
    let check = state.write(|logbook, moment| {
        Ok(logbook.hand_out(&set, ticket.clone(), &texts, why, None, moment)?)
    })?;
    Ok(gone(state, &set, &ticket, &check))
}

fn gone(state: &State<'_>, set: &Label, ticket: &Label, check: &HandOutCheck) -> Response {
    let body = html! {
        h1 { (words::sets::handed_out(set, ticket, check.going().len())) }
        @if !check.stops.is_empty() {
            section {
                h2 { (words::sets::OVER_THESE) }
                ul.reasons { @for stop in &check.stops { li.hold { div { p.why { (stop.words) } } } } }
            }
        }
        @if !check.watch.is_empty() { (list(l::OUT_WATCH, &check.watch)) }
        p.under { a.button.main href="/sets" { (l::SETS_TITLE) } }
    };
    Screen::new(l::OUT_TITLE, body).shown(state)
}

/// A hose that is out, as the form for a return has it.
struct Away {
    code: Code,
    hose: Option<Specification>,
    /// It was scanned.
    here: bool,
}

/// The form for a set that comes back: dives, each hose here or missing, and a
/// quick look at it. What is scanned is here.
pub fn form(state: &State<'_>) -> Shown {
    let set = named(state.parameter("name"))?;
    let texts = scanned(&state.request.query);
    let (out, hoses, strange, a_day) = state.read(|logbook, moment| {
        let record = logbook.set(&set)?;
        let out = record.out.clone().ok_or(LogbookError::NotOut(set.clone()))?;
        let (mut here, mut strange): (Vec<Code>, Vec<String>) = Default::default();
        for text in &texts {
            match logbook.find_typed(text).map(|found| found.hose) {
                Ok(hose) if out.hoses.contains(&hose) => here.push(hose),
                Ok(hose) => {
                    let (set, ticket) = (record.name.clone(), out.ticket.clone());
                    strange.push(LogbookError::NotOutWith { hose, set, ticket }.to_string());
                }
                Err(why) => strange.push(why.to_string()),
            }
        }
        let hoses = out.hoses.iter().map(|hose| {
            let record = logbook.record(*hose)?;
            let (code, here) = (record.tag(), here.contains(hose));
            Ok(Away { code, hose: record.specification, here })
        });
        let hoses = hoses.collect::<Result<Vec<Away>, Refusal>>()?;
        Ok((out, hoses, strange, logbook.dives_a_day(moment)?))
    })?;
    let body = html! {
        h1 { (l::IN_TITLE) ": " (l::SET) " " (set) }
        p { (words::sets::set_out(&out)) }
        p { (words::returns::RETURN_LEAD) }
        @for why in &strange { p.result.watch { (sentence(why)) } }
        @let form = state.form(sets::to(&set, "/in")).class("looking");
        (form.drawn(html! {
            (form.field(&Field::number("dives", l::IN_DIVES, 200).hint(&words::returns::dives_unknown(a_day))))
            (form.tick("dives_unknown", l::IN_DIVES_UNKNOWN, false))
            h2 { (l::IN_LOOK) }
            p { (l::QUICK_LEAD) }
            @for Away { code, hose, here } in &hoses {
                fieldset.checkpoint {
                    legend { span.code { (code) } " " (words::hose_briefly(hose.as_ref())) }
                    @for (value, label, ticked) in [("here", l::IN_HERE, *here), ("missing", l::IN_MISSING, false)] {
                        (form.radio(&format!("{code}|at"), value, ticked, label))
                    }
                    @if let Some(hose) = hose {
                        (form.fold(l::IN_SEEN, || html! { (looking::checkpoints(&form, hose, InspectionKind::Quick, None, &format!("{code}|"))) }))
                    }
                }
            }
            (form.day())
            (save(l::IN_GO))
        }))
    };
    let scan = Scan {
        action: sets::to(&set, "/in"),
        field: "scanned",
        label: l::SCAN_RETURN,
        kept: texts.into_iter().map(|text| ("scanned".to_owned(), text)).collect(),
        several: true,
    };
    Ok(Screen::new(format!("{} · {set}", l::IN_TITLE), body).scan(scan).shown(state))
}

/// Takes it back.
pub fn take_back(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let set = named(state.parameter("name"))?;
    let dives: Option<u32> = match fields.ticked("dives_unknown") {
        true => None,
        false => Some(fields.needed("dives", "the number of dives")?),
    };
    let on = fields.on()?;
    let back = state.write(|logbook, moment| {
        let out = logbook.set(&set)?.out.map(|out| out.hoses).unwrap_or_default();
        let mut back = BroughtBack { dives, ..BroughtBack::default() };
        for hose in out {
            let code = logbook.record(hose)?.tag().to_string();
            match fields.get(&format!("{code}|at")) {
                "here" => back.scanned.push(code.clone()),
                "missing" => back.missing.push(code.clone()),
                _ => {}
            }
            let there = looking::seen(fields, &format!("{code}|"))?;
            back.seen.extend(there.into_iter().map(|seen| (code.clone(), seen)));
        }
        Ok(logbook.take_back(&set, &back, on, moment)?)
    })?;
    Ok(returned(state, &back))
}

fn returned(state: &State<'_>, back: &TakenBack) -> Response {
    let body = html! {
        h1 { (l::IN_TITLE) ": " (l::SET) " " (back.set) }
        p.result.(if back.quarantined { "hold" } else { "ready" }) role="status" {
            (back.words)
        }
        @for difference in &back.differences { p { (difference) } }
        @if !back.stops.is_empty() { (list(l::OUT_STOPS, &back.stops)) }
        @if !back.missing.is_empty() { (list(l::IN_LOST, &back.missing)) }
        @if !back.hoses.is_empty() { (list(l::IN_HOSES, &back.hoses)) }
        p.under { a.button.main href="/sets" { (l::SETS_TITLE) } }
    };
    Screen::new(l::IN_TITLE, body).shown(state)
}
