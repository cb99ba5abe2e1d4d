//! What is due, set by set, as it is worked through with a pen: on paper.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{DueList, DueRow};
use crate::hose::Label;
use crate::index::sorting;
use crate::tag::Code;
use crate::words::due_sheet as say;

/// The most things on a sheet: more than a bench does in a season.
pub const SHEET_MOST: u64 = 2_000;

/// What is due, set by set.
#[derive(Debug, Clone, PartialEq)]
pub struct DueSheet {
    /// The day up to which things are listed.
    pub until: NaiveDate,
    /// The sets in order, then what is in none, by place.
    pub groups: Vec<DueGroup>,
    /// How many hoses and things are on it.
    pub counted: (usize, usize),
    /// How many things it leaves out.
    pub left: u64,
    /// What is said of hoses that are to be replaced, not looked after.
    pub left_out: Option<String>,
}

/// A set, or a place, with its hoses.
#[derive(Debug, Clone, PartialEq)]
pub struct DueGroup {
    /// What it is called.
    pub title: String,
    /// Its hoses, by port.
    pub hoses: Vec<DueHose>,
}

/// A hose with what is due for it.
#[derive(Debug, Clone, PartialEq)]
pub struct DueHose {
    /// The port that it is in.
    pub port: Option<String>,
    /// The shop's own number for it.
    pub number: Option<Label>,
    /// The tag that it carries.
    pub code: Code,
    /// What it is, in few words.
    pub hose: String,
    /// What is due, the soonest first.
    pub due: Vec<DueThingOnSheet>,
}

/// A thing to tick.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DueThingOnSheet {
    /// What is due, in words.
    pub words: &'static str,
    /// The last good day for it.
    pub on: NaiveDate,
    /// Whether that day is past.
    pub overdue: bool,
}

/// What a group sorts by: sets by name, numbers in it by their size, before other places.
fn group(row: &DueRow) -> (bool, String, String) {
    let title = row.set.as_ref().map_or_else(|| say::place(&row.place), say::set);
    (row.set.is_none(), sorting(&title.to_lowercase()), title)
}

/// What a hose sorts by in its group.
fn hose(row: &DueRow) -> (String, String, Code) {
    let text = |text: Option<String>| sorting(&text.unwrap_or_default());
    let number = row.number.as_ref().map(ToString::to_string);
    (text(row.port.clone()), text(number), row.code)
}

impl DueSheet {
    /// The sheet of a list.
    #[must_use]
    pub fn of(list: &DueList) -> Self {
        let mut groups: BTreeMap<_, BTreeMap<_, DueHose>> = BTreeMap::new();
        for row in &list.rows {
            let hoses = groups.entry(group(row)).or_default();
            let own = hoses.entry(hose(row)).or_insert_with(|| DueHose::of(row));
            own.due.push(DueThingOnSheet { words: row.words, on: row.on, overdue: row.overdue });
        }
        let groups: Vec<DueGroup> = groups
            .into_iter()
            .map(|((.., title), hoses)| DueGroup { title, hoses: hoses.into_values().collect() })
            .collect();
        let here = u64::try_from(list.rows.len()).unwrap_or(u64::MAX);
        Self {
            until: list.until,
            counted: (groups.iter().map(|group| group.hoses.len()).sum(), list.rows.len()),
            left: list.total.saturating_sub(list.from + here),
            left_out: list.left_out(),
            groups,
        }
    }

    /// What stands over it: what it is, and when it was printed.
    #[must_use]
    pub fn heading(&self, today: NaiveDate) -> String {
        say::heading(self.counted, self.until, today)
    }

    /// What is said of what it leaves out.
    #[must_use]
    pub fn more(&self) -> Option<String> {
        (self.left > 0).then(|| say::more(self.left))
    }
}

impl DueHose {
    fn of(row: &DueRow) -> Self {
        Self {
            port: row.port.clone(),
            number: row.number.clone(),
            code: row.code,
            hose: row.short.clone(),
            due: Vec::new(),
        }
    }

    /// It by its own number and its code.
    #[must_use]
    pub fn by_number(&self) -> String {
        crate::words::by_number(self.number.as_ref(), self.code)
    }
}

impl DueThingOnSheet {
    /// It in words.
    #[must_use]
    pub fn in_words(&self) -> String {
        say::thing(self.words, self.on, self.overdue)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::DueKind;
    use crate::fleet::Horizon;
    use crate::story::{day, label};

    fn row(set: Option<&str>, port: &str, number: &str, on: &str) -> DueRow {
        let what = DueKind::FullInspection;
        let code = "2RWB-XCB4-GDEA-7".parse().unwrap_or_else(|e| unreachable!("{e}"));
        let place = if set.is_some() { "somewhere" } else { "in stock" };
        let port = set.map(|_| port.to_owned());
        let set = set.map(label);
        DueRow {
            code,
            number: Some(label(number)),
            what,
            on: day(on),
            overdue: day(on) < day("2026-06-15"),
            days: 0,
            words: what.in_words(),
            hose: "a hose".to_owned(),
            short: "a hose".to_owned(),
            set,
            port,
            place: place.to_owned(),
        }
    }

    #[test]
    fn sets_and_ports_come_in_order_and_stock_comes_last() {
        let rows = vec![
            row(None, "", "S-1", "2026-06-10"),
            row(Some("R10"), "LP1", "A", "2026-06-20"),
            row(Some("R2"), "LP10", "B", "2026-06-20"),
            row(Some("R2"), "LP2", "C", "2026-06-14"),
            row(Some("R2"), "LP2", "C", "2026-06-20"),
        ];
        let empty = DueList::new(Horizon::default(), day("2026-06-15"));
        let sheet = DueSheet::of(&DueList { total: 7, rows, ..empty });
        let told: Vec<(String, Vec<String>)> = sheet
            .groups
            .iter()
            .map(|group| {
                let hoses = group.hoses.iter().map(|hose| {
                    let due: Vec<String> = hose.due.iter().map(DueThingOnSheet::in_words).collect();
                    format!("{:?} {}: {}", hose.port, hose.by_number(), due.join(", "))
                });
                (group.title.clone(), hoses.collect())
            })
            .collect();
        let hose = |port: &str, number: &str, due: &str| {
            format!("{port} {number}, 2RWB-XCB4-GDEA-7: {due}")
        };
        let (soon, late) = ("2026-06-20 full inspection", "2026-06-14 full inspection, overdue");
        let wanted = [
            (
                "Set R2".to_owned(),
                vec![
                    hose("Some(\"LP2\")", "C", &format!("{late}, {soon}")),
                    hose("Some(\"LP10\")", "B", soon),
                ],
            ),
            ("Set R10".to_owned(), vec![hose("Some(\"LP1\")", "A", soon)]),
            (
                "In stock".to_owned(),
                vec![hose("None", "S-1", "2026-06-10 full inspection, overdue")],
            ),
        ];
        assert_eq!(told, wanted);
        assert_eq!((sheet.counted, sheet.left), ((4, 5), 2));
        let heading = sheet.heading(day("2026-06-15"));
        assert_eq!(heading, "5 things due for 4 hoses up to 2026-09-13. Printed on 2026-06-15.");
        assert!(sheet.more().is_some_and(|more| more.starts_with("2 more things are due")));
    }
}
