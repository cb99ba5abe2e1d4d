//! Recalls: every hose of a lot, where it is, and which have been found.

use hosewright_core::event::RecallOf;
use hosewright_core::fleet::{LotHose, LotReport, Trace};
use hosewright_core::hose::Prose;
use hosewright_core::tag::Code;
use hosewright_core::view::form::{Field, owner};
use hosewright_core::words::recall as say;
use maud::{Markup, html};

use super::forms::card;
use crate::fields::{Fields, query};
use crate::form::plain;
use crate::frame::{Scan, Screen};
use crate::labels as l;
use crate::parts::numbered;
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::sheet::{Cell, Sheet};
use crate::state::State;

/// What a recall names, as it was typed.
fn named(fields: &Fields) -> Result<Option<RecallOf>, Refusal> {
    let of = RecallOf {
        lot: fields.label("lot", "a lot")?,
        maker: fields.label("maker", "a maker's name")?,
        model: fields.label("model", "a model")?,
        made: fields.parsed("made")?,
    };
    Ok(Some(of).filter(|of| *of != RecallOf::default()))
}

fn needed(fields: &Fields) -> Result<RecallOf, Refusal> {
    named(fields)?.ok_or_else(|| Refusal::bad("what is recalled is missing"))
}

/// One lot, or every recall.
pub fn show(state: &State<'_>) -> Shown {
    match named(&state.request.query)? {
        Some(of) => one(state, of),
        None => all(state),
    }
}

fn all(state: &State<'_>) -> Shown {
    let recalls = state.read(|logbook, moment| Ok(logbook.recalls(moment)?))?;
    let rows = recalls.iter().map(|report| {
        let recall = report.recall.as_ref();
        let to = to(&report.of());
        vec![
            Cell::Button(html! { a.button href=(to) { (button(report)) } }),
            Cell::text(report.of()),
            Cell::text(report.maker.as_ref().map(ToString::to_string).unwrap_or_default()),
            Cell::text(recall.map(|recall| recall.on.to_string()).unwrap_or_default()),
            Cell::text(report.hoses.len()),
            Cell::text(report.set_aside),
            Cell::text(report.to_find),
            Cell::text(recall.map(|recall| recall.why.to_string()).unwrap_or_default()),
        ]
    });
    let head = vec![
        "",
        l::LOT_SHORT,
        l::SURVIVAL_MAKER,
        l::SINCE,
        l::AGES_HOSES,
        l::FOUND,
        l::RECALL_TO_FIND,
        l::WHY,
    ];
    let sheet = Sheet::new("recalls", head, rows.collect());
    if sheet.wanted(state) {
        return sheet.csv();
    }
    let body = html! {
        h1 { (l::RECALL_TITLE) }
        @if sheet.is_empty() { p { (l::RECALL_NONE) } } @else { (sheet.drawn(state)) }
        section.card {
            h2 { (l::RECALL_LOOK) }
            form action="/owner/recall" method="get" {
                (plain(&Field::text("lot", l::LOT).hint(l::NOTE_HINT)))
                (plain(&Field::text("maker", l::MAKER).hint(l::NOTE_HINT)))
                (plain(&Field::text("model", l::MODEL).hint(l::NOTE_HINT)))
                (plain(&Field::text("made", l::MADE_SPAN).hint(l::MADE_SPAN_HINT)))
                p { button.main type="submit" { (l::FILTER) } }
            }
        }
    };
    Ok(Screen::new(l::RECALL_TITLE, body).shown(state))
}

/// What the button to a recall says.
fn button(report: &LotReport) -> String {
    let label = report.lot.as_ref().or(report.model.as_ref());
    label.map_or_else(|| report.of().to_string(), ToString::to_string)
}

fn one(state: &State<'_>, of: RecallOf) -> Shown {
    // What was scanned and refused is said above, and looked for no more.
    let scanned =
        if state.refused.is_none() { state.request.query.all("text") } else { Vec::new() };
    let (report, scanned) = state.read(|logbook, moment| {
        let report = logbook.look_up(of.clone(), moment)?;
        let tag = |text: &String| Ok(logbook.record(logbook.find_typed(text)?.hose)?.tag());
        Ok((report, scanned.iter().map(tag).collect::<Result<Vec<Code>, Refusal>>()?))
    })?;
    let recalled = report.recall.is_some();
    let head = vec![l::CODE, l::RECALL_TRACE, l::WHERE, l::HOSE, ""];
    let rows = report.hoses.iter().map(|hose| row(state, &of, hose, recalled)).collect();
    let sheet = Sheet::new("recall", head, rows);
    if sheet.wanted(state) {
        return sheet.csv();
    }
    let body = html! {
        h1 { (l::RECALL_TITLE) ": " (of) }
        @if let Some(ticked) = state.request.query.given("ticked") {
            p.written role="status" { (say::ticked(ticked)) }
        }
        @if recalled { (search(state, &of, &report, &scanned)) } @else { p.result { (report.in_words()) } }
        @if !recalled {
            (near(&report))
            (card(state, "start", &owner::recall(&of), "/owner/recall"))
        }
        @if !sheet.is_empty() {
            @if recalled { h2 { (say::ALL) } }
            (sheet.drawn(state))
        }
        @if recalled { (near(&report)) (ending_forms(state, &of)) }
        p { a.button href="/owner/recall" { (l::RECALL_TITLE) } }
    };
    let screen = Screen::new(format!("{} · {of}", l::RECALL_TITLE), body);
    Ok(if recalled { screen.scan(scan_of(&of)) } else { screen }.shown(state))
}

/// While a recall is open each scan ticks a hose off, one after the other.
fn scan_of(of: &RecallOf) -> Scan {
    let kept =
        owner::recalled(of).into_iter().map(|(name, text)| (name.to_owned(), text)).collect();
    let scan = Scan::into("/owner/recall/scan".to_owned(), "text", say::SCAN);
    Scan { kept, several: true, saves: true, ..scan }
}

fn row(state: &State<'_>, of: &RecallOf, hose: &LotHose, recalled: bool) -> Vec<Cell> {
    let trace = if recalled { hose.trace.in_words() } else { "" };
    let find = recalled && matches!(hose.trace, Trace::ToFind | Trace::Open);
    let button = if find {
        found_button(state, of, &hose.code.to_string())
    } else {
        html! {}
    };
    vec![
        Cell::Numbered(hose.number.clone(), hose.code),
        Cell::text(trace),
        Cell::text(&hose.place),
        Cell::text(&hose.hose),
        Cell::Button(button),
    ]
}

/// How far the search is: what was found, what was scanned in a photo, and what is missing
/// by set and place.
fn search(state: &State<'_>, of: &RecallOf, report: &LotReport, scanned: &[Code]) -> Markup {
    let (found, all) = report.progress();
    let done = found == all;
    html! {
        p.result.ready[done].hold[!done] role="status" {
            b.count { (say::progress(found, all)) } " " (report.in_words())
        }
        @if !done { p { (say::SCAN_LEAD) } }
        @if !scanned.is_empty() {
            section.card {
                h2 { (say::SCANNED) }
                ul.list {
                    @for code in scanned {
                        li { p { span.code { (code) } } (found_button(state, of, &code.to_string())) }
                    }
                }
            }
        }
        @if !done {
            section.card #missing {
                h2 { (say::MISSING) }
                @for (place, hoses) in report.missing() {
                    h3 { (place) }
                    ul.list { @for hose in hoses { li { (numbered(hose.number.as_ref(), hose.code)) " " (hose.place) } } }
                }
            }
        }
    }
}

fn to(of: &RecallOf) -> String {
    let pairs = owner::recalled(of);
    format!("/owner/recall?{}", query(pairs.iter().map(|(name, text)| (*name, text.as_str()))))
}

fn found_button(state: &State<'_>, of: &RecallOf, code: &str) -> Markup {
    let (to, form) = (state.form("/owner/recall/found"), owner::found(of, code));
    to.drawn(html! {
        @for field in form.fields() { (to.field(field)) }
        button type="submit" { (form.submit) }
    })
}

fn ending_forms(state: &State<'_>, of: &RecallOf) -> Markup {
    html! {
        (card(state, "check-off", &owner::check_off(of), "/owner/recall/check-off"))
        (card(state, "end", &owner::end_recall(of), "/owner/recall/end"))
    }
}

/// Lots and makers of nearly the same spelling, before anybody starts the wrong recall.
fn near(report: &LotReport) -> Markup {
    let of = report.of();
    html! {
        @if !report.near.is_empty() || !report.near_makers.is_empty() {
            section.card #near {
                h2 { (say::DID_YOU_MEAN) }
                ul.list {
                    @for near in &report.near {
                        li {
                            a.button href=(to(&RecallOf::lot(near.lot.clone(), near.maker.clone()))) { (say::perhaps(&near.in_words())) }
                            span { (say::hoses(near.hoses)) ": " (near.words) }
                        }
                    }
                    @for near in &report.near_makers {
                        li {
                            a.button href=(to(&RecallOf { maker: Some(near.maker.clone()), ..of.clone() })) { (say::perhaps(near.maker.as_str())) }
                            span { (say::hoses(near.hoses)) }
                        }
                    }
                }
            }
        }
    }
}

/// Starts a recall.
pub fn start(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let of = needed(fields)?;
    let why: Prose = fields.needed_prose("why", "a reason")?;
    let back = to(&of);
    state.write(|logbook, moment| Ok(logbook.recall_by(of, why, None, moment)?))?;
    Ok(redirect(&back))
}

/// Records that a hose was found and set aside.
pub fn found(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let of = needed(fields)?;
    let back = to(&of);
    state.write(|logbook, moment| {
        let hose = logbook.find_typed(fields.get("code"))?.hose;
        Ok(logbook.found_for(hose, &of, None, moment)?)
    })?;
    Ok(redirect(&back))
}

/// Records that the hose that was scanned was found and set aside, and goes on.
pub fn scanned(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let of = needed(fields)?;
    let tag = state.write(|logbook, moment| {
        let hose = logbook.find_typed(fields.get("text"))?.hose;
        Ok(logbook.found_for(hose, &of, None, moment)?)
    })?;
    Ok(redirect(&format!("{}&ticked={tag}", to(&of))))
}

/// Ends a recall, as the owner does: at the desk's own computer alone.
pub fn end(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    state.at_the_desk()?;
    let of = needed(fields)?;
    let why: Prose = fields.needed_prose("why", "a reason")?;
    let back = to(&of);
    state.write(|logbook, moment| Ok(logbook.end_recall(&of, why, moment)?))?;
    Ok(redirect(&back))
}

/// Records that the recall does not mean a hose, as the owner found.
pub fn check_off(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    state.at_the_desk()?;
    let of = needed(fields)?;
    let why: Prose = fields.needed_prose("why", "a reason")?;
    let back = to(&of);
    state.write(|logbook, moment| {
        let hose = logbook.find_typed(fields.get("code"))?.hose;
        Ok(logbook.check_off(hose, &of, why, moment)?)
    })?;
    Ok(redirect(&back))
}
