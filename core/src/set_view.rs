//! A regulator set as people look at it: every port, what is in it, and what
//! stops the set.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use crate::answer::{Answer, Reason, unknown_kind};
use crate::event::{Port, PortName, SetId};
use crate::hose::{End, Fitting, Label, Owner, PortKind, Specification, Thread};
use crate::inspection::Verdict;
use crate::policy::Use;
use crate::record::{HandOut, PackedSet, SetRecord};
use crate::tag::Code;
use crate::words;

/// A hose in a list: which it is, where it belongs and its status.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Checked {
    /// The port that it is in; none for a hose that is in no port of the set.
    pub port: Option<PortName>,
    /// The tag that it carries.
    pub code: Code,
    /// The shop's own number for it.
    #[serde(skip)]
    pub number: Option<Label>,
    /// What it is, in one line.
    pub words: String,
    /// The same in few words, without its number, maker and lot.
    #[serde(skip)]
    pub briefly: String,
    /// Its status.
    pub verdict: Verdict,
    /// Every reason, worst first.
    pub reasons: Vec<Reason>,
}

impl Checked {
    /// It by the shop's own number, if it has one, and its code.
    #[must_use]
    pub fn by_number(&self) -> String {
        words::by_number(self.number.as_ref(), self.code)
    }

    /// A hose by its answer.
    #[must_use]
    pub fn of(answer: &Answer, port: Option<PortName>) -> Self {
        Self {
            port,
            code: answer.code,
            number: answer.hose.origin.own.number.clone(),
            words: answer.hose.words.clone(),
            briefly: words::hose_briefly(answer.hose.specification.as_ref()),
            verdict: answer.verdict,
            reasons: answer.reasons.clone(),
        }
    }

    /// It as the sentences name it.
    pub(crate) fn named(&self) -> words::sets::Named<'_> {
        words::sets::Named { port: self.port, hose: self.code, what: &self.words }
    }

    /// The reasons that are as bad as its verdict, with what to do, in words.
    #[must_use]
    pub fn worst_reasons(&self) -> (String, String) {
        let worst = || self.reasons.iter().filter(|reason| reason.verdict == self.verdict);
        let joined = |texts: Vec<&str>| texts.join(" ");
        let mut todo: Vec<&str> = Vec::new();
        for reason in worst() {
            if !todo.contains(&reason.todo.as_str()) {
                todo.push(&reason.todo);
            }
        }
        (joined(worst().map(|reason| reason.words.as_str()).collect()), joined(todo))
    }
}

/// A port and what is in it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PortView {
    /// Its name and thread.
    #[serde(flatten)]
    pub port: Port,
    /// What is in it, in words: a hose in one line, or its plug.
    pub holds: String,
    /// The device that is in it instead of a hose or its plug.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub device: Option<Label>,
    /// The answer for the hose in it; none if the port has its plug.
    pub hose: Option<Answer>,
}

/// A set with the answer for every hose in it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SetView {
    /// Its code: what tells it from another of its name.
    pub id: SetId,
    /// Its name.
    pub name: Label,
    /// Who dives with it.
    #[serde(rename = "use")]
    pub in_use: Use,
    /// It is cleaned for oxygen.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub oxygen: bool,
    /// Whose it is, where it is a customer's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub owner: Option<Owner>,
    /// The branch where it works.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub branch: Option<Label>,
    /// Since when it is on record.
    pub since: NaiveDate,
    /// The tag that its first stage carries; none for a set of earlier programs
    /// that nobody has given one.
    pub tag: Option<Code>,
    /// The worst verdict of its hoses; none for a set without one.
    pub worst: Option<Verdict>,
    /// Where it is and its status, in words.
    pub words: String,
    /// Whether it is in quarantine, or a hose of it is on hold or to be retired.
    pub quarantined: bool,
    /// Whether it is in quarantine.
    #[serde(skip)]
    pub in_quarantine: bool,
    /// With whom it is, while it is out.
    pub out: Option<HandOut>,
    /// How it was packed, if it waits to go out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub packed: Option<PackedSet>,
    /// Its ports, in the order in which they were given.
    pub ports: Vec<PortView>,
    /// The hoses that are on hold or to be retired, by port.
    pub stops: Vec<Checked>,
}

impl SetView {
    /// A set, with the answer for the hose in each port that has one.
    #[must_use]
    pub fn of(set: &SetRecord, answers: &BTreeMap<PortName, Answer>) -> Self {
        let worst = answers.values().map(|answer| answer.verdict).max();
        let in_quarantine = !set.quarantines.is_empty();
        let ports: Vec<PortView> = all_ports(set)
            .map(|port| port_view(port, set.devices.get(&port.name), answers))
            .collect();
        let stops = ports.iter().filter_map(|view| {
            let answer = view.hose.as_ref()?;
            stops_by_itself(&answer.reasons).then(|| Checked::of(answer, Some(view.port.name)))
        });
        Self {
            id: set.id,
            name: set.name.clone(),
            in_use: set.in_use,
            oxygen: set.oxygen,
            branch: set.branch.clone(),
            owner: Some(set.owner.clone()).filter(|owner| *owner != Owner::Centre),
            since: set.since,
            tag: set.tag(),
            worst,
            words: words::sets::state(set.out.as_ref(), answers.len(), worst, in_quarantine),
            quarantined: worst.is_some_and(|worst| worst >= Verdict::Hold) || in_quarantine,
            in_quarantine,
            out: set.out.clone(),
            packed: set.packed.clone().filter(|_| set.out.is_none()),
            stops: stops.collect(),
            ports,
        }
    }
}

/// Whether a hose is stopped by more than its set's quarantine, which is said
/// once, of the set.
#[must_use]
pub fn stops_by_itself(reasons: &[Reason]) -> bool {
    reasons.iter().any(|r| r.verdict >= Verdict::Hold && r.code != "set-quarantined")
}

fn port_view(port: Port, device: Option<&Label>, answers: &BTreeMap<PortName, Answer>) -> PortView {
    let hose = answers.get(&port.name).cloned();
    let device = device.filter(|_| hose.is_none()).cloned();
    let plug = || device.as_ref().map_or_else(|| words::sets::PLUG.to_owned(), Label::to_string);
    let holds = hose.as_ref().map_or_else(plug, |answer| answer.hose.words.clone());
    PortView { port, holds, device, hose }
}

/// The ports of a set, and after them any that has a hose on record though the
/// set has no such port: two devices made a set of one name while apart, with
/// different ports. Such a port is shown with the usual thread of its kind.
fn all_ports(set: &SetRecord) -> impl Iterator<Item = Port> {
    let strays = set.hoses.keys().filter(|name| set.port(**name).is_none());
    let strays = strays.map(|name| Port::new(*name, usual(name.kind())));
    set.ports.iter().copied().chain(strays)
}

const fn usual(kind: PortKind) -> Thread {
    match kind {
        PortKind::High => Thread::Unf7_16x20,
        PortKind::Low | PortKind::Unknown => Thread::Unf3_8x24,
    }
}

/// The free ports of a set that take a hose like this, in the order in which
/// they were given; the port named in `before` first, where it is among them,
/// since the hose was routed for it.
#[must_use]
pub fn free_ports(
    hose: &Specification,
    set: &SetRecord,
    before: Option<PortName>,
) -> Vec<PortName> {
    let takes = |port: &&Port| {
        port.pressure().is_none_or(|gives| gives == hose.service().pressure())
            && unknown_kind(hose, port).is_none()
            && *hose.fitting(End::A) == Fitting::Thread(port.thread)
            && (hose.oxygen() || !set.oxygen)
            && !set.devices.contains_key(&port.name)
            && !set.hoses.contains_key(&port.name)
    };
    let mut free: Vec<PortName> = set.ports.iter().filter(takes).map(|port| port.name).collect();
    free.sort_by_key(|name| Some(*name) != before);
    free
}
