//! A regulator set, as it is folded from the entries about it.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::packed::PackedSet;
use super::parts::{Hold, Home, OpenSwap, Tag, When};
use crate::event::{EntryId, Port, PortName, SetId};
use crate::hose::{Label, Owner, Prose};
use crate::journal::Stamp;
use crate::policy::Use;
use crate::tag::Code;

/// A set that is with a hirer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct HandOut {
    /// The hirer's ticket.
    pub ticket: Label,
    /// Since when.
    pub on: NaiveDate,
    /// Who handed it out.
    pub by: Label,
    /// The hoses that went with it.
    pub hoses: Vec<Code>,
    /// Why it went out although something spoke against it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub override_why: Option<Prose>,
    /// Every hand-out that is not over: more than one if two devices handed
    /// it out while apart.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub entries: Vec<EntryId>,
    /// Their tickets.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tickets: Vec<Label>,
}

/// A hose that an entry says is in a port, and nothing has taken back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct PortClaim {
    /// The port.
    pub port: PortName,
    /// The hose.
    pub hose: Code,
    /// The entry.
    pub entry: EntryId,
    /// It is not wholly believed, or of the future.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub doubtful: bool,
}

/// A change of ports for a reason, which took a misfit away.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SetCorrection {
    /// The change.
    pub entry: EntryId,
    /// When it was written.
    pub when: When,
    /// By whom.
    pub by: Label,
    /// Why.
    pub why: Prose,
    /// The ports that are others since.
    pub ports: Vec<PortName>,
    /// It was cleaned for oxygen before, and is not since.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub oxygen: bool,
}

/// Who put a set on record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Making {
    /// On which day.
    pub on: NaiveDate,
    /// By whom.
    pub by: Label,
}

/// A first stage, its ports and what is in them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SetRecord {
    /// The set.
    pub id: SetId,
    /// Its name.
    pub name: Label,
    /// Who dives with it; the stricter if that is in doubt.
    #[serde(rename = "use")]
    pub in_use: Use,
    /// Since when it is known.
    pub since: NaiveDate,
    /// Who put it on record; nothing while that has not come.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made: Option<Making>,
    /// Its making, or that of a set that is one with it, is not here, or not
    /// wholly believed.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub unmade: bool,
    /// The making and the changes that the next change replaces.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub descriptions: Vec<EntryId>,
    /// It was changed in two ways while apart.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub contested: bool,
    /// It is gone.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub dissolved: bool,
    /// Its ports, in the order in which they were given.
    pub ports: Vec<Port>,
    /// The ports of which not all say the same.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub disputed: Vec<PortName>,
    /// The hose in each port that has one; the others have a plug.
    pub hoses: BTreeMap<PortName, Code>,
    /// Every hose that is claimed for a port.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub claims: Vec<PortClaim>,
    /// Its tags: of a set that is one with others, theirs too. The last that was
    /// not withdrawn is its own.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tags: Vec<Tag>,
    /// With whom it is, while it is out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub out: Option<HandOut>,
    /// How it was packed, if it waits to go out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub packed: Option<PackedSet>,
    /// The tickets under which it was handed out while it was out already, until
    /// all of them are back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rented_twice: Vec<Label>,
    /// When it last came back from a hirer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub back_on: Option<NaiveDate>,
    /// Holds by hand.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub holds: Vec<Hold>,
    /// Quarantines.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub quarantines: Vec<Hold>,
    /// The swaps that were begun in it and are not finished.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub swaps: Vec<OpenSwap>,
    /// Changes that took a misfit away.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub corrections: Vec<SetCorrection>,
    /// It is cleaned for oxygen, or someone says so.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub oxygen: bool,
    /// Whose it is, as is shown.
    #[serde(default, skip_serializing_if = "is_centre")]
    pub owner: Owner,
    /// Whose it is, as anybody says whose word nothing replaced.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub owners: Vec<Owner>,
    /// It is at home with its customer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub home: Option<Home>,
    /// What is in ports that have no hose and no plug.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub devices: BTreeMap<PortName, Label>,
    /// The branch where it works.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub branch: Option<Label>,
    /// The sets that are one with it, where it keeps the code; else the set that
    /// does.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub joined: Vec<SetId>,
    /// Entries that this program cannot read.
    #[serde(default)]
    pub unread: u32,
    /// The newest day that an entry is about.
    pub newest_on: NaiveDate,
    /// The newest clock reading of an entry.
    pub newest_at: Stamp,
}

fn is_centre(owner: &Owner) -> bool {
    *owner == Owner::Centre
}

impl SetRecord {
    /// The port of a name.
    #[must_use]
    pub fn port(&self, name: PortName) -> Option<&Port> {
        self.ports.iter().find(|port| port.name == name)
    }

    /// The tag that its first stage carries; none for a set of earlier programs
    /// that nobody has given one.
    #[must_use]
    pub fn tag(&self) -> Option<Code> {
        self.tags.iter().rev().find(|tag| tag.withdrawn.is_none()).map(|tag| tag.code)
    }

    /// Whether its making is here.
    #[must_use]
    pub const fn is_made(&self) -> bool {
        self.made.is_some()
    }

    /// The other hoses that are claimed for a port.
    pub fn rivals(&self, port: PortName, hose: Code) -> impl Iterator<Item = Code> {
        let there = self.claims.iter().filter(move |claim| claim.port == port && !claim.doubtful);
        there.map(|claim| claim.hose).filter(move |other| *other != hose)
    }
}
