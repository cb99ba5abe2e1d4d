//! Where a hose came from, whose it is, and what its shop says of it.

use std::fmt;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::HoseError;
use super::label::Label;
use super::prose::Prose;
use crate::measure::PartialDate;

/// Where a hose came from and since when it is in use; each may be unknown.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Origin {
    /// When it was made, as far as its mark says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made: Option<PartialDate>,
    /// When it was bought.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bought: Option<PartialDate>,
    /// In service since this day, before it had a record.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_service: Option<PartialDate>,
    /// The maker's name as printed on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub maker: Option<Label>,
    /// The lot as printed on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lot: Option<Label>,
    /// The model as printed on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub model: Option<Label>,
    /// What the shop says of it. No verdict rests on it but where it fits.
    #[serde(flatten)]
    pub own: Particulars,
}

impl Origin {
    /// The date from which its age is judged: made, else bought, since the hose
    /// is at least that old.
    #[must_use]
    pub fn born(&self) -> Option<PartialDate> {
        self.made.or(self.bought)
    }

    /// Checks that nothing lies in the future and that it was made before it
    /// was bought or used.
    ///
    /// # Errors
    /// [`HoseError::InTheFuture`] or [`HoseError::WrongOrder`].
    pub fn check(&self, today: NaiveDate) -> Result<(), HoseError> {
        let dates =
            [("made", self.made), ("bought", self.bought), ("in service since", self.in_service)];
        for (what, date) in dates {
            if let Some(date) = date.filter(|d| d.earliest() > today) {
                return Err(HoseError::InTheFuture { what, date: date.to_string(), today });
            }
        }
        let [made, bought, used] = dates;
        for (earlier, later) in [(made, bought), (made, used)] {
            if let (Some(first), Some(second)) = (earlier.1, later.1)
                && second.latest() < first.earliest()
            {
                return Err(HoseError::WrongOrder {
                    earlier_what: earlier.0,
                    earlier: first.to_string(),
                    later_what: later.0,
                    later: second.to_string(),
                });
            }
        }
        Ok(())
    }
}

/// Whose a hose or a set is.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Owner {
    /// The centre's own.
    #[default]
    Centre,
    /// A customer's, in for service under a ticket: a number, never a person.
    Ticket(Label),
}

impl Owner {
    /// The ticket under which a customer's is in.
    #[must_use]
    pub const fn ticket(&self) -> Option<&Label> {
        match self {
            Self::Centre => None,
            Self::Ticket(ticket) => Some(ticket),
        }
    }

    /// The owner whom a ticket names; nothing is the centre.
    #[must_use]
    pub fn of_ticket(ticket: Option<Label>) -> Self {
        ticket.map_or(Self::Centre, Self::Ticket)
    }
}

impl fmt::Display for Owner {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Centre => f.pad("the centre's"),
            Self::Ticket(ticket) => write!(f, "a customer's, ticket {ticket}"),
        }
    }
}

/// What a shop says of a hose of its own accord.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Particulars {
    /// Its own number for it, as `LP-17`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<Label>,
    /// A note.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Prose>,
    /// The branch whose it is: own numbers are unique within one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub branch: Option<Label>,
    /// Whose it is; nothing is the centre's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub owner: Option<Owner>,
}

impl Particulars {
    /// The greatest length of an own number, in characters.
    pub const NUMBER_MOST: usize = 20;

    /// Takes a text as a shop's own number: short, so that it can be called out.
    ///
    /// # Errors
    /// [`HoseError::BadText`] if it is empty, too long or not printable.
    pub fn own_number(text: &str) -> Result<Label, HoseError> {
        let (what, most) = ("a number of one's own", Self::NUMBER_MOST);
        let label = Label::new(what, text).ok();
        label
            .filter(|label| label.as_str().chars().count() <= most)
            .ok_or(HoseError::BadText { what, most })
    }

    /// Whose it is.
    #[must_use]
    pub fn owner(&self) -> Owner {
        self.owner.clone().unwrap_or_default()
    }
}
