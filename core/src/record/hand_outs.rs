//! Hand-outs that overlap: two devices that had not met each handed out what the
//! other had handed out already.

use super::ending::Matter;
use super::ledger::{Ledger, Line};
use super::versions::handed_out;
use crate::event::{Event, SetId};
use crate::hose::Label;

/// A hand-out, and where the first return that ends it is in the fold.
struct Gone<'l> {
    place: usize,
    ticket: &'l Label,
    back: Option<usize>,
}

/// The tickets of hand-outs that overlap, until all of them are back: a return of
/// one of two does not say which hirer has it.
pub(super) fn twice(ledger: &Ledger<'_>, of: impl Fn(SetId) -> bool) -> Vec<Label> {
    let gone = ledger.lines.iter().filter(|line| line.adds()).filter_map(|line| {
        let (set, ticket) = handed_out(line.event.as_ref()?).filter(|(set, _)| of(*set))?;
        let back = |end: &&Line<'_>| match &end.event {
            Some(Event::ReturnedBefore(before)) => {
                before.ticket == *ticket && SetId::of_name(before.set.as_str()) == set
            }
            _ => true,
        };
        let back = ledger.enders(Matter::RentedTwice, line).filter(back).map(|end| end.place).min();
        Some(Gone { place: line.place, ticket, back })
    });
    let gone: Vec<Gone<'_>> = gone.collect();
    let overlap = |a: &Gone<'_>, b: &Gone<'_>| {
        let both_out =
            a.back.is_none_or(|back| back > b.place) && b.back.is_none_or(|back| back > a.place);
        both_out && a.ticket != b.ticket && (a.back.is_none() || b.back.is_none())
    };
    let twice = gone.iter().filter(|one| gone.iter().any(|other| overlap(one, other)));
    let mut tickets: Vec<Label> = Vec::new();
    for one in twice {
        if !tickets.contains(one.ticket) {
            tickets.push(one.ticket.clone());
        }
    }
    tickets
}
