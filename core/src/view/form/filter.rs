//! The form that chooses the hoses of a list, and their order.

use chrono::NaiveDate;

use super::{Choice, Field, FieldRefused, Filled, Form, Kind};
use crate::fleet::Horizon;
use crate::hose::{Label, Service};
use crate::index::{Filter, Location, Sort};
use crate::inspection::Verdict;
use crate::words::{self, lists as say};

/// Which hoses are asked for, and in which order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    /// Which hoses; their set is named beside it.
    pub filter: Filter,
    /// The set that they are in.
    pub set: Option<Label>,
    /// Their order.
    pub sort: Sort,
}

/// The form, as far as it is filled in.
#[must_use]
pub fn draw(filled: &Filled, today: NaiveDate) -> Form {
    let choice = |name: &str, label: &str, choices: Vec<Choice>| {
        let any = std::iter::once(Choice::new("", say::ANY));
        Field::new(name, label, Kind::Choice(any.chain(choices).collect()))
    };
    let verdicts = Verdict::ALL
        .iter()
        .map(|v| Choice { verdict: Some(*v), ..Choice::new(v.word(), v.word()) });
    let services = Service::ALL.iter().map(|s| Choice::new(s.word(), words::form::service(*s)));
    let places = Location::ALL.iter().map(|at| Choice::new(at.word(), location(*at)));
    let orders = Sort::ALL.iter().filter(|sort| **sort != Sort::Number);
    let orders = orders.map(|sort| Choice::new(sort.word(), order(*sort)));
    let usual = Choice::new("", order(Sort::Number));
    let sort = Kind::Choice(std::iter::once(usual).chain(orders).collect());
    let fields = vec![
        choice("verdict", say::VERDICT, verdicts.collect()),
        choice("service", say::SERVICE, services.collect()),
        choice("where", say::LOCATION, places.collect()),
        Field::text("set", say::SET),
        Field::text("branch", say::BRANCH),
        Field::text("maker", say::MAKER),
        Field::text("lot", say::LOT),
        Field::text("due", say::DUE).hint(say::DUE_HINT),
        Field::new("looked-before", say::LOOKED, Kind::Date),
        Field::new("sort", say::SORT, sort),
    ];
    Form::new(say::TITLE, say::SHOW, fields).filled(filled).checked(&read(filled, today))
}

const fn location(location: Location) -> &'static str {
    match location {
        Location::Stock => say::IN_STOCK,
        Location::Set => say::IN_SET,
        Location::Out => say::OUT,
        Location::Home => say::HOME,
        Location::Missing => say::MISSING,
        Location::Retired => say::RETIRED,
    }
}

const fn order(sort: Sort) -> &'static str {
    match sort {
        Sort::Number => say::BY_NUMBER,
        Sort::Due => say::BY_DUE,
        Sort::Age => say::BY_AGE,
        Sort::Set => say::BY_SET,
    }
}

/// Which hoses are asked for.
///
/// # Errors
/// [`FieldRefused`] with what is none of its kind.
pub fn read(filled: &Filled, today: NaiveDate) -> Result<Wanted, FieldRefused> {
    let due: Option<Horizon> = filled.parsed("due")?;
    let filter = Filter {
        verdict: filled.parsed("verdict")?,
        service: filled.parsed("service")?,
        set: None,
        branch: filled.label("branch", "a branch")?,
        location: filled.parsed("where")?,
        maker: filled.label("maker", "a maker's name")?,
        lot: filled.label("lot", "a lot")?,
        due_by: due.map(|within| within.until(today)),
        looked_before: filled.day("looked-before")?,
    };
    let set = filled.label("set", "the name of a set")?;
    Ok(Wanted { filter, set, sort: filled.parsed("sort")?.unwrap_or(Sort::Number) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::story::day;

    #[test]
    fn what_is_chosen_is_asked_for() {
        let mut filled = Filled::default();
        let today = day("2026-06-15");
        let all = Wanted { filter: Filter::default(), set: None, sort: Sort::Number };
        assert_eq!(read(&filled, today), Ok(all));
        for (name, typed) in [
            ("verdict", "hold"),
            ("where", "stock"),
            ("due", "60d"),
            ("looked-before", "2026-01-01"),
            ("set", "R3"),
            ("sort", "age"),
        ] {
            filled.set(name, typed);
        }
        let wanted = read(&filled, today).ok();
        let filter = wanted.as_ref().map(|wanted| wanted.filter.clone());
        let expected = Filter {
            verdict: Some(Verdict::Hold),
            location: Some(Location::Stock),
            due_by: Some(day("2026-08-14")),
            looked_before: Some(day("2026-01-01")),
            ..Filter::default()
        };
        assert_eq!(filter, Some(expected));
        assert_eq!(wanted.map(|wanted| wanted.sort), Some(Sort::Age));
        // Each field takes what is in it, and says what it doesn't take.
        assert!(draw(&filled, today).problem.is_none());
        filled.set("verdict", "good");
        assert_eq!(read(&filled, today).err().map(|refused| refused.field), Some("verdict".into()));
    }
}
