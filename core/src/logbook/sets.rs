//! Sets: put on record, changed, joined and looked up.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rusqlite::Connection;

use super::believed::{set_called, set_of};
use super::checks::{check_not_ahead, set_not_after_incident, set_not_at_home};
use super::ports::{PortCount, PortDevice, PortIs, numbered, with_devices, with_kinds};
use super::{Logbook, LogbookError, PlaceError};
use crate::event::{
    Assembled, DetailChanges, Event, OwnField, Port, SetChanges, SetDetails, SetId,
};
use crate::hose::{Label, Owner, Prose};
use crate::journal::{Draft, Moment, StoreError};
use crate::policy::Use;
use crate::record::{self, SetRecord};
use crate::tag::Code;

/// A set that is to be put on record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewSet {
    /// Its name.
    pub name: Label,
    /// Who dives with it.
    pub in_use: Use,
    /// Its ports.
    pub ports: Vec<PortCount>,
    /// What is in ports that have no hose and no plug.
    pub devices: Vec<PortDevice>,
    /// It is cleaned for oxygen.
    pub oxygen: bool,
    /// Whose it is.
    pub owner: Owner,
    /// The branch where it works.
    pub branch: Option<Label>,
}

impl NewSet {
    /// The centre's own set, with plugs in its ports.
    #[must_use]
    pub fn new(name: Label, in_use: Use, ports: Vec<PortCount>) -> Self {
        let (devices, oxygen, owner) = (Vec::new(), false, Owner::Centre);
        Self { name, in_use, ports, devices, oxygen, owner, branch: None }
    }

    /// Its details, for ports that it has.
    pub(super) fn details(&self, ports: &[Port]) -> Result<SetDetails, LogbookError> {
        of_customer(&self.owner, self.in_use)?;
        let devices = with_devices(BTreeMap::new(), &self.devices, ports)?;
        let owner = Some(self.owner.clone()).filter(|owner| *owner != Owner::Centre);
        Ok(SetDetails { oxygen: self.oxygen, owner, devices, branch: self.branch.clone() })
    }
}

/// What someone wants to be different of a set.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SetEdit {
    /// Its name.
    pub name: Option<Label>,
    /// Who dives with it.
    pub in_use: Option<Use>,
    /// Its ports, all of them.
    pub ports: Option<Vec<PortCount>>,
    /// It is gone.
    pub dissolved: bool,
    /// What ports give that were named without a kind.
    pub kinds: Vec<PortIs>,
    /// What is in ports that have no hose.
    pub devices: Vec<PortDevice>,
    /// Whether it is cleaned for oxygen.
    pub oxygen: Option<bool>,
    /// Whose it is.
    pub owner: Option<Owner>,
    /// The branch where it works; none within takes the branch away.
    pub branch: Option<Option<Label>>,
}

impl Logbook {
    /// Puts a regulator set on record.
    ///
    /// # Errors
    /// [`LogbookError`] if the name is taken or the ports are invalid.
    pub fn assemble(
        &mut self,
        name: Label,
        in_use: Use,
        ports: &[PortCount],
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<SetId, LogbookError> {
        self.assemble_new(NewSet::new(name, in_use, ports.to_vec()), on, moment)
    }

    /// Puts a regulator set on record, with all that is known of it.
    ///
    /// # Errors
    /// [`LogbookError`] if the name is taken or the ports are invalid.
    pub fn assemble_new(
        &mut self,
        new: NewSet,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<SetId, LogbookError> {
        let on = on.unwrap_or(moment.today);
        check_not_ahead(on, moment)?;
        let ports = numbered(&new.ports)?;
        let details = Box::new(new.details(&ports)?);
        let (name, in_use) = (new.name, new.in_use);
        let (_, set) = self.write(moment, |work, mut random| {
            check_name_free(work, &name)?;
            let set = loop {
                let set = SetId::draw(&mut random);
                if !record::is_known(work, set.code())? {
                    break set;
                }
            };
            let event = Event::Assembled(Assembled { set, name, in_use, ports, details });
            Ok((vec![Draft { on, event }], set))
        })?;
        Ok(set)
    }

    /// Changes a set: its name, use or ports, or dissolves it where it is empty.
    /// What takes a reason away from its hoses needs a reason of its own.
    ///
    /// # Errors
    /// [`LogbookError`] if the name is taken, the ports are invalid, a reason is
    /// needed, or the set is not empty.
    pub fn change_set(
        &mut self,
        set: &Label,
        changes: SetEdit,
        why: Option<Prose>,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        let on = moment.today;
        let ports = changes.ports.as_deref().map(numbered).transpose()?;
        self.write(moment, |work, _| {
            let set = set_of(work, set, moment.today)?;
            set_not_after_incident(&set)?;
            if let Some(name) = changes.name.as_ref().filter(|name| !same_name(name, &set.name)) {
                check_name_free(work, name)?;
            }
            if changes.dissolved && !set.claims.is_empty() {
                return Err(LogbookError::SetNotEmpty(set.name));
            }
            // A contest is settled by saying all of it once more.
            let in_use = changes.in_use.or(set.contested.then_some(set.in_use));
            let ports = ports.or_else(|| set.contested.then(|| set.ports.clone()));
            let ports = match changes.kinds.as_slice() {
                [] => ports,
                kinds => Some(with_kinds(ports.as_deref().unwrap_or(&set.ports), kinds)?),
            };
            let now = ports.as_deref().unwrap_or(&set.ports);
            let said = (changes.oxygen, changes.owner);
            let mut details = changed(&set, said, &changes.devices, now)?;
            match changes.branch.filter(|branch| *branch != set.branch) {
                Some(None) => details.cleared.push(OwnField::Branch),
                Some(branch) => details.branch = branch,
                None => {}
            }
            if details.owner.is_some() && !set.contested {
                set_not_at_home(&set)?;
            }
            if let Some(owner) = &details.owner {
                of_customer(owner, in_use.unwrap_or(set.in_use))?;
            } else if let Some(in_use) = in_use {
                of_customer(&set.owner, in_use)?;
            }
            let looser = in_use == Some(Use::Personal) && set.in_use == Use::Rental
                || details.oxygen == Some(false) && set.oxygen;
            let other = ports.as_ref().is_some_and(|ports| changes_ports(&set, ports));
            if why.is_none() && (looser || other || set.contested) {
                return Err(LogbookError::SetReasonNeeded(set.name));
            }
            let (name, dissolved) = (changes.name, changes.dissolved);
            let changes = SetChanges { name, in_use, ports, dissolved, details };
            if changes == SetChanges::default() {
                return Err(LogbookError::Nothing("name something that changes"));
            }
            let answers = set.descriptions.clone();
            let event = Event::SetChanged { set: set.id, changes, why, answers };
            Ok((vec![Draft { on, event }], ()))
        })?;
        Ok(())
    }

    /// Says that two sets on record are one: it has the hoses, holds and hand-outs
    /// of both.
    ///
    /// # Errors
    /// [`LogbookError`] if one is unknown, or both are the same.
    pub fn join_sets(
        &mut self,
        sets: (&Label, &Label),
        why: Prose,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        let on = moment.today;
        self.write(moment, |work, _| {
            let first = set_of(work, sets.0, moment.today)?;
            let second = set_of(work, sets.1, moment.today)?;
            if first.id == second.id {
                return Err(LogbookError::Nothing("name two sets"));
            }
            let event = Event::SetsJoined { sets: [first.id, second.id], why };
            Ok((vec![Draft { on, event }], ()))
        })?;
        Ok(())
    }

    /// A set and what is in it.
    ///
    /// # Errors
    /// [`LogbookError::NoSuchSet`] with the sets there are.
    pub fn set(&self, name: &Label) -> Result<SetRecord, LogbookError> {
        set_called(&self.connection, name)
    }

    /// A set by its identity; nothing if none is on record.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn set_by_id(&self, set: SetId) -> Result<Option<SetRecord>, StoreError> {
        record::load_set(&self.connection, set)
    }

    /// Every set on record, by name.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn sets(&self) -> Result<Vec<SetRecord>, StoreError> {
        record::recorded_sets(&self.connection)
    }
}

fn same_name(a: &Label, b: &Label) -> bool {
    a.as_str().to_lowercase() == b.as_str().to_lowercase()
}

pub(super) fn check_name_free(work: &Connection, name: &Label) -> Result<(), LogbookError> {
    if Code::parse(name.as_str()).is_ok() {
        return Err(LogbookError::NameLikeCode(name.clone()));
    }
    match record::find_sets(work, name.as_str())?.first() {
        Some(set) => Err(LogbookError::SetExists(set.name.clone())),
        None => Ok(()),
    }
}

/// Whether ports that are there are others in a change, or gone.
fn changes_ports(set: &SetRecord, ports: &[Port]) -> bool {
    set.ports.iter().any(|port| !ports.contains(port)) || !set.disputed.is_empty()
}

/// What changes of a set's details.
pub(super) fn changed(
    set: &SetRecord,
    (oxygen, owner): (Option<bool>, Option<Owner>),
    devices: &[PortDevice],
    ports: &[Port],
) -> Result<DetailChanges, LogbookError> {
    let mut taken = devices.iter().filter(|change| change.device.is_some());
    if let Some((change, hose)) =
        taken.find_map(|change| Some((change, set.hoses.get(&change.port)?)))
    {
        let said = format!("{} has the hose {hose} in it; take it off first", change.port);
        return Err(LogbookError::Place(PlaceError::BadPorts(said)));
    }
    // A contest is settled by saying all of it once more.
    let oxygen = oxygen.filter(|oxygen| *oxygen != set.oxygen);
    let oxygen = oxygen.or(set.contested.then_some(set.oxygen));
    let owner = owner.filter(|owner| set.owners != [owner.clone()]);
    let owner = owner.or_else(|| set.contested.then(|| set.owner.clone()));
    let now = with_devices(set.devices.clone(), devices, ports)?;
    let devices = (now != set.devices).then_some(now);
    Ok(DetailChanges { oxygen, owner, devices, ..DetailChanges::default() })
}

/// A customer's set is never handed out, so it is for personal use.
pub(super) fn of_customer(owner: &Owner, in_use: Use) -> Result<(), LogbookError> {
    if owner.ticket().is_some() && in_use == Use::Rental {
        return Err(LogbookError::Nothing(
            "a customer's set is never handed out: its use is personal",
        ));
    }
    Ok(())
}
