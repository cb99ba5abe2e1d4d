//! What must hold before somebody writes: that they did not leave, that they may do it,
//! and that they proved who they are.

use std::collections::BTreeSet;

use rusqlite::Connection;

use super::{LogbookError, StaffError};
use crate::device::Keyring;
use crate::event::Event;
use crate::hose::Label;
use crate::journal::{Draft, StoreError};
use crate::record::load_fleet;
use crate::staff::{Deed, Person, PersonId, Pins, Standing, standing};

/// What is to be written is for the writer to do: of everyday work, that they did not
/// leave; of the rest, that they may, and that they proved who they are.
pub(super) fn check_may(
    work: &Connection,
    drafts: &[Draft],
    by: &Label,
    (keys, proven): (&(dyn Keyring + Send), Option<PersonId>),
) -> Result<(), LogbookError> {
    let staff = load_fleet(work)?.staff;
    if staff.is_empty() {
        return Ok(());
    }
    let deeds: BTreeSet<Deed> = drafts.iter().filter_map(|draft| deed_of(&draft.event)).collect();
    for deed in deeds.iter().copied().map(Some).chain([None]) {
        check_standing(&staff, by, deed)?;
    }
    let writer = staff.iter().find(|person| person.is_here() && person.is_called(by));
    check_proven(keys, proven, writer.zip(deeds.first().copied()))
}

/// A deed may be done under a name; `None` is everyday work.
pub(super) fn check_standing(
    staff: &[Person],
    by: &Label,
    deed: Option<Deed>,
) -> Result<(), StaffError> {
    match (standing(staff, by, deed), deed) {
        (Standing::Left(person, on), _) => Err(StaffError::Left { name: person.name.clone(), on }),
        (Standing::MayNot, Some(deed)) => {
            let may = staff.iter().filter(|p| p.is_here() && p.may.contains(&deed));
            let who = may.map(|person| person.name.clone()).collect();
            Err(StaffError::NotYours { name: by.clone(), deed, who })
        }
        _ => Ok(()),
    }
}

/// What not everybody may do, if it is that.
fn deed_of(event: &Event) -> Option<Deed> {
    Some(match event {
        Event::Released(_) => Deed::Release,
        Event::Retired { .. } => Deed::Retire,
        Event::Withdrawn { .. } => Deed::Withdraw,
        Event::HandedOut(out) if out.override_why.is_some() => Deed::Override,
        Event::Packed(set) if set.override_why.is_some() => Deed::Override,
        Event::Limited { .. } => Deed::Limits,
        Event::Staffed(_) | Event::StaffLeft(_) => Deed::Staff,
        _ => return None,
    })
}

/// Whoever has a PIN here proved who they are.
pub(super) fn check_proven(
    keys: &(dyn Keyring + Send),
    proven: Option<PersonId>,
    wanted: Option<(&Person, Deed)>,
) -> Result<(), LogbookError> {
    let Some((writer, deed)) = wanted else { return Ok(()) };
    if proven == Some(writer.person) || !read_pins(keys)?.has(writer.person) {
        return Ok(());
    }
    Err(StaffError::PinNeeded { name: writer.name.clone(), deed }.into())
}

/// The PINs on this device.
pub(super) fn read_pins(keys: &(dyn Keyring + Send)) -> Result<Pins, LogbookError> {
    let text = keys.pins().map_err(StoreError::from)?;
    Ok(Pins::read(&text).map_err(StaffError::Pin)?)
}
