//! What happened, in one line an event.

use super::{hose, months, observation};
use crate::event::{
    Assembled, CameIn, Changes, EntryId, Event, Fitted, GoneHome, HandedOut, Held, PlaceConfirmed,
    Port, PortName, Released, Removed, Returned, SetChanges, SetDetails, SetId, Slot, StaffLeft,
    Swapped,
};
use crate::hose::{End, Label, Origin, Prose, Specification};
use crate::inspection::Look;
use crate::policy::{Change, Scope, Use};
use crate::record::OpenSwap;

/// What happened, in words, without when and by whom. `of` is what the hose is,
/// which decides the words of a finding; `name` says what a set is called.
#[must_use]
pub fn event(event: &Event, of: Option<&Specification>, name: &dyn Fn(SetId) -> Label) -> String {
    let seat = |slot: &Slot| super::seat(&name(slot.set), slot.port);
    match event {
        Event::Registered { specification, origin, .. } => {
            format!("registered: {}", described(specification, origin))
        }
        Event::DescribedBefore(before) => {
            format!("put right: {}", described(&before.specification, &before.origin))
        }
        Event::Described { changes, why, .. } => match why {
            Some(why) => format!("described: {}; {why}", changed(changes)),
            None => format!("described, without a reason: {}", changed(changes)),
        },
        Event::Tagged { tag, .. } => format!("got the new tag {tag}"),
        Event::Identified { hose, hoses: [old], .. } => {
            format!("got the new tag {hose}, since {old} named two hoses")
        }
        Event::Bound { barcode, .. } => format!("bound to the barcode “{barcode}”"),
        Event::InspectedBefore(before) => inspected(&before.look, of),
        Event::Inspected { look, .. } => inspected(look, of),
        Event::Photographed { place, .. } => super::photograph_of(*place),
        Event::Resealed { end, seal, .. } => {
            let size = seal.as_ref().map(|seal| format!(" ({seal})")).unwrap_or_default();
            format!("new O-rings{size} at the {}", end_in_words(*end))
        }
        Event::Recoupled { .. } => "new valve core or coupling at the far end".to_owned(),
        Event::Cleaned { .. } | Event::CleanedBefore { .. } => {
            "soaked, cleaned and dried".to_owned()
        }
        Event::AssembledBefore(before) => {
            made(&before.set, before.in_use, &before.ports, &SetDetails::default())
        }
        Event::Assembled(Assembled { name, in_use, ports, details, .. }) => {
            made(name, *in_use, ports, details)
        }
        Event::SetTagged { set, tag } => format!("set {} got the tag {tag}", name(*set)),
        Event::SetChanged { set, changes, why, .. } => {
            set_changed(&name(*set), changes, why.as_ref())
        }
        Event::SetsJoined { sets: [first, second], why } => {
            format!(
                "sets {} ({first}) and {} ({second}) are one: {why}",
                name(*first),
                name(*second)
            )
        }
        Event::FittedBefore(before) => {
            let from = before.from.as_ref().map(|seat| format!(", from {seat}"));
            format!(
                "fitted to set {}, port {}{}",
                before.set,
                before.port,
                from.unwrap_or_default()
            )
        }
        Event::Fitted(Fitted { set, port, .. }) => {
            format!("fitted to set {}, port {port}", name(*set))
        }
        Event::RemovedBefore(before) => {
            format!("taken off set {}, port {}, to stock", before.set, before.port)
        }
        Event::Removed(Removed { sets, .. }) => {
            let sets: Vec<String> = sets.iter().map(|set| name(*set).to_string()).collect();
            format!("taken off set {}, to stock", sets.join(", "))
        }
        Event::PlaceConfirmed(PlaceConfirmed { hose, at, .. }) => match at {
            Some(slot) => format!("place confirmed: {hose} is in {}", seat(slot)),
            None => format!("place confirmed: {hose} is in stock"),
        },
        Event::Retired { why, .. } => format!("retired: {why}"),
        Event::Dived { dives, list, .. } => {
            let dives = super::counted(i64::from(*dives), "dive");
            list.map_or(dives.clone(), |of| format!("{dives}, {}", super::brought::from(of)))
        }
        Event::SwappedBefore(before) => format!("swap, {}: {}", before.step, before.answer),
        Event::Swapped(Swapped { step, answer, .. }) => match step.as_str() {
            OpenSwap::BACK => format!("swap, back to: {answer}"),
            step => format!("swap, {step}: {answer}"),
        },
        Event::HandedOutBefore(before) => {
            handed_out(&before.set, &before.ticket, before.override_why.as_ref())
        }
        Event::HandedOut(HandedOut { set, ticket, override_why, .. }) => {
            handed_out(&name(*set), ticket, override_why.as_ref())
        }
        Event::Packed(packed) => super::packing::told(packed, &name(packed.set)),
        Event::Unpacked(unpacked) => super::packing::undone(&name(unpacked.set)),
        Event::ReturnedBefore(before) => {
            format!("came back with set {}, ticket {}", before.set, before.ticket)
        }
        Event::Returned(Returned { set, tickets, dives, missing, estimated, .. }) => {
            super::returns::came_back(&name(*set), tickets, missing, (*dives, *estimated))
        }
        Event::SetAside { lot, .. } => format!("found and set aside, for the recall of lot {lot}"),
        Event::Held(Held { set, why, incident, .. }) => {
            let what = set.map_or_else(String::new, |set| format!("set {} ", name(set)));
            let after = if *incident { ", after an incident" } else { "" };
            format!("{what}put on hold{after}: {why}")
        }
        Event::Quarantined { set, why } => format!("set {} in quarantine: {why}", name(*set)),
        Event::Released(Released { set, why, .. }) => {
            let what = set.map_or_else(String::new, |set| format!("set {} ", name(set)));
            format!("{what}released: {why}")
        }
        Event::Limited { scope, limits } => format!("limits of {scope}: {limits}"),
        Event::Staffed(person) => super::staff::on_record(person),
        Event::StaffLeft(StaffLeft { name, .. }) => format!("{name} no longer works here"),
        Event::Recalled { lot, maker, why } => {
            let maker = maker.as_ref().map(|maker| format!(" of {maker}")).unwrap_or_default();
            format!("lot {lot}{maker} recalled: {why}")
        }
        Event::GoneHome(GoneHome { set, ticket, .. }) => {
            let what = set.map_or_else(String::new, |set| format!("set {} ", name(set)));
            format!("{what}went home, ticket {ticket}")
        }
        Event::CameIn(CameIn { set, ticket, .. }) => {
            let what = set.map_or_else(String::new, |set| format!("set {} ", name(set)));
            format!("{what}came in again, ticket {ticket}")
        }
        Event::RecalledBy { of, why } => format!("{of} recalled: {why}"),
        Event::SetAsideFor { .. } => "found and set aside, for a recall".to_owned(),
        Event::RecallEnded { why, .. } => format!("recall ended: {why}"),
        Event::CheckedOff { why, .. } => format!("checked off, a recall does not mean it: {why}"),
        Event::GapLost { device, why, .. } => {
            format!("missing entries of device {} declared lost: {why}", device.short())
        }
        Event::Withdrawn { answers, why, .. } => {
            format!("{} withdrawn: {why}", entries(answers))
        }
        Event::Admitted { answers, .. } => format!("{} admitted", entries(answers)),
        Event::Dismissed { answers, why, .. } => format!("{} dismissed: {why}", entries(answers)),
        Event::Succeeded { succession } => format!(
            "the owner's key {} is followed by {} from here on",
            succession.from.short(),
            succession.to.short()
        ),
        Event::Enrolled { warrant } => {
            let name = warrant.name.as_ref().map(|name| format!(" ({name})")).unwrap_or_default();
            format!(
                "the owner's permission for device {}{name}: {}",
                warrant.device.short(),
                warrant.role
            )
        }
    }
}

fn entries(answers: &[EntryId]) -> String {
    match answers {
        [one] => format!("entry {:.16}", one.to_string()),
        all => format!("{} entries", all.len()),
    }
}

fn made(set: &Label, in_use: Use, ports: &[Port], details: &SetDetails) -> String {
    let oxygen = if details.oxygen { ", cleaned for oxygen" } else { "" };
    let owner = details.owner.as_ref().map(|owner| format!(", {owner}")).unwrap_or_default();
    let devices = in_ports(&details.devices);
    let branch = details.branch.as_ref().map(|branch| format!(", branch {branch}"));
    let branch = branch.unwrap_or_default();
    format!(
        "set {set} put on record for {in_use} use, with {}{devices}{oxygen}{owner}{branch}",
        listed(ports)
    )
}

/// What is in ports that have no hose and no plug.
fn in_ports(devices: &std::collections::BTreeMap<PortName, Label>) -> String {
    devices.iter().map(|(port, device)| format!(", in {port} {device}")).collect()
}

fn handed_out(set: &Label, ticket: &Label, override_why: Option<&Prose>) -> String {
    let why = override_why.map(|why| format!(", over the objections: {why}"));
    format!("handed out with set {set} on ticket {ticket}{}", why.unwrap_or_default())
}

fn set_changed(set: &Label, changes: &SetChanges, why: Option<&Prose>) -> String {
    let said = [
        changes.name.as_ref().map(|name| format!("its name is {name}")),
        changes.in_use.map(|in_use| format!("{in_use} use")),
        changes.ports.as_ref().map(|ports| format!("ports {}", listed(ports))),
        changes.dissolved.then(|| "dissolved".to_owned()),
        changes.details.oxygen.map(|oxygen| {
            if oxygen { "cleaned for oxygen" } else { "not cleaned for oxygen" }.to_owned()
        }),
        changes.details.owner.as_ref().map(ToString::to_string),
        changes.details.devices.as_ref().map(|devices| match in_ports(devices) {
            text if text.is_empty() => "a plug in each port without a hose".to_owned(),
            text => text.trim_start_matches(", ").to_owned(),
        }),
    ];
    let cleared = changes.details.cleared.iter().map(|field| format!("no {field}"));
    let branch = changes.details.branch.as_ref().map(|branch| format!("branch {branch}"));
    let said = said.into_iter().flatten().chain(branch).chain(cleared);
    let said: Vec<String> = said.collect();
    let why = why.map(|why| format!("; {why}")).unwrap_or_default();
    format!("set {set} changed: {}{why}", said.join(", "))
}

/// What a description changes.
fn changed(changes: &Changes) -> String {
    let origin = &changes.origin;
    let date = |what: &str, date: Option<crate::measure::PartialDate>| {
        date.map(|date| format!("{what} {date}"))
    };
    let said = [
        changes.specification.as_ref().map(|specification| hose(specification, None, None)),
        date("made", origin.made),
        date("bought", origin.bought),
        date("in service since", origin.in_service),
        origin.maker.as_ref().map(|maker| format!("maker {maker}")),
        origin.lot.as_ref().map(|lot| format!("lot {lot}")),
        origin.model.as_ref().map(|model| format!("model {model}")),
        origin.own.number.as_ref().map(|number| format!("own number {number}")),
        origin.own.note.as_ref().map(|note| format!("note: {note}")),
        origin.own.branch.as_ref().map(|branch| format!("branch {branch}")),
        origin.own.owner.as_ref().map(ToString::to_string),
    ];
    let unknown = changes.unknown.iter().map(|field| {
        format!("{} not known", field.word().replace("in_service", "in service since"))
    });
    let cleared = changes.cleared.iter().map(|field| format!("no {field}"));
    said.into_iter().flatten().chain(unknown).chain(cleared).collect::<Vec<_>>().join(", ")
}

fn described(specification: &Specification, origin: &Origin) -> String {
    let what = hose(specification, origin.maker.as_ref(), origin.lot.as_ref());
    let dates =
        [("made", origin.made), ("bought", origin.bought), ("in service since", origin.in_service)];
    let dates = dates.into_iter().filter_map(|(what, date)| Some(format!("; {what} {}", date?)));
    let own = &origin.own;
    let more = [
        origin.model.as_ref().map(|model| format!("; model {model}")),
        own.number.as_ref().map(|number| format!("; own number {number}")),
        own.note.as_ref().map(|note| format!("; note: {note}")),
        own.branch.as_ref().map(|branch| format!("; branch {branch}")),
        own.owner.as_ref().map(|owner| format!("; {owner}")),
    ];
    format!("{what}{}", dates.chain(more.into_iter().flatten()).collect::<String>())
}

fn inspected(look: &Look, of: Option<&Specification>) -> String {
    let seen = look.findings.iter().map(|seen| {
        let words = seen.rule(of).map_or_else(|_| seen.finding().word(), |rule| rule.seen);
        observation(seen, words)
    });
    let mut seen: Vec<String> = seen.collect();
    match &look.test {
        Some(test) => seen.insert(0, test.in_words()),
        None if !seen.is_empty() => {}
        None if look.list.is_some() => seen.push(super::brought::NO_FINDINGS.to_owned()),
        None => seen.push("nothing found".to_owned()),
    }
    seen.extend(super::damage::gone(look.gone.as_deref(), look.why.as_ref()));
    seen.extend(look.note.as_ref().map(|note| format!("note: {note}")));
    seen.extend(look.list.as_ref().map(super::brought::listed));
    let kind = match look.kind {
        crate::inspection::InspectionKind::LeakTest => "leak test".to_owned(),
        kind => format!("{kind} inspection"),
    };
    format!("{kind}: {}", seen.join("; "))
}

const fn end_in_words(end: End) -> &'static str {
    match end {
        End::A => "first-stage end",
        End::B => "far end",
    }
}

fn listed(ports: &[Port]) -> String {
    let names: Vec<String> = ports
        .iter()
        .map(|port| format!("{} ({}{})", port.name, port.thread, kind_of(port)))
        .collect();
    names.join(", ")
}

/// The kind of a port whose name does not say it.
fn kind_of(port: &Port) -> String {
    match (port.name.pressure(), port.kind) {
        (Some(_), _) => String::new(),
        (None, Some(kind)) => format!(", {kind}"),
        (None, None) => ", kind not known".to_owned(),
    }
}

impl std::fmt::Display for Scope {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let words = [
            self.in_use.map(|u| u.word()),
            self.construction.map(|c| c.word()),
            self.service.map(|s| s.word()),
        ];
        let words: Vec<&str> = words.into_iter().flatten().collect();
        match words.as_slice() {
            [] => f.pad("all hoses"),
            words => f.pad(&format!("{} hoses", words.join(" "))),
        }
    }
}

impl std::fmt::Display for Change {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let dives = self.dives().map(|dives| {
            dives.map_or_else(
                || "no limit of dives".to_owned(),
                |n| super::counted(i64::from(n), "dive"),
            )
        });
        let said = [
            self.in_service_months().map(|m| format!("{} in service", months(m))),
            self.from_made_months().map(|m| format!("{} from made", months(m))),
            dives,
            self.full_inspection_months().map(|m| format!("a full inspection every {}", months(m))),
            self.least_pressure().map(|least| {
                format!(
                    "leak tests under at least {} bar (low-pressure hoses) and {} bar \
                     (high-pressure hoses)",
                    least.low_bar, least.high_bar
                )
            }),
            self.dives_a_day().map(|a_day| {
                format!("{} a day where a return does not know", counted_dives(a_day))
            }),
        ];
        f.pad(&said.into_iter().flatten().collect::<Vec<_>>().join(", "))
    }
}

fn counted_dives(dives: u32) -> String {
    super::counted(i64::from(dives), "dive")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hose::{Construction, Service};
    use crate::tag::Code;

    #[test]
    fn the_owners_limits_are_said_for_whom_and_how_much() {
        let scope = Scope {
            service: Some(Service::Gauge),
            construction: Some(Construction::Rubber),
            in_use: Some(Use::Rental),
        };
        let change = Change::new(Some(18), Some(120), Some(None), Some(1)).unwrap_or_default();
        let said = event(&Event::Limited { scope, limits: change }, None, &Label::from);
        assert_eq!(
            said,
            "limits of rental rubber gauge hoses: 18 months in service, 10 years from made, \
             no limit of dives, a full inspection every 1 month"
        );
        assert_eq!(Scope::default().to_string(), "all hoses");
    }

    #[test]
    fn what_is_not_known_is_left_out() {
        let hose = (0..).find_map(Code::from_bits);
        let Some(hose) = hose else { unreachable!("some bits are a code") };
        let seal = Label::new("a seal", "003").ok();
        let resealed =
            |seal| event(&Event::Resealed { hose, end: End::B, seal }, None, &Label::from);
        assert_eq!(resealed(None), "new O-rings at the far end");
        assert_eq!(resealed(seal), "new O-rings (003) at the far end");
        let look = Look {
            kind: crate::inspection::InspectionKind::Quick,
            findings: "run:strands:2".parse().ok().into_iter().collect(),
            test: None,
            note: None,
            gone: None,
            why: None,
            list: None,
        };
        let (at, answers) = (None, Vec::new());
        let said = event(&Event::Inspected { hose, look, at, answers }, None, &Label::from);
        assert_eq!(said, "quick inspection: on the run, broken strands in the braid (2)");
    }
}
