//! The sheet that goes home with a customer's hose, or with a set of them.

use hosewright_core::tag::Code;
use hosewright_core::words::{job as say, sentence};
use hosewright_core::{Job, LogbookError};
use maud::{Markup, html};

use super::sets::{self, named};
use crate::frame::Screen;
use crate::labels as l;
use crate::parts::{cautions, reasons, verdict};
use crate::response::Shown;
use crate::state::State;

/// The sheet of a hose.
pub fn of_hose(state: &State<'_>) -> Shown {
    let job = state.read(|logbook, moment| {
        let hose = logbook.find_typed(state.parameter("code"))?.hose;
        Ok(logbook.job(hose, moment)?)
    })?;
    let back = format!("/hose/{}", job.view.answer.code);
    Ok(Screen::new(say::TITLE, page(&[job], &back)).shown(state))
}

/// The sheet of a set: of every hose in it that is a customer's.
pub fn of_set(state: &State<'_>) -> Shown {
    let set = named(state.parameter("name"))?;
    let jobs = state.read(|logbook, moment| {
        let view = logbook.set_view(&set, moment)?;
        let hoses: Vec<Code> =
            view.ports.iter().filter_map(|port| Some(port.hose.as_ref()?.code)).collect();
        let jobs = hoses.into_iter().map(|hose| logbook.job(hose, moment));
        let jobs = jobs.filter(|job| !matches!(job, Err(LogbookError::NotACustomers { .. })));
        Ok(jobs.collect::<Result<Vec<Job>, LogbookError>>()?)
    })?;
    Ok(Screen::new(say::TITLE, page(&jobs, &sets::to(&set, ""))).shown(state))
}

fn page(jobs: &[Job], back: &str) -> Markup {
    let said: Vec<&str> = jobs.iter().map(|job| job.view.answer.caution).take(1).collect();
    html! {
        h1 { (say::TITLE) }
        @if jobs.is_empty() { p { (say::NO_CUSTOMERS_HOSE) } }
        @for job in jobs { (sheet(job)) }
        (cautions(&said))
        @if !jobs.is_empty() { p.signed { (say::SIGNED) ": " span {} } }
        p.under {
            a.button href=(back) { (l::JOB_BACK) }
        }
    }
}

fn sheet(job: &Job) -> Markup {
    let answer = &job.view.answer;
    html! {
        section.card {
            h2 { (answer.hose.words) }
            p { (say::came_in(&job.ticket, job.since)) ". " span.code { (answer.code) } }
            h3 { (say::DONE) }
            @if job.lines.is_empty() { p { (say::NOTHING) } }
            @else {
                ul.list {
                    @for line in &job.lines {
                        li { (line.entry.on) " " (line.entry.by) ": " (sentence(&line.words)) }
                    }
                }
            }
            h3 { (say::NOW) }
            p { (verdict(answer.verdict)) " " (answer.meaning) }
            (reasons(&answer.reasons))
            @if !job.view.due.is_empty() {
                h3 { (say::NEXT) }
                ul.list { @for due in &job.view.due { li { (due) } } }
            }
        }
    }
}
