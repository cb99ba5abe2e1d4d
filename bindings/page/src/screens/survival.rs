//! How long hoses last: curves with their bands, and the same as tables.

use hosewright_core::fleet::survival::{LEAST_HOSES, SURVIVAL_NOTE, Survival};
use hosewright_core::fleet::{Group, GroupLifetimes, Lifetimes};
use hosewright_core::words::survival as say;
use maud::{Markup, html};

use crate::charts;
use crate::frame::Screen;
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::Shown;
use crate::sheet::{Cell, Sheet};
use crate::state::State;

/// The most curves on a page; every group is in the table.
const CURVES: usize = 12;

/// Curves by maker, lot or construction, or of all hoses.
pub fn show(state: &State<'_>) -> Shown {
    let by: Option<Group> = state.request.query.parsed("by")?;
    let (all, together) = state.read(|logbook, moment| {
        let together = by.map(|_| logbook.survival(None, moment)).transpose()?;
        Ok((logbook.survival(by, moment)?, together))
    })?;
    let together = together.as_ref().and_then(|all| all.groups.first());
    let (groups, steps) = (groups(&all), steps(&all));
    for sheet in [&groups, &steps] {
        if sheet.wanted(state) {
            return sheet.csv();
        }
    }
    let body = html! {
        h1 { (l::SURVIVAL_TITLE) }
        (choices(state, by))
        @if all.groups.is_empty() { p { (l::SURVIVAL_NONE) } }
        @else {
            p { (SURVIVAL_NOTE) }
            (curves(&all, together)?)
            h2 { (l::SURVIVAL_GROUP) }
            (groups.drawn(state))
            h2 { (l::SURVIVAL_STEPS) }
            (steps.drawn(state))
        }
        p { (l::SURVIVAL_NEVER) " " (all.never_in_service) "." }
    };
    Ok(Screen::new(l::SURVIVAL_TITLE, body).shown(state))
}

fn choices(state: &State<'_>, by: Option<Group>) -> Markup {
    let choices = [
        (None, "", l::SURVIVAL_TOGETHER),
        (Some(Group::Maker), "maker", l::SURVIVAL_MAKER),
        (Some(Group::Lot), "lot", l::SURVIVAL_LOT),
        (Some(Group::Construction), "construction", l::SURVIVAL_CONSTRUCTION),
    ];
    html! {
        nav.tabs aria-label=(l::SURVIVAL_BY) {
            span { (l::SURVIVAL_BY) ": " }
            @for (group, word, label) in choices {
                a.button href=(state.request.with("by", word)) aria-current=[(group == by).then_some("true")] { (label) }
            }
        }
    }
}

/// The curves of the largest groups on one scale, and which groups are too small for one.
fn curves(all: &Lifetimes, together: Option<&GroupLifetimes>) -> Result<Markup, Refusal> {
    let (mut drawn, few): (Vec<&GroupLifetimes>, Vec<&GroupLifetimes>) =
        all.groups.iter().partition(|group| group.enough);
    let rest = drawn.len().saturating_sub(CURVES) + few.len().saturating_sub(CURVES);
    drawn.sort_by_key(|group| std::cmp::Reverse(group.hoses));
    drawn.truncate(CURVES);
    drawn.sort_by(|one, other| one.group.cmp(&other.group));
    let together = together.filter(|all| all.enough).map(|all| &all.survival);
    let years = charts::years(drawn.iter().map(|group| &group.survival).chain(together));
    Ok(html! {
        @if !drawn.is_empty() { p { (say::READING) } }
        div.charts { @for group in &drawn { (curve(group, (years, together))?) } }
        @if !few.is_empty() {
            h2 { (say::TOO_FEW) }
            p { (say::needed(LEAST_HOSES)) }
            ul.list { @for few in few.iter().take(CURVES) { li { (say::group(&few.group, few.hoses)) } } }
        }
        @if rest > 0 { p { (say::more(rest)) } }
    })
}

fn curve(group: &GroupLifetimes, scale: (u32, Option<&Survival>)) -> Result<Markup, Refusal> {
    let caption = say::caption(&group.group, group.hoses, scale.1.is_some());
    let picture = charts::survival(&caption, &group.survival, scale)?;
    Ok(html! { div { (picture) p { (group.sure()) } } })
}

fn groups(all: &Lifetimes) -> Sheet<'static> {
    let rows = all.groups.iter().map(|group| {
        let median = group.survival.median_days.filter(|_| group.enough);
        let median = median.map_or_else(|| l::SURVIVAL_NOT_YET.to_owned(), years);
        let median = if group.enough { median } else { String::new() };
        vec![
            Cell::text(&group.group),
            Cell::text(group.hoses),
            Cell::text(group.retired),
            Cell::text(group.in_service),
            Cell::Text(median),
            Cell::Text(group.sure()),
        ]
    });
    let head = vec![
        l::SURVIVAL_GROUP,
        l::AGES_HOSES,
        l::SURVIVAL_RETIRED,
        l::SURVIVAL_SERVING,
        l::SURVIVAL_MEDIAN,
        l::SURVIVAL_SURE,
    ];
    Sheet::new("survival", head, rows.collect())
}

fn steps(all: &Lifetimes) -> Sheet<'static> {
    let rows = all.groups.iter().filter(|group| group.enough).flat_map(|group| {
        group.survival.steps.iter().filter(|step| step.events > 0).map(|step| {
            let percent = |share: f64| Cell::Text(format!("{:.1}", share * 100.0));
            vec![
                Cell::text(&group.group),
                Cell::text(step.days),
                Cell::text(step.at_risk),
                Cell::text(step.events),
                percent(step.survival),
                percent(step.lower),
                percent(step.upper),
            ]
        })
    });
    let head = vec![
        l::SURVIVAL_GROUP,
        l::SURVIVAL_DAYS,
        l::SURVIVAL_AT_RISK,
        l::SURVIVAL_FAILED,
        l::SURVIVAL_LASTS,
        l::SURVIVAL_LOWER,
        l::SURVIVAL_UPPER,
    ];
    Sheet::new("survival-steps", head, rows.collect())
}

/// Days as years with one decimal: `3.4 years`.
fn years(days: u32) -> String {
    format!("{:.1} {}", f64::from(days) / 365.25, l::AGES_YEARS.to_lowercase())
}
