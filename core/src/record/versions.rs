//! What entries say that have more than one version.

use crate::event::{Event, HandedOut, SetId, Slot, Swapped};
use crate::hose::Label;
use crate::inspection::Look;
use crate::tag::Code;

/// What an inspection of any version saw.
pub(super) const fn look_of(event: &Event) -> Option<&Look> {
    match event {
        Event::Inspected { look, .. } => Some(look),
        Event::InspectedBefore(before) => Some(&before.look),
        _ => None,
    }
}

/// The set and the ticket of a hand-out.
pub(super) fn handed_out(event: &Event) -> Option<(SetId, &Label)> {
    match event {
        Event::HandedOut(HandedOut { set, ticket, .. }) => Some((*set, ticket)),
        Event::HandedOutBefore(before) => {
            Some((SetId::of_name(before.set.as_str()), &before.ticket))
        }
        _ => None,
    }
}

/// One answer in a swap, of any version.
pub(super) struct Answered<'a> {
    pub(super) old: Code,
    pub(super) new: Code,
    pub(super) slot: Slot,
    pub(super) step: &'a Label,
    pub(super) answer: &'a Label,
    pub(super) instead: Option<Code>,
}

pub(super) fn answered(event: &Event) -> Option<Answered<'_>> {
    match event {
        Event::Swapped(Swapped { hoses: [old, new], set, port, step, answer, instead, .. }) => {
            let slot = Slot { set: *set, port: *port };
            let instead = instead.map(|before| before.hose);
            Some(Answered { old: *old, new: *new, slot, step, answer, instead })
        }
        Event::SwappedBefore(before) => {
            let [old, new] = before.hoses;
            let slot = Slot { set: SetId::of_name(before.set.as_str()), port: before.port };
            let (step, answer) = (&before.step, &before.answer);
            Some(Answered { old, new, slot, step, answer, instead: None })
        }
        _ => None,
    }
}
