//! What happened, in one line an event.

use super::{hose, months, observation};
use crate::event::{Event, Port};
use crate::hose::{End, Origin, Specification};
use crate::inspection::Look;
use crate::policy::{Change, Scope};

/// What happened, in words, without when and by whom. `of` is what the hose is,
/// which decides the words of a finding.
#[must_use]
pub fn event(event: &Event, of: Option<&Specification>) -> String {
    match event {
        Event::Registered { specification, origin, .. } => {
            format!("registered: {}", described(specification, origin))
        }
        Event::Described { specification, origin, .. } => {
            format!("put right: {}", described(specification, origin))
        }
        Event::Tagged { tag, .. } => format!("got the new tag {tag}"),
        Event::Bound { barcode, .. } => format!("bound to the barcode “{barcode}”"),
        Event::Inspected { look, .. } => inspected(look, of),
        Event::Photographed { place, .. } => super::photograph_of(*place),
        Event::Resealed { end, seal, .. } => {
            let size = seal.as_ref().map(|seal| format!(" ({seal})")).unwrap_or_default();
            format!("new O-rings{size} at the {}", end_in_words(*end))
        }
        Event::Cleaned { .. } => "soaked, cleaned and dried".to_owned(),
        Event::Assembled { set, in_use, ports } => {
            format!("set {set} put on record for {in_use} use, with {}", listed(ports))
        }
        Event::Fitted { set, port, from, .. } => {
            let from = from.as_ref().map(|seat| format!(", from {seat}")).unwrap_or_default();
            format!("fitted to set {set}, port {port}{from}")
        }
        Event::Removed { set, port, .. } => format!("taken off set {set}, port {port}, to stock"),
        Event::Retired { why, .. } => format!("retired: {why}"),
        Event::Dived { dives, .. } => super::counted(i64::from(*dives), "dive"),
        Event::Swapped { step, answer, .. } => format!("swap, {step}: {answer}"),
        Event::HandedOut { set, ticket, override_why, .. } => {
            let why = override_why.as_ref().map(|why| format!(", over the objections: {why}"));
            format!("handed out with set {set} on ticket {ticket}{}", why.unwrap_or_default())
        }
        Event::Returned { set, ticket, .. } => {
            format!("came back with set {set}, ticket {ticket}")
        }
        Event::SetAside { lot, .. } => format!("found and set aside, for the recall of lot {lot}"),
        Event::Limited { scope, limits } => format!("limits of {scope}: {limits}"),
        Event::Recalled { lot, maker, why } => {
            let maker = maker.as_ref().map(|maker| format!(" of {maker}")).unwrap_or_default();
            format!("lot {lot}{maker} recalled: {why}")
        }
        Event::Enrolled { warrant } => {
            let name = warrant.name.as_ref().map(|name| format!(" ({name})")).unwrap_or_default();
            format!("the owner's word on device {}{name}: {}", warrant.device.short(), warrant.role)
        }
    }
}

fn described(specification: &Specification, origin: &Origin) -> String {
    let what = hose(specification, origin.maker.as_ref(), origin.lot.as_ref());
    let dates =
        [("made", origin.made), ("bought", origin.bought), ("in service since", origin.in_service)];
    let dates = dates.into_iter().filter_map(|(what, date)| Some(format!("; {what} {}", date?)));
    format!("{what}{}", dates.collect::<String>())
}

fn inspected(look: &Look, of: Option<&Specification>) -> String {
    let seen = look.findings.iter().map(|seen| {
        let words = seen.rule(of).map_or_else(|_| seen.finding().word(), |rule| rule.seen);
        observation(seen, words)
    });
    let mut seen: Vec<String> = seen.collect();
    match &look.test {
        Some(test) => {
            let at = test.pressure.as_ref().map(|p| format!(" at {p}")).unwrap_or_default();
            seen.insert(0, format!("{}{at}", if test.passed { "passed" } else { "failed" }));
        }
        None if seen.is_empty() => seen.push("nothing found".to_owned()),
        None => {}
    }
    seen.extend(look.note.as_ref().map(|note| format!("note: {note}")));
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
    let names: Vec<String> =
        ports.iter().map(|port| format!("{} ({})", port.name, port.thread)).collect();
    names.join(", ")
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
        ];
        f.pad(&said.into_iter().flatten().collect::<Vec<_>>().join(", "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hose::{Construction, Label, Service};
    use crate::policy::Use;
    use crate::tag::Code;

    #[test]
    fn the_owners_limits_are_said_for_whom_and_how_much() {
        let scope = Scope {
            service: Some(Service::Gauge),
            construction: Some(Construction::Rubber),
            in_use: Some(Use::Rental),
        };
        let change = Change::new(Some(18), Some(120), Some(None), Some(1)).unwrap_or_default();
        let said = event(&Event::Limited { scope, limits: change }, None);
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
        let resealed = |seal| event(&Event::Resealed { hose, end: End::B, seal }, None);
        assert_eq!(resealed(None), "new O-rings at the far end");
        assert_eq!(resealed(seal), "new O-rings (003) at the far end");
        let look = Look {
            kind: crate::inspection::InspectionKind::Quick,
            findings: "run:strands:2".parse().ok().into_iter().collect(),
            test: None,
            note: None,
        };
        let said = event(&Event::Inspected { hose, look }, None);
        assert_eq!(said, "quick inspection: on the run, broken strands in the braid (2)");
    }
}
