//! The phone's own forms: who writes and whether it speaks, and what helps where there
//! is no network.

use hosewright_core::inspection::{FINDINGS, LEAK_TEST_LEAD, Verdict};
use hosewright_core::measure::Units;
use hosewright_core::tag::{Obstacle, hint};
use hosewright_core::view::form::{Field, Filled, Form, Group};
use hosewright_core::words::{self, counters, form as say, help, reminder, units};

use super::saved::FormSaved;
use super::shown::FormShown;
use crate::drafts::Drafts;
use crate::{RefusedError, all_labels, phone};

/// Who writes.
const NAME: &str = "name";
/// Whether verdicts are told aloud.
const ALOUD: &str = "aloud";
/// The units in which people read.
const UNITS: &str = "units";
/// Whether this phone reminds of what is due.
pub(crate) const REMINDS: &str = "reminds";

/// Whether it meets counters over the network.
const NETWORK: &str = "network";

/// What can be in the way of a tag that shows itself.
const OBSTACLES: [Obstacle; 5] =
    [Obstacle::CutOff, Obstacle::TooFar, Obstacle::TooDark, Obstacle::Glare, Obstacle::OutOfFocus];

/// What is set now.
pub(super) fn begin(drafts: &Drafts) -> Filled {
    let mut filled = Filled::default();
    filled.set(NAME, &drafts.writer());
    filled.tick(ALOUD, drafts.speaks());
    filled.set(UNITS, drafts.units().word());
    filled.tick(REMINDS, drafts.reminds());
    filled.tick(NETWORK, drafts.meets_counters());
    filled
}

/// What can be set.
pub(super) fn settings(filled: &Filled) -> Form {
    let labels = all_labels();
    let fields = vec![
        Field::text(NAME, &*labels.your_name).needed(),
        Field::tick(ALOUD, phone::SPEAKS),
        Field::choice(UNITS, units::TITLE, Units::ALL.map(|it| (it.word(), units::of(it))))
            .hint(units::HINT),
        Field::tick(REMINDS, reminder::ASKED).hint(reminder::WHEN),
        Field::tick(NETWORK, counters::PHONE_SETTING).hint(counters::PHONE_SETTING_HINT),
    ];
    Form::new(&*labels.settings, say::SAVE, fields).filled(filled)
}

/// Sets it.
pub(super) fn keep(drafts: &Drafts, filled: &Filled) -> Result<FormSaved, RefusedError> {
    drafts.keep_writer(filled.get(NAME)).map_err(|refused| match refused {
        RefusedError::Input { words } => RefusedError::Field { field: NAME.to_owned(), words },
        other => other,
    })?;
    drafts.keep_speaks(filled.ticked(ALOUD))?;
    if let Some(units) = filled.parsed::<Units>(UNITS)? {
        drafts.keep_units(units)?;
    }
    drafts.keep_reminds(filled.ticked(REMINDS))?;
    drafts.keep_meets_counters(filled.ticked(NETWORK))?;
    Ok(FormSaved::said(say::SAVED))
}

/// How to get an answer, what the verdicts mean, and which findings lead to each.
pub(super) fn help() -> FormShown {
    let group = |title: &str, notes: Vec<String>| Group {
        title: title.to_owned(),
        notes,
        ..Group::default()
    };
    let hints = OBSTACLES.iter().map(|obstacle| hint(*obstacle).to_owned());
    let answer = help::ANSWER.iter().map(ToString::to_string).collect();
    let first = [group(help::ANSWER_TITLE, answer), group(help::TAG_TITLE, hints.collect())];
    let of_verdict = |verdict: &Verdict| {
        let rows = FINDINGS.iter().filter(|row| row.verdict == *verdict);
        let mut notes: Vec<String> =
            rows.map(|row| words::sentence(&format!("{}: {}", row.seen, row.todo))).collect();
        notes.dedup();
        let title = format!("{}. {}", verdict.word(), words::verdict(*verdict));
        group(&words::sentence(&title), notes)
    };
    let groups = first.into_iter().chain(Verdict::ALL.iter().map(of_verdict)).chain([group(
        words::inspection::title(hosewright_core::inspection::InspectionKind::LeakTest),
        vec![LEAK_TEST_LEAD.to_owned()],
    )]);
    let form = Form { groups: groups.collect(), ..Form::default() };
    FormShown::of(&Form { title: all_labels().help.to_string(), ..form })
}
