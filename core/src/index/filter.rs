//! Which hoses are listed, and in which order.

use chrono::NaiveDate;
use rusqlite::types::Value;

use super::days;
use super::location::Location;
use super::row::Row;
use crate::event::SetId;
use crate::hose::{Label, Service, words};
use crate::inspection::Verdict;
use crate::record::folded;

words!(
    /// What a list is in order of.
    Sort, "order of a list", {
        /// By own number, then by code.
        Number = "number",
        /// What is due first.
        Due = "due",
        /// The oldest first.
        Age = "age",
        /// By set and port.
        Set = "set",
    }
);

impl Sort {
    pub(super) const fn column(self) -> &'static str {
        match self {
            Self::Number => "by_number",
            Self::Due => "due",
            Self::Age => "born",
            Self::Set => "by_set",
        }
    }

    pub(super) const fn index(self) -> &'static str {
        match self {
            Self::Number => "row_by_number",
            Self::Due => "row_due",
            Self::Age => "row_born",
            Self::Set => "row_by_set",
        }
    }

    /// What a row sorts by.
    #[must_use]
    pub fn key(self, row: &Row) -> Value {
        match self {
            Self::Number => Value::Text(row.by_number.clone()),
            Self::Due => Value::Integer(days::number(row.due)),
            Self::Age => Value::Integer(days::number(row.born)),
            Self::Set => Value::Text(row.by_set.clone()),
        }
    }
}

/// Which hoses are listed: those for which all of it is so.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Filter {
    /// Their verdict.
    pub verdict: Option<Verdict>,
    /// What they do.
    pub service: Option<Service>,
    /// The set that they are in.
    pub set: Option<SetId>,
    /// The branch where they are.
    pub branch: Option<Label>,
    /// Where they are.
    pub location: Option<Location>,
    /// Who made them.
    pub maker: Option<Label>,
    /// Their lot.
    pub lot: Option<Label>,
    /// Something is due by this day.
    pub due_by: Option<NaiveDate>,
    /// They were last looked at before this day, or never.
    pub looked_before: Option<NaiveDate>,
}

/// A condition on a row: its SQL, with `?` for a value; the index that finds such
/// rows.
pub(super) struct Condition {
    pub(super) sql: &'static str,
    pub(super) value: Value,
    pub(super) index: &'static str,
}

impl Condition {
    /// Whether its index has the days from which a verdict is how bad.
    pub(super) fn has_verdict(&self) -> bool {
        ["row_location", "row_service", "row_maker", "row_branch"].contains(&self.index)
    }
}

impl Filter {
    /// Whether it leaves nothing out.
    #[must_use]
    pub fn is_all(&self) -> bool {
        *self == Self::default()
    }

    /// The conditions on a row, but for the verdict, which depends on the day.
    pub(super) fn conditions(&self) -> Vec<Condition> {
        let mut all = Vec::new();
        let mut add = |sql, value: Option<Value>, index| {
            all.extend(value.map(|value| Condition { sql, value, index }));
        };
        let text = |label: &Option<Label>| label.as_ref().map(|label| Value::Text(folded(label)));
        let day = |day: Option<NaiveDate>| day.map(|day| Value::Integer(days::number(day)));
        let word = |word: &str| Value::Text(word.to_owned());
        let set = self.set.map(|set| Value::Integer(set.code().bits().cast_signed()));
        add("r.regulator_set = ?", set, "row_set");
        add("r.lot = ?", text(&self.lot), "row_lot");
        add("r.maker = ?", text(&self.maker), "row_maker");
        add("r.branch = ?", text(&self.branch), "row_branch");
        add("r.looked < ?", day(self.looked_before), "row_looked");
        add("r.due <= ?", day(self.due_by), "row_due");
        let location = self.location.map(|location| word(location.word()));
        add("r.location = ?", location, "row_location");
        add("r.service = ?", self.service.map(|service| word(service.word())), "row_service");
        all
    }

    /// Whether a row passes, of a hose of this verdict.
    #[must_use]
    pub fn passes(&self, row: &Row, verdict: Verdict) -> bool {
        let same = |wanted: &Option<Label>, own: &Option<String>| {
            wanted.as_ref().is_none_or(|wanted| own.as_deref() == Some(&folded(wanted)))
        };
        let service = self.service.map(Service::word);
        self.verdict.is_none_or(|wanted| wanted == verdict)
            && service.is_none_or(|wanted| row.service.as_deref() == Some(wanted))
            && self.set.is_none_or(|set| row.regulator_set == Some(set.code()))
            && same(&self.branch, &row.branch)
            && self.location.is_none_or(|wanted| row.location == wanted)
            && same(&self.maker, &row.maker)
            && same(&self.lot, &row.lot)
            && self.due_by.is_none_or(|by| row.due <= by)
            && self.looked_before.is_none_or(|before| row.looked < before)
    }
}
