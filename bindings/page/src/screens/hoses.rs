//! Every hose, a page at a time; what is typed narrows the list.

use hosewright_core::answer::Answer;
use hosewright_core::index::Filter;
use hosewright_core::inspection::Verdict;
use hosewright_core::view::form::filter::{self, Wanted};
use hosewright_core::view::form::{self as view, Kind};
use hosewright_core::view::list::{HOSES, HoseLine};
use hosewright_core::{FormRefused, HoseList, Page};
use maud::{Markup, html};

use crate::form::plain;
use crate::frame::Screen;
use crate::labels as l;
use crate::parts::{class, narrowing, numbered, sign};
use crate::response::Shown;
use crate::sheet::{Cell, Sheet};
use crate::state::State;

/// How many are on a page.
const ON_A_PAGE: u64 = 30;

/// A page of the list, or all of it as a file. What is typed looks for hoses.
pub fn list(state: &State<'_>) -> Shown {
    let filled = state.request.query.filled();
    let typed = filled.get("begins");
    let as_file = state.request.query.get("as") == FILE;
    let page = match as_file {
        true => Page::ALL,
        false => {
            Page { from: state.request.query.get("from").parse().unwrap_or(0), most: ON_A_PAGE }
        }
    };
    let (wanted, form, list, counts) = state.read(|logbook, moment| {
        let wanted = filter::read(&filled, moment.today).map_err(FormRefused::from)?;
        let list = if typed.is_empty() {
            let set = wanted.set.as_ref().map(|set| logbook.set(set)).transpose()?;
            let filter = Filter { set: set.map(|set| set.id), ..wanted.filter.clone() };
            logbook.list(&filter, wanted.sort, &page, moment)?
        } else {
            let hits = logbook.look_for(typed, usize::try_from(ON_A_PAGE).unwrap_or(30), moment)?;
            let rows: Vec<Answer> = hits.into_iter().map(|hit| hit.answer).collect();
            HoseList { total: u64::try_from(rows.len()).unwrap_or(0), from: 0, rows }
        };
        let form = filter::draw(&filled, moment.today);
        Ok((wanted, form, list, logbook.counts(moment)?))
    })?;
    if as_file {
        return csv(&list.rows);
    }
    let body = html! {
        h1 { (l::HOSES_TITLE) }
        (by_verdict(state, &counts, &wanted))
        (narrowing("/hoses", l::FIND, typed))
        (filtering(&form))
        div #results aria-live="polite" { (rows(&list.rows)) (further(state, &list)) }
        p.under {
            a.button href="/register" { (l::REGISTER_TITLE) }
            a.button href=(state.request.with("as", FILE)) { (l::CSV) }
        }
    };
    Ok(Screen::new(l::HOSES_TITLE, body).shown(state))
}

/// The fields that choose the hoses of the list, closed, and what is chosen in them. The
/// verdict is chosen above.
fn filtering(form: &view::Form) -> Markup {
    let fields = form.groups.iter().flat_map(|group| &group.fields);
    let (above, fields): (Vec<_>, Vec<_>) = fields.partition(|field| field.name == "verdict");
    let chosen: Vec<String> = fields.iter().filter_map(|field| chosen(field)).collect();
    html! {
        details {
            summary { (form.title) @if !chosen.is_empty() { ": " (chosen.join("; ")) } }
            form action="/hoses" method="get" {
                @for field in above { input type="hidden" name=(field.name) value=(field.text_value()); }
                @for field in fields { (plain(field)) }
                p { button.main type="submit" { (form.submit) } }
            }
        }
        @if !chosen.is_empty() { p { a.button href="/hoses" { (l::HOSES_EVERY) } } }
    }
}

/// What is in a field, in words.
fn chosen(field: &view::Field) -> Option<String> {
    let value = field.values.first()?;
    let words = match &field.kind {
        Kind::Choice(choices) => {
            choices.iter().find(|choice| choice.value == *value)?.label.clone()
        }
        _ => value.clone(),
    };
    Some(format!("{} {words}", field.label))
}

/// A way to the hoses of each verdict, with how many there are if nothing else is chosen.
fn by_verdict(state: &State<'_>, counts: &[(Verdict, u64)], wanted: &Wanted) -> Markup {
    let all: u64 = counts.iter().map(|(_, hoses)| hoses).sum();
    let shown = wanted.filter.verdict;
    let rest = Filter { verdict: None, ..wanted.filter.clone() };
    let counted = rest.is_all() && wanted.set.is_none();
    html! {
        nav.tabs aria-label=(l::VERDICT) {
            a.button href=(state.request.with("verdict", "")) aria-current=[shown.is_none().then_some("true")] {
                (l::HOSES_ALL) @if counted { " " (all) }
            }
            @for (verdict, hoses) in counts {
                a.button href=(state.request.with("verdict", verdict.word())) aria-current=[(shown == Some(*verdict)).then_some("true")] {
                    (verdict) @if counted { " " (hoses) }
                }
            }
        }
    }
}

/// A way to the rows after these.
fn further(state: &State<'_>, list: &HoseList) -> Markup {
    let to = list.from + u64::try_from(list.rows.len()).unwrap_or(0);
    html! {
        @if to < list.total {
            p.under {
                span { (l::PAGE_OF) " " (list.from + 1) "–" (to) " " (l::OUT_OF) " " (list.total) }
                a.button rel="next" href=(state.request.with("from", &to.to_string())) { (l::MORE) }
            }
        }
    }
}

/// Hoses with their verdicts, a row each.
pub fn rows(answers: &[Answer]) -> Markup {
    html! {
        @if answers.is_empty() { p { (l::HOSES_NONE) } }
        ul.hoses {
            @for answer in answers {
                @let line = HoseLine::of(answer);
                li class=(class(line.verdict)) {
                    (sign(line.verdict))
                    div {
                        p { (numbered(answer.hose.origin.own.number.as_ref(), answer.code)) " " b { (line.verdict) } }
                        p { (line.what) }
                        p { (line.place) }
                        @if !line.why.is_empty() { p.why { (line.why) } }
                    }
                }
            }
        }
    }
}

/// The name of the file of all hoses.
const FILE: &str = "hoses";

fn csv(answers: &[Answer]) -> Shown {
    let head = HOSES.iter().map(|column| column.name).collect();
    let row = |answer: &Answer| {
        HOSES.iter().map(|column| Cell::text(column.of(answer))).collect::<Vec<_>>()
    };
    Sheet::new(FILE, head, answers.iter().map(row).collect()).csv()
}
