//! The answer to a scan: may it be dived, why not, and what now.

use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use chrono::NaiveDate;
use hosewright_core::answer::{Answer, Reason, lines};
use hosewright_core::event::Event;
use hosewright_core::hose::Label;
use hosewright_core::inspection::Verdict;
use hosewright_core::photograph::PhotographName;
use hosewright_core::record::HoseRecord;
use hosewright_core::{HistoryLine, Logbook};
use maud::{Markup, html};

use axum::extract::Path;

use super::Shown;
use super::looking::{photograph, photographs};
use crate::page::ask::Ask;
use crate::page::fields::{query, step};
use crate::page::frame::Screen;
use crate::page::labels as l;
use crate::page::parts::{class, reasons, sign};
use crate::page::refusal::Refusal;

/// How much of a history is shown before the rest is asked for.
const LINES: usize = 60;

/// Something to do next: where, and what it is called.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Action {
    to: String,
    label: &'static str,
}

/// One line of what happened.
struct Line {
    on: NaiveDate,
    by: Label,
    words: String,
    photograph: Option<PhotographName>,
}

/// A hose on record.
pub async fn show(ask: Ask, Path(code): Path<String>) -> Shown {
    let (answer, record, history) = ask
        .read(move |logbook, moment| {
            let found = logbook.find_typed(&code)?;
            let record = logbook.record(found.hose)?;
            let answer = logbook.answer_found(found, moment)?;
            let history = told(logbook, &record)?;
            Ok((answer, record, history))
        })
        .await?;
    let next = next(&answer, Some(&record));
    let actions = actions(&answer, &record);
    let all = ask.query.ticked("all");
    let body = page(&ask, &answer, &next, &actions, history_of(&history, all, &answer));
    Ok(Screen::new(answer.code.to_string(), body).shown(&ask))
}

/// A tag of ours without a record here, answered from the tag alone.
pub async fn from_tag(ask: Ask, text: String) -> Shown {
    let answer = ask
        .read(move |logbook, moment| match logbook.answer_scan(&text, moment) {
            // A bare code that was typed says nothing of the hose: not known.
            Err(_) => Ok(logbook.answer_typed(&text, moment)?),
            answered => Ok(answered?),
        })
        .await?;
    let code = answer.code.to_string();
    let register = format!("/register?{}", query([("tag", code.as_str())]));
    let next = Action { to: register, label: l::REGISTER_IT };
    let body = page(&ask, &answer, &next, &[], html! { p { (l::NO_HISTORY) } });
    Ok::<Response, Refusal>(Screen::new(code, body).shown(&ask))
}

/// A photograph of a hose. Its name is made of its content, so a browser may
/// keep it.
pub async fn photo(ask: Ask, Path((code, name)): Path<(String, String)>) -> Shown {
    let name: PhotographName = name.parse().map_err(|_| Refusal::NoPage)?;
    let shown = ask
        .read(move |logbook, _| {
            let hose = logbook.find_typed(&code)?.hose;
            Ok(logbook.photograph(hose, name)?)
        })
        .await?;
    let about = [(CONTENT_TYPE, "image/jpeg"), (CACHE_CONTROL, "private, max-age=31536000")];
    Ok::<Response, Refusal>((about, shown.photograph.jpeg().to_vec()).into_response())
}

/// What happened, the newest first.
fn told(logbook: &Logbook, record: &HoseRecord) -> Result<Vec<Line>, Refusal> {
    let line = |line: &HistoryLine| {
        let photograph = match &line.event {
            Some(Event::Photographed { photograph, .. }) if line.counts() => {
                Some(photograph.name())
            }
            _ => None,
        };
        let (on, by) = (line.entry.on, line.entry.by.clone());
        Line { on, by, words: line.words.clone(), photograph }
    };
    Ok(logbook.history(record.hose)?.iter().rev().map(line).collect())
}

fn page(ask: &Ask, answer: &Answer, next: &Action, actions: &[Action], history: Markup) -> Markup {
    html! {
        article.answer {
            div.first {
                @if ask.query.ticked("written") { p.written role="status" { (l::WRITTEN) } }
                @if ask.query.ticked("registered") { p.written role="status" { (l::REGISTERED) } }
                (banner(answer))
                @if !answer.reasons.is_empty() {
                    section aria-label=(l::WHY) { (reasons(&answer.reasons)) }
                }
                p.thumb { a.button.main href=(next.to) { (next.label) } }
            }
            div.second {
                (facts(answer))
                @if !actions.is_empty() {
                    section.write {
                        h2 { (l::ALL_ACTIONS) }
                        ul.actions {
                            @for action in actions {
                                li { a.button href=(action.to) { (action.label) } }
                            }
                        }
                    }
                }
                section.history { h2 { (l::HISTORY) } (history) }
            }
        }
    }
}

fn banner(answer: &Answer) -> Markup {
    html! {
        section.banner.(class(answer.verdict)) {
            (sign(answer.verdict))
            div {
                h1 { (answer.verdict) }
                p { (answer.meaning) }
            }
            p.which { span.code { (answer.code) } " " (answer.hose.words) }
        }
    }
}

fn facts(answer: &Answer) -> Markup {
    html! {
        section.facts {
            h2 { (l::AGE_AND_CARE) }
            dl {
                dt { (l::WHERE) }
                dd {
                    @match &answer.place.set {
                        Some(set) => a href={ "/set/" (step(set.as_str())) } { (answer.place.words) },
                        None => (answer.place.words),
                    }
                }
                dt { (l::AGE) } dd { (lines::age(answer)) }
                dt { (l::LOOKED_OVER) }
                @if answer.inspections.is_empty() { dd { (lines::NOT_LOOKED_OVER) } }
                @for look in &answer.inspections { dd { (lines::last_look(look)) (photographs(answer.code, look, None)) } }
                @if !answer.due.is_empty() { dt { (l::DUE) } }
                @for due in &answer.due { dd { (lines::due(due)) } }
                dt { (l::DIVES) } dd { (lines::dives(answer.dives)) }
                dt { (l::RECORD) } dd { (lines::freshness(&answer.record)) }
            }
        }
    }
}

fn history_of(history: &[Line], all: bool, answer: &Answer) -> Markup {
    let shown = if all { history.len() } else { history.len().min(LINES) };
    html! {
        ol.timeline {
            @for line in history.iter().take(shown) {
                li {
                    time datetime=(line.on) { (line.on) } " " span.by { (line.by) }
                    p { (line.words) }
                    @if let Some(name) = line.photograph {
                        (photograph(answer.code, name, &line.words))
                    }
                }
            }
        }
        @if shown < history.len() {
            p { a.button href={ "/hose/" (answer.code) "?all=yes" } { (l::MORE) } }
        }
    }
}

/// What the first reason that something can be done about asks for. The
/// sentence that says so is the core's; this is the button under it.
fn next(answer: &Answer, record: Option<&HoseRecord>) -> Action {
    let at = |tail: &str| format!("/hose/{}{tail}", answer.code);
    if let (Some(_), Some(set)) = (&answer.place.ticket, &answer.place.set) {
        return Action { to: format!("/set/{}/in", step(set.as_str())), label: l::TAKE_BACK_SET };
    }
    let offered = answer.reasons.iter().find_map(|reason| offer(reason, answer, record));
    offered.unwrap_or_else(|| match answer.verdict {
        Verdict::Retire => Action { to: "/".to_owned(), label: l::SCAN_ANOTHER },
        _ => Action { to: at("/inspect?kind=quick"), label: l::QUICK },
    })
}

fn offer(reason: &Reason, answer: &Answer, record: Option<&HoseRecord>) -> Option<Action> {
    let at = |tail: &str, label| Some(Action { to: format!("/hose/{}{tail}", answer.code), label });
    let fitted = answer.place.set.is_some();
    let leak = || at("/inspect?kind=leak-test", l::LEAK);
    match reason.code.as_str() {
        "retired" => Some(Action { to: "/".to_owned(), label: l::SCAN_ANOTHER }),
        code if code.starts_with("finding-") && reason.verdict == Verdict::Retire => {
            at("/care#retire", l::RETIRE)
        }
        "recalled" => {
            let origin = &answer.hose.origin;
            let lot = origin.lot.as_ref()?.to_string();
            let code = answer.code.to_string();
            let to = query([("lot", lot.as_str()), ("text", code.as_str())]);
            let aside = record.is_some_and(|record| !record.set_aside.is_empty());
            (!aside).then(|| Action { to: format!("/owner/recall?{to}"), label: l::FIND_RECALLED })
        }
        "swap-open" => {
            let swap = record?.swap()?;
            Some(Action { to: format!("/swap/{}/{}", swap.old, swap.new), label: l::SWAP_ON })
        }
        "leak-test-due" => leak(),
        "age-over" | "dives-over" if fitted => at("/swap", l::SWAP),
        "age-over" | "dives-over" => at("/care#retire", l::RETIRE),
        "inspection-never" | "inspection-over" | "stored-long" => at("/inspect?kind=full", l::FULL),
        "finding-seal-missing" | "finding-seal-damaged" | "finding-bubbles"
            if reason.verdict == Verdict::Hold =>
        {
            let resealed =
                record.is_some_and(|record| record.open.iter().any(|open| open.resealed.is_some()));
            if resealed && fitted { leak() } else { at("/care#reseal", l::RESEAL) }
        }
        "finding-salt" | "finding-seal-dirty" | "finding-verdigris" => at("/care#clean", l::CLEAN),
        "age-unknown" => at("/describe", l::DESCRIBE),
        "tag-old" => at("", l::SEE_ITS_OWN),
        "place-contested" => at("/place", l::PLACE),
        _ => None,
    }
}

/// Everything that can be written down about a hose that is here.
fn actions(answer: &Answer, record: &HoseRecord) -> Vec<Action> {
    let at = |tail: &str, label| Action { to: format!("/hose/{}{tail}", answer.code), label };
    let code = answer.code.to_string();
    let tag =
        Action { to: format!("/tags?{}", query([("codes", code.as_str())])), label: l::PRINT_TAG };
    if record.retired.is_some() {
        return Vec::new();
    }
    let mut all = vec![at("/inspect?kind=full", l::FULL), at("/inspect?kind=quick", l::QUICK)];
    if record.seat.is_some() {
        all.push(at("/inspect?kind=leak-test", l::LEAK));
        all.push(at("/swap", l::SWAP));
    }
    all.extend([
        at("/care#clean", l::CLEAN),
        at("/care#reseal", l::RESEAL),
        at("/place", l::PLACE),
        at("/describe", l::DESCRIBE),
        at("/care#bind", l::BIND),
        at("/care#retag", l::RETAG),
        tag,
        at("/care#retire", l::RETIRE),
    ]);
    all
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use hosewright_core::answer::REASONS;
    use hosewright_core::hose::{Construction, Fitting, Origin, Service, Specification, Thread};
    use hosewright_core::journal::Moment;
    use hosewright_core::{Found, Registration};

    use super::*;
    use crate::page::records::Record;

    /// Reasons that name nothing to be written down at once; a swap that is
    /// open has its button where there is one.
    const WITHOUT: &[&str] = &[
        "age-near",
        "clock-odd",
        "dives-near",
        "inspection-near",
        "not-all-read",
        "swap-open",
        "tag-only",
    ];

    #[test]
    fn every_reason_has_its_button_or_is_known_to_have_none() {
        let folder = tempfile::tempdir().unwrap();
        let keys = Some(folder.path().join("keys"));
        let book = Record::open(&folder.path().join("store"), keys).unwrap();
        let today: NaiveDate = "2026-06-15".parse().unwrap();
        let time = today.and_hms_opt(12, 0, 0).unwrap().and_utc();
        let moment = Moment { today, time, by: Label::new("a name", "tester").unwrap() };
        let (a, b) = (Fitting::Thread(Thread::Unf3_8x24), Fitting::QuickDisconnect);
        let length = "22 in".parse().unwrap();
        let (service, construction) = (Service::Inflator, Construction::Rubber);
        let specification = Specification::new(service, construction, length, a, b, false).unwrap();
        let lot = Label::new("a lot", "B17").ok();
        let origin = Origin { lot, ..Origin::default() };
        let new = Registration { specification, origin, tag: None };
        let hose = book.write(|book| book.register(new, None, &moment)).unwrap();
        let (answer, record) = book
            .read(|book| {
                let answer = book.answer_found(Found { hose, tag: None }, &moment)?;
                Ok::<_, Refusal>((answer, book.record(hose)?))
            })
            .unwrap();
        let without = REASONS.iter().filter(|rule| {
            let (words, todo) = (String::new(), String::new());
            let reason = Reason { code: rule.code.to_owned(), verdict: rule.rental, words, todo };
            offer(&reason, &answer, Some(&record)).is_none()
        });
        let mut without: Vec<&str> = without.map(|rule| rule.code).collect();
        without.sort_unstable();
        assert_eq!(without, WITHOUT);
        // The first reason that asks for something decides.
        assert_eq!(next(&answer, Some(&record)).label, l::FULL);
    }
}
