//! People who work here, by the name or number under which they write, and what each
//! may do besides the everyday work.

mod pins;

pub use pins::{DIGITS, PinError, Pins, WrongPins};

use std::collections::BTreeSet;
use std::fmt;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::device::DeviceId;
use crate::hose::{Label, words};
use crate::tag::Code;

words!(
    /// What not everybody may do. All else is everyday work, which needs no permission:
    /// nothing in it makes an answer better by itself.
    Deed, "permission", {
        /// Release a hold or a quarantine.
        Release = "release",
        /// Retire a hose.
        Retire = "retire",
        /// Withdraw entries.
        Withdraw = "withdraw",
        /// Hand out a set although something spoke against it.
        Override = "override",
        /// Set limits.
        Limits = "limits",
        /// Say who works here and what they may do.
        Staff = "staff",
    }
);

/// A person of the staff, by the code of their badge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct PersonId(Code);

impl PersonId {
    /// The person of a badge.
    #[must_use]
    pub const fn new(badge: Code) -> Self {
        Self(badge)
    }

    /// The code of the badge.
    #[must_use]
    pub const fn code(&self) -> Code {
        self.0
    }
}

impl fmt::Display for PersonId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// A person of the staff, as last said.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Person {
    /// Who.
    pub person: PersonId,
    /// The name or number under which they write.
    pub name: Label,
    /// What they may do besides the everyday work.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub may: BTreeSet<Deed>,
    /// The devices that they carry.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub carries: BTreeSet<DeviceId>,
    /// Since when they are on record.
    pub since: NaiveDate,
    /// When they left.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub left: Option<NaiveDate>,
}

/// What is said of a person who works here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Staffing {
    /// The name or number under which they write.
    pub name: Label,
    /// What they may do besides the everyday work.
    pub may: BTreeSet<Deed>,
    /// The devices that they carry, by their numbers.
    pub carries: BTreeSet<DeviceId>,
}

impl Person {
    /// Whether they work here.
    #[must_use]
    pub const fn is_here(&self) -> bool {
        self.left.is_none()
    }

    /// Whether a name means them: capitals and spaces don't count.
    #[must_use]
    pub fn is_called(&self, name: &Label) -> bool {
        same_name(&self.name, name)
    }
}

/// Whether two names are read as one: capitals, spaces and hyphens don't count.
#[must_use]
pub fn same_name(one: &Label, other: &Label) -> bool {
    folded(one) == folded(other)
}

fn folded(name: &Label) -> String {
    let letters = name.as_str().chars().filter(|c| !c.is_whitespace() && *c != '-');
    letters.flat_map(char::to_lowercase).collect()
}

/// Whether something may be done under a name, as the people on record stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing<'p> {
    /// Nobody is on record who may do it, or the person may.
    May,
    /// It is another's; nobody of that name works here, or they may not.
    MayNot,
    /// Whoever has that name left.
    Left(&'p Person, NaiveDate),
}

/// Whether a deed may be done under a name; `None` is everyday work.
#[must_use]
pub fn standing<'p>(staff: &'p [Person], name: &Label, deed: Option<Deed>) -> Standing<'p> {
    let here = staff.iter().find(|person| person.is_here() && person.is_called(name));
    let gone = staff.iter().rfind(|person| person.is_called(name));
    if let (None, Some(person)) = (here, gone)
        && let Some(left) = person.left
    {
        return Standing::Left(person, left);
    }
    let Some(deed) = deed else { return Standing::May };
    // Where nobody may, nobody ever could again: then everybody may, as before there
    // was anyone on record.
    let anyone = staff.iter().any(|person| person.is_here() && person.may.contains(&deed));
    match here {
        Some(person) if person.may.contains(&deed) => Standing::May,
        _ if !anyone => Standing::May,
        _ => Standing::MayNot,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn person(name: &str, may: &[Deed], left: Option<&str>) -> Person {
        Person {
            person: PersonId::new(
                Code::from_bits(name.len() as u64 + 40)
                    .unwrap_or_else(|| Code::from_bits(41).unwrap()),
            ),
            name: Label::new("a name", name).unwrap(),
            may: may.iter().copied().collect(),
            carries: BTreeSet::new(),
            since: NaiveDate::default(),
            left: left.map(|day| day.parse().unwrap()),
        }
    }

    #[test]
    fn who_may_do_what() {
        let staff = [
            person("Mo", &[Deed::Release, Deed::Staff], None),
            person("7", &[], None),
            person("Lee", &[Deed::Release, Deed::Limits], Some("2026-06-01")),
        ];
        let label = |name: &str| Label::new("a name", name).unwrap();
        let left = Standing::Left(&staff[2], "2026-06-01".parse().unwrap());
        for (name, deed, expected) in [
            ("Mo", None, Standing::May),
            ("7", None, Standing::May),
            ("the boat", None, Standing::May),
            ("Lee", None, left),
            ("lee", Some(Deed::Release), left),
            ("Mo", Some(Deed::Release), Standing::May),
            ("m o", Some(Deed::Release), Standing::May),
            ("7", Some(Deed::Release), Standing::MayNot),
            ("the boat", Some(Deed::Release), Standing::MayNot),
            // Nobody who works here may set limits: so everybody may.
            ("7", Some(Deed::Limits), Standing::May),
            ("Mo", Some(Deed::Limits), Standing::May),
        ] {
            assert_eq!(standing(&staff, &label(name), deed), expected, "{name} {deed:?}");
        }
        assert_eq!(standing(&[], &label("Mo"), Some(Deed::Staff)), Standing::May);
    }

    #[test]
    fn a_name_that_is_taken_up_again_is_not_the_one_who_left() {
        let staff = [person("Lee", &[], Some("2026-06-01")), person("LEE", &[], None)];
        let lee = Label::new("a name", "Lee").unwrap();
        assert_eq!(standing(&staff, &lee, None), Standing::May);
    }
}
