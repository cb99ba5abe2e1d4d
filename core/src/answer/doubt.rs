//! The reasons that are doubt: what is held by hand, contested, corrected, not
//! believed, or not here.

use chrono::{Days, NaiveDate};

use super::facts::{Claimed, Facts};
use super::reason::{Told, some};
use crate::event::{Port, SetId};
use crate::hose::{End, Fitting, Pressure, Specification, Thread};
use crate::policy::Use;
use crate::record::{Hold, HoseRecord, Meant, SetCorrection, SetRecord};
use crate::words;

/// A device that met no other for longer than this many days may not know what
/// the others know: of hoses of rental sets, and of others. Common practice, no
/// source.
pub const RECORD_OLD_DAYS: (u64, u64) = (7, 30);

/// The holds by hand: its own, those of the sets that it may be in, and those
/// after an incident in a set that it was in then or since.
fn holds<'f>(facts: &'f Facts<'_>) -> Vec<(&'f Hold, Option<&'f crate::hose::Label>)> {
    let record = facts.record();
    let mut all: Vec<(&Hold, Option<&crate::hose::Label>)> =
        record.holds.iter().map(|hold| (hold, None)).collect();
    for set in facts.sets() {
        let usual = set.holds.iter().filter(|hold| !hold.incident);
        all.extend(usual.map(|hold| (hold, Some(&set.name))));
    }
    for stay in &record.stays {
        let of = |set: &&&SetRecord| set.id == stay.set || set.joined.contains(&stay.set);
        let Some(set) = facts.asked.sets.iter().find(of) else { continue };
        // Of two devices that wrote at the same moment nobody can say which was first.
        let there = |hold: &&Hold| stay.until.is_none_or(|until| until >= hold.when);
        let incidents = set.holds.iter().filter(|hold| hold.incident).filter(there);
        all.extend(incidents.map(|hold| (hold, Some(&set.name))));
    }
    let mut seen = Vec::new();
    all.retain(|(hold, _)| {
        let new = !seen.contains(&hold.entry);
        seen.push(hold.entry);
        new
    });
    all
}

/// Whether it was in an accident, or may have been.
pub(super) fn after_incident(facts: &Facts<'_>) -> bool {
    holds(facts).iter().any(|(hold, _)| hold.incident)
}

pub(super) fn held(facts: &Facts<'_>) -> Vec<Told> {
    holds(facts).into_iter().map(|(hold, set)| words::held(hold, set).into()).collect()
}

pub(super) fn quarantined(facts: &Facts<'_>) -> Vec<Told> {
    let sets = facts.sets();
    let all = sets.flat_map(|set| set.quarantines.iter().map(|hold| (hold, &set.name)));
    all.map(|(hold, set)| words::set_quarantined(hold, set).into()).collect()
}

pub(super) fn corrected(facts: &Facts<'_>) -> Vec<Told> {
    let record = facts.record();
    let own = record.corrections.iter().map(|correction| Told {
        said: words::corrected(correction),
        verdict: Some(correction.verdict),
    });
    let mut all: Vec<Told> = own.collect();
    let looked_at = |correction: &SetCorrection| {
        let since = |on: NaiveDate| on >= correction.when.0;
        record.looked_at.iter().any(|(entry, on)| *entry == correction.entry && since(*on))
    };
    for claim in &record.claims {
        let Some(slot) = claim.slot else { continue };
        let Some(set) = facts.asked.set(slot) else { continue };
        let ordinary = record.specifications().any(|hose| !hose.oxygen());
        let open = set.corrections.iter().filter(|correction| {
            correction.when > claim.when
                && (correction.ports.contains(&slot.port) || correction.oxygen && ordinary)
                && !looked_at(correction)
        });
        all.extend(open.map(|correction| words::set_corrected(correction, &set.name).into()));
    }
    all
}

pub(super) fn misfit(facts: &Facts<'_>) -> Vec<Told> {
    let of = |claimed: &Claimed<'_>| {
        let kinds = facts.record().specifications();
        let mut why = kinds.filter_map(|hose| mismatch(hose, claimed));
        let set = claimed.set.filter(|set| set.is_made());
        let anothers = || set.and_then(|set| not_of_this_set(facts.record(), set));
        let why = why.next().or_else(|| nowhere(claimed)).or_else(anothers)?;
        let seat = words::seat_of(claimed.slot, claimed.set);
        Some(words::misfit(&seat, &why).into())
    };
    facts.claimed.iter().filter_map(of).collect()
}

/// Why a hose does not go into a port.
fn mismatch(hose: &Specification, claimed: &Claimed<'_>) -> Option<String> {
    let name = claimed.slot.port;
    let needs = hose.service().pressure();
    let port = claimed.set.and_then(|set| set.port(name));
    let gives = name.pressure().or_else(|| port?.pressure());
    if let Some(gives) = gives.filter(|gives| *gives != needs) {
        return Some(words::wrong_pressure(hose.service(), gives));
    }
    let port = port?;
    if let Some(why) = unknown_kind(hose, port) {
        return Some(why.to_owned());
    }
    let (cut, end) = (port.thread, hose.fitting(End::A));
    if *end != Fitting::Thread(cut) {
        return Some(words::wrong_thread(end, cut));
    }
    let clean = claimed.set.is_some_and(|set| set.oxygen);
    (clean && !hose.oxygen()).then(|| words::NOT_FOR_OXYGEN.to_owned())
}

/// Why a customer's hose is not to be in a set; nothing if it may be, or is the
/// centre's own.
#[must_use]
pub fn not_of_this_set(record: &HoseRecord, set: &SetRecord) -> Option<String> {
    record.owners().into_iter().find_map(|owner| {
        let ticket = owner.ticket()?;
        if let Some(other) = set.owners.iter().find(|other| **other != owner) {
            return Some(words::of_another(ticket, other));
        }
        (set.in_use == Use::Rental).then(|| words::CUSTOMERS_IN_RENTAL.to_owned())
    })
}

/// Why a hose does not go into a port of which nobody knows whether it gives high
/// or low pressure: an HP hose goes in an HP port only, and an HP port of 3/8-24
/// bursts an LP hose.
#[must_use]
pub fn unknown_kind(hose: &Specification, port: &Port) -> Option<&'static str> {
    if port.pressure().is_some() {
        return None;
    }
    match hose.service().pressure() {
        Pressure::High => Some(words::PORT_NOT_KNOWN_HP),
        Pressure::Low if port.thread == Thread::Unf3_8x24 => Some(words::PORT_NOT_KNOWN_LP),
        Pressure::Low => None,
    }
}

/// Why nobody can say whether anything goes into a port.
fn nowhere(claimed: &Claimed<'_>) -> Option<String> {
    let (set, port) = (claimed.set.filter(|set| set.is_made())?, claimed.slot.port);
    if set.disputed.contains(&port) {
        return Some(words::PORT_DISPUTED.to_owned());
    }
    set.port(port).is_none().then(|| words::NO_SUCH_PORT.to_owned())
}

pub(super) fn place_contested(facts: &Facts<'_>) -> Vec<Told> {
    let record = facts.record();
    let mut rivals: Vec<String> = Vec::new();
    for claimed in &facts.claimed {
        let others = claimed.set.map(|set| set.rivals(claimed.slot.port, record.hose));
        rivals.extend(others.into_iter().flatten().map(|hose| hose.to_string()));
    }
    let doubtful = record.claims.iter().any(|claim| claim.doubtful);
    if !record.contested() && rivals.is_empty() && !doubtful {
        return Vec::new();
    }
    let seats = record.claims.iter().map(|claim| match claim.slot {
        Some(slot) => words::seat_of(slot, facts.asked.set(slot)),
        None => words::IN_STOCK.to_owned(),
    });
    let seats: Vec<String> = seats.collect();
    vec![words::place_contested(&seats, &rivals).into()]
}

pub(super) fn set_contested(facts: &Facts<'_>) -> Vec<Told> {
    let contested = facts.sets().filter(|set| set.contested);
    contested.map(|set| words::set_contested(&set.name).into()).collect()
}

pub(super) fn identity_contested(facts: &Facts<'_>) -> Vec<Told> {
    let several = facts.record().registrations.len() > 1 || facts.asked.tag_shared;
    some(several && !facts.is_of_tag(), words::identity_contested)
}

pub(super) fn not_believed(facts: &Facts<'_>) -> Vec<Told> {
    let record = facts.record();
    let name = |set: SetId| {
        let of = |known: &&&SetRecord| known.id == set || known.joined.contains(&set);
        facts.asked.sets.iter().find(of).map_or_else(|| set.into(), |known| known.name.clone())
    };
    let said = record.disbelieved.iter().map(|entry| Told {
        said: words::not_believed(entry, record.specification.as_ref(), &name),
        verdict: Some(entry.verdict),
    });
    let recalls = facts.asked.fleet.recalls.iter().filter(|recall| {
        recall.disbelieved
            && !facts.is_of_tag()
            && recall.means(&record.origin, &record.alternatives) > Meant::No
            && !record.checked_off.contains(&recall.entry)
    });
    said.chain(recalls.map(|recall| words::recall_not_believed(recall).into())).collect()
}

pub(super) fn not_all_read(facts: &Facts<'_>) -> Vec<Told> {
    let record = facts.record();
    let of_sets: u32 = facts.sets().map(|set| set.unread).sum();
    let unread = record.unread + of_sets + facts.asked.fleet.unread;
    let mut told = some(unread > 0 && !facts.is_of_tag(), || words::not_all_read(unread));
    let untold = record.specification.is_none() && record.is_registered();
    told.extend(some(untold, || words::not_all_read(0)));
    let unmade = |claimed: &&Claimed<'_>| claimed.set.is_none_or(|set| set.unmade);
    let unmade = facts.claimed.iter().filter(unmade);
    told.extend(
        unmade
            .map(|claimed| words::set_not_made(&words::seat_of(claimed.slot, claimed.set)).into()),
    );
    told
}

pub(super) fn record_gap(facts: &Facts<'_>) -> Vec<Told> {
    let gap = facts.asked.heard.gap.filter(|_| !facts.is_of_tag());
    let registered = facts.record().registered_at;
    let before = gap.is_some_and(|gap| registered.is_none_or(|at| at < gap));
    some(before, words::record_gap)
}

pub(super) fn record_old(facts: &Facts<'_>) -> Vec<Told> {
    let days = match facts.in_use {
        Use::Rental => RECORD_OLD_DAYS.0,
        Use::Personal => RECORD_OLD_DAYS.1,
    };
    let met = facts.asked.heard.met_on.filter(|met| {
        met.checked_add_days(Days::new(days)).is_some_and(|last| facts.today() > last)
    });
    met.map(|met| words::record_old(met).into()).into_iter().collect()
}

pub(super) fn rented_twice(facts: &Facts<'_>) -> Vec<Told> {
    let tickets: Vec<&crate::hose::Label> = facts.record().rented_twice.iter().collect();
    some(!tickets.is_empty(), || words::rented_twice(&tickets))
}
