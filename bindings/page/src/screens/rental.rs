//! Handing a set out and taking it back.

use hosewright_core::hose::Label;
use hosewright_core::inspection::Verdict;
use hosewright_core::rental::{HandOutCheck, HandOutRow, told_hirer};
use hosewright_core::set_view::Checked;
use hosewright_core::view::form::{ANSWER, Form, rental};
use hosewright_core::words::{self, sentence};
use maud::{Markup, html};

use super::looking::photos_of_hoses;
use super::packing::{self, told};
use super::sets;
use super::sets::named;
use crate::fields::query;
use crate::frame::{Scan, Screen};
use crate::labels as l;
use crate::parts::{checked, class, link, numbered, sign};
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::state::State;

/// The live list: every hose of the set, and what else was scanned.
pub fn check(state: &State<'_>) -> Shown {
    let set = named(state.parameter("name"))?;
    let filled = state.request.query.filled();
    let (check, form, packed) = state.read(|logbook, moment| {
        let (check, form) = logbook.hand_out_form(&set, &filled, moment)?;
        Ok((check, form, logbook.packed(&set, moment)?))
    })?;
    let at = sets::to(&set, "/out");
    let scan = Scan {
        action: at.clone(),
        field: rental::SCANNED,
        label: l::SCAN_SET,
        kept: kept(&rental::scanned(&filled)),
        several: true,
        elsewhere: check.ready,
        saves: false,
    };
    let of = check.found.len() + check.missing.len();
    let stopped = check.real_stops().next().is_some();
    // A set that is packed goes out by a click; one of which something is new is scanned.
    let packed = packed.filter(|packed| packed.news.is_empty() && !check.begun());
    let result = if check.ready { Some("ready") } else { stopped.then_some("hold") };
    let body = html! {
        h1 { (l::HAND_OUT) ": " (l::SET) " " (check.set) }
        p.result.(result.unwrap_or_default()) role="status" {
            b.count { (check.found.len()) " " (l::OUT_OF) " " (of) } " " (check.stands())
        }
        @if let Some(packed) = &packed { (packing::card(state, packed)) }
        @if check.ready { (told(words::rental::TELL, &told_hirer(&check.watch))) (state.form(&at).shown(&form)) }
        @for stop in check.stops_of_set() {
            ul.reasons { li.hold { div { p.why { (stop.words) } p.todo { (stop.todo) } } } }
        }
        ul.checks { @for row in check.rows() { (checks(&check, &row, &at)) } }
        @if check.begun() {
            @if !check.ready { (over(state, &form, &at)) }
            p.under { a.button href=(at) { (l::OUT_AGAIN) } }
        }
    };
    Ok(Screen::new(format!("{} · {set}", l::HAND_OUT), body).scan(scan).shown(state))
}

fn kept(texts: &[String]) -> Vec<(String, String)> {
    texts.iter().map(|text| (rental::SCANNED.to_owned(), text.clone())).collect()
}

/// A hose of the list, with a way to take back a scan of it. What is not scanned stands
/// without its sign: a green one would say that all is well.
fn checks(check: &HandOutCheck, row: &HandOutRow<'_>, at: &str) -> Markup {
    let sure = row.stops || !row.scanned.is_empty();
    let hose = row.hose.filter(|_| sure);
    let left = check.without(&row.scanned).into_iter().map(|text| (rental::SCANNED, text));
    let name = row.hose.map_or_else(|| row.scanned.join(" "), Checked::by_number);
    let look = match hose {
        Some(hose) => {
            class(hose.verdict.max(if row.stops { Verdict::Hold } else { Verdict::Ready }))
        }
        None if row.stops => class(Verdict::Hold),
        None => "",
    };
    html! {
        li.(look) {
            @if let Some(hose) = hose { (sign(hose.verdict)) }
            div {
                p {
                    @if let Some(port) = row.hose.and_then(|hose| hose.port) { b.port { (port) } " " }
                    @match row.hose {
                        Some(hose) => { (numbered(hose.number.as_ref(), hose.code)) }
                        None => { b { (name) } }
                    }
                    @if let Some(hose) = hose { " " b { (hose.verdict) } }
                }
                p { @if let Some(hose) = row.hose { (hose.briefly) ". " } b { (row.state) } "." }
                @if !row.words.is_empty() { p.why { (row.words) } }
                @if !row.todo.is_empty() { p.todo { (row.todo) } }
            }
            @if !row.scanned.is_empty() {
                a.button href={ (at) "?" (query(left)) } { (l::OUT_REMOVE) span.spoken { ": " (name) } }
            }
        }
    }
}

/// The form that hands it out in spite of what stops it, folded away until it is asked
/// for.
fn over(state: &State<'_>, form: &Form, at: &str) -> Markup {
    html! {
        details.card open[state.refused.is_some()] {
            summary { (form.title) }
            (state.form(at).on_card(form))
        }
    }
}

/// Hands it out, or packs it; with a name and a reason over what stops it.
pub fn hand_out(state: &State<'_>) -> Shown {
    let (set, filled) = (named(state.parameter("name"))?, state.request.form.filled());
    if filled.get(ANSWER) == rental::PACK {
        state.write(|logbook, moment| Ok(logbook.submit_pack(&set, &filled, moment)?))?;
        return Ok(redirect(&sets::to(&set, "?written=yes")));
    }
    state.write(|logbook, moment| Ok(logbook.submit_hand_out(&set, &filled, moment)?))?;
    Ok(redirect(&sets::to(&set, "/slip")))
}

/// The slip of a set that is out; the set, if it is not.
pub fn slip(state: &State<'_>) -> Shown {
    let set = named(state.parameter("name"))?;
    let slip = state.read(|logbook, moment| Ok(logbook.slip(&set, moment)?))?;
    let Some(slip) = slip else { return Ok(redirect(&sets::to(&set, ""))) };
    let body = html! {
        p.result.ready role="status" {
            (slip.words)
            @if let Some(why) = &slip.override_why { " " (words::rental::over_objections(why)) }
        }
        p.under {
            button.main type="button" hidden data-print { (words::rental::PRINT_SLIP) }
            a.button href=(sets::to(&set, "")) { (l::SET) " " (slip.set) }
            a.button href="/" { (l::TODAY_TITLE) }
        }
        article.slip {
            h1 { (words::rental::slip(&slip.set)) }
            p.ticket { (words::rental::since(slip.on, &slip.ticket)) }
            (told(words::rental::SLIP_WATCH, &slip.told))
            h2 { (words::rental::SLIP_HOSES) }
            ul.list {
                @for hose in &slip.hoses {
                    li {
                        @if let Some(port) = hose.port { b { (port) } " " }
                        @if let Some(number) = &hose.number { b.number { (number) } " " }
                        span.code { (hose.code) } " " (hose.briefly)
                    }
                }
            }
            h2 { (words::rental::SLIP_CAUTIONS) }
            ul.heed { @for caution in slip.cautions { li { (caution) } } }
        }
    };
    Ok(Screen::new(words::rental::slip(&slip.set), body).shown(state))
}

/// Hands a packed set out.
pub fn go(state: &State<'_>) -> Shown {
    let (set, filled) = (named(state.parameter("name"))?, state.request.form.filled());
    state.write(|logbook, moment| Ok(logbook.submit_hand_out_packed(&set, &filled, moment)?))?;
    Ok(redirect(&sets::to(&set, "/slip")))
}

/// Unpacks it.
pub fn unpack(state: &State<'_>) -> Shown {
    let set = named(state.parameter("name"))?;
    state.write(|logbook, moment| Ok(logbook.unpack(&set, moment)?))?;
    Ok(redirect(&sets::to(&set, "?written=yes")))
}

fn list(title: &str, hoses: &[Checked]) -> Markup {
    html! {
        section { h2 { (title) " (" (hoses.len()) ")" } ul.reasons { @for hose in hoses { (checked(hose)) } } }
    }
}

/// The form for a set that comes back. What is scanned is here; hoses of other sets have
/// forms of their own, below.
pub fn form(state: &State<'_>) -> Shown {
    coming_back(state, Some(&named(state.parameter("name"))?))
}

/// The same before it is known which set comes back.
pub fn form_of_any(state: &State<'_>) -> Shown {
    coming_back(state, None)
}

fn coming_back(state: &State<'_>, first: Option<&Label>) -> Shown {
    let texts = rental::scanned(&state.request.query.filled());
    let (coming, mut sets) = state.read(|logbook, moment| {
        let coming = logbook.coming_back(first, &texts, moment)?;
        let forms = coming.sets.iter().map(|(id, own)| {
            let named = first.filter(|_| coming.sets.first().is_some_and(|(one, _)| one == id));
            let set = named.cloned().unwrap_or_else(|| Label::from(*id));
            let action = sets::to(&set, "/in");
            let refused = state.refused.filter(|refused| refused.action == action);
            let mut filled = refused.map(|refused| refused.typed.filled()).unwrap_or_default();
            filled.take_back(rental::SCANNED, |_| true);
            for text in coming.sets.iter().flat_map(|(_, texts)| texts) {
                filled.add(rental::SCANNED, text);
            }
            logbook.scan_return(&set, &mut filled, own.iter().map(String::as_str))?;
            let form = logbook.return_form_with_photographs(&set, &filled, moment)?;
            Ok((action, form))
        });
        let forms = forms.collect::<Result<Vec<(String, Form)>, Refusal>>()?;
        Ok((coming, forms))
    })?;
    let several = sets.len() > 1;
    let goes_on = |(_, form): &(String, Form)| form.fields().any(|field| field.goes_on);
    let complete = !sets.is_empty() && sets.iter().all(goes_on);
    if !complete {
        sets = sets.into_iter().map(|(action, form)| (action, form.waits())).collect();
    }
    let body = html! {
        h1 { @match sets.as_slice() { [(_, form)] => { (form.title) } _ => { (l::TAKE_BACK) } } }
        @for (hose, why) in &coming.strange {
            p.result.watch {
                (sentence(why))
                @if let Some(hose) = hose { " " (link(*hose)) }
            }
        }
        @if sets.is_empty() { p { (words::returns::SCAN_ANY) } }
        @for (action, form) in &sets {
            section.card[several] {
                @if several { h2 { (form.title) } }
                (state.form(action).class("looking").with_files().shown(form))
            }
        }
    };
    let counted: Vec<String> = coming.sets.into_iter().flat_map(|(_, texts)| texts).collect();
    let scan = Scan {
        action: first.map_or_else(|| "/return".to_owned(), |set| sets::to(set, "/in")),
        field: rental::SCANNED,
        label: words::inspection::SCAN_RETURN,
        kept: kept(&counted),
        several: true,
        elsewhere: complete,
        saves: false,
    };
    Ok(Screen::new(l::TAKE_BACK, body).scan(scan).shown(state))
}

/// Takes it back, and shows it; with the way to what was scanned of other sets.
pub fn take_back(state: &State<'_>) -> Shown {
    let set = named(state.parameter("name"))?;
    let filled = state.request.form.filled();
    let (texts, photos) = (rental::scanned(&filled), photos_of_hoses(state)?);
    let rest = state.write(|logbook, moment| {
        logbook.submit_return_with(&set, &filled, photos, moment)?;
        Ok(logbook.coming_back(None, &texts, moment)?.sets)
    })?;
    let rest = rest.iter().flat_map(|(_, texts)| texts);
    let rest = query(rest.map(|text| (rental::SCANNED, text.as_str())));
    let asks = if rest.is_empty() { "" } else { "?" };
    Ok(redirect(&sets::to(&set, &format!("/returned{asks}{rest}"))))
}

/// How a set came back last.
pub fn returned(state: &State<'_>) -> Shown {
    let set = named(state.parameter("name"))?;
    let back = state.read(|logbook, moment| Ok(logbook.last_return(&set, moment)?))?;
    let Some(back) = back else { return Ok(redirect(&sets::to(&set, ""))) };
    let rest = rental::scanned(&state.request.query.filled());
    let rest = query(rest.iter().map(|text| (rental::SCANNED, text.as_str())));
    let body = html! {
        h1 { (l::TAKE_BACK) ": " (l::SET) " " (back.set) }
        p.result.(if back.quarantined { "hold" } else { "ready" }) role="status" {
            (back.words)
        }
        @for difference in &back.differences { p.result.watch { (difference) } }
        @if !back.stops.is_empty() { (list(l::STOPS, &back.stops)) }
        @if !back.missing.is_empty() {
            (list(l::LOST, &back.missing))
            p.under { a.button href="/hoses?where=missing" { (words::returns::EVERY_MISSING) } }
        }
        @if !back.hoses.is_empty() { (list(l::CAME_BACK, &back.hoses)) }
        p.under {
            @if !rest.is_empty() {
                a.button.main href={ "/return?" (rest) } { (words::returns::THE_REST) }
            }
            a.button.main[rest.is_empty()] href="/return" { (words::returns::SCAN_THEM_BACK) }
            a.button href=(sets::to(&set, "")) { (l::SET) " " (back.set) }
            a.button href="/" { (l::TODAY_TITLE) }
        }
    };
    Ok(Screen::new(l::TAKE_BACK, body).shown(state))
}
