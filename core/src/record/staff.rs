//! Who works here, as the entries say.

use super::ledger::Ledger;
use crate::event::{Event, StaffLeft, Staffed};
use crate::staff::Person;

/// The people on record, in the order in which they came. What nobody believes says
/// nothing: it could give a permission.
pub fn staff(ledger: &Ledger<'_>) -> Vec<Person> {
    let mut all: Vec<Person> = Vec::new();
    for line in ledger.lines.iter().filter(|line| line.counts()) {
        let on = line.entry.on;
        match &line.event {
            Some(Event::Staffed(Staffed { person, name, may, carries })) => {
                let (name, may, carries) = (name.clone(), may.clone(), carries.clone());
                let known = all.iter_mut().find(|known| known.person == *person);
                let since = known.as_ref().map_or(on, |known| known.since);
                let now = Person { person: *person, name, may, carries, since, left: None };
                match known {
                    Some(known) => *known = now,
                    None => all.push(now),
                }
            }
            Some(Event::StaffLeft(StaffLeft { person, .. })) => {
                if let Some(known) = all.iter_mut().find(|known| known.person == *person) {
                    known.left = Some(on);
                }
            }
            _ => {}
        }
    }
    all
}
