//! Who works here and what they may do; and that a write is by somebody who may.

use super::tags::free_tag;
use super::{DeviceView, Logbook, LogbookError, StaffError};
use crate::event::{Event, StaffLeft, Staffed};
use crate::hose::Label;
use crate::journal::{self, Draft, Moment};
use crate::record::load_fleet;
use crate::staff::{Person, PersonId, Staffing, same_name};
use crate::tag::{Code, read_badge};

/// A device that somebody carries or wrote on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CarriedDevice {
    /// The device.
    pub device: DeviceView,
    /// Whether it is on record as theirs.
    pub carried: bool,
    /// How many other names wrote on it.
    pub others: usize,
}

impl Logbook {
    /// Who works here, by name, and then who no longer does.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn staff(&self) -> Result<Vec<Person>, LogbookError> {
        let mut all = load_fleet(&self.connection)?.staff;
        all.sort_by_key(|person| (person.left, person.name.as_str().to_lowercase()));
        Ok(all)
    }

    /// Somebody who works here or did, by name, or by what their badge says.
    ///
    /// # Errors
    /// [`LogbookError`] if nobody is called so.
    pub fn person(&self, typed: &str) -> Result<Person, LogbookError> {
        let code = read_badge(typed).or_else(|| Code::parse(typed).ok());
        let name = Label::new("a name", typed).ok();
        let means = |person: &Person| {
            code.is_some_and(|code| person.person.code() == code)
                || name.as_ref().is_some_and(|name| person.is_called(name))
        };
        let found = self.staff()?.into_iter().find(means);
        Ok(found.ok_or_else(|| StaffError::Nobody(typed.trim().to_owned()))?)
    }

    /// Puts somebody on the list, or says what changes of somebody who is on it.
    ///
    /// # Errors
    /// [`LogbookError`] if somebody else who works here has the name, or the writer may
    /// not change the list.
    pub fn staffed(
        &mut self,
        person: Option<PersonId>,
        said: Staffing,
        moment: &Moment,
    ) -> Result<PersonId, LogbookError> {
        let (_, person) = self.write(moment, |work, random| {
            let Staffing { name, may, carries } = said;
            let staff = load_fleet(work)?.staff;
            let taken = |other: &Person| {
                other.is_here() && Some(other.person) != person && same_name(&other.name, &name)
            };
            if staff.iter().any(taken) {
                return Err(StaffError::NameTaken(name).into());
            }
            let person = match person {
                Some(person) => person,
                None => PersonId::new(free_tag(work, None, random)?),
            };
            let event = Event::Staffed(Staffed { person, name, may, carries });
            Ok((vec![Draft { on: moment.today, event }], person))
        })?;
        Ok(person)
    }

    /// Somebody no longer works here: nothing is written under that name any more, and
    /// their PIN on this device is gone. Says which devices they carry or wrote on.
    ///
    /// # Errors
    /// [`LogbookError`] if they left already, or the writer may not change the list.
    pub fn staff_left(
        &mut self,
        person: PersonId,
        moment: &Moment,
    ) -> Result<Vec<CarriedDevice>, LogbookError> {
        let (_, gone) = self.write(moment, |work, _| {
            let staff = load_fleet(work)?.staff;
            let here = staff.into_iter().find(|known| known.person == person && known.is_here());
            let here = here.ok_or_else(|| StaffError::Nobody(person.to_string()))?;
            let left = StaffLeft { person, name: here.name.clone() };
            Ok((vec![Draft { on: moment.today, event: Event::StaffLeft(left) }], here))
        })?;
        self.drop_pin(person)?;
        self.devices_of(&gone)
    }

    /// The devices that somebody carries, or on which they wrote.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn devices_of(&self, person: &Person) -> Result<Vec<CarriedDevice>, LogbookError> {
        let mut all = Vec::new();
        for device in self.devices()? {
            let names = journal::names_of_device(&self.connection, &device.device)?;
            let carried = person.carries.contains(&device.device);
            let theirs = names.iter().filter(|name| person.is_called(name)).count();
            if carried || theirs > 0 {
                all.push(CarriedDevice { device, carried, others: names.len() - theirs });
            }
        }
        all.sort_by_key(|found| (!found.carried, found.others));
        Ok(all)
    }
}

#[cfg(test)]
#[path = "staff_tests.rs"]
mod tests;
