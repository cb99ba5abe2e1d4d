//! What was corrected, and what is not believed: both wait for a full inspection.

use super::description::{Statement, replaces, statements};
use super::ending::Matter;
use super::hose::{HoseRecord, worst_rule};
use super::ledger::{Ledger, Line};
use super::parts::{CorrectedThing, Correction, Disbelieved};
use super::versions::look_of;
use crate::event::Event;
use crate::hose::{End, Specification};
use crate::inspection::{Look, Verdict};

/// The corrections that no full inspection has looked at.
pub(super) fn corrections(record: &HoseRecord, ledger: &Ledger<'_>) -> Vec<Correction> {
    let all = ledger.lines.iter().filter(|line| line.adds()).filter_map(|line| {
        let (what, why, verdict) = match line.event.as_ref()? {
            Event::Withdrawn { why, .. } => {
                (CorrectedThing::Withdrawal, why, withdrawal(record, ledger, line)?)
            }
            Event::Described { why: Some(why), .. } => {
                (CorrectedThing::Description, why, description(record, ledger, line)?)
            }
            Event::Dismissed { why, .. } => {
                (CorrectedThing::Dismissal, why, dismissal(record, ledger, line)?)
            }
            _ => return None,
        };
        let (on, by, why) = (line.entry.on, line.entry.by.clone(), why.clone());
        let open = !ledger.enders(Matter::Correction, line).any(|end| looks_at(end, line));
        open.then_some(Correction { entry: line.id, on, by, why, what, verdict })
    });
    all.collect()
}

/// How bad it is that entries were taken back; nothing if none of them says
/// anything against the hose or for it.
fn withdrawal(record: &HoseRecord, ledger: &Ledger<'_>, line: &Line<'_>) -> Option<Verdict> {
    let targets = ledger.withdrawn.iter().chain(&ledger.lines).filter(|other| line.names(other));
    targets.filter_map(|target| weight(record, target.event.as_ref())).max()
}

/// How bad it is that entries which are not believed were dismissed.
fn dismissal(record: &HoseRecord, ledger: &Ledger<'_>, line: &Line<'_>) -> Option<Verdict> {
    let targets = ledger.lines.iter().filter(|other| !other.adds() && line.names(other));
    let counts = targets.filter(|_| line.counts());
    counts.filter_map(|target| would_be(record, target.event.as_ref())).max()
}

fn weight(record: &HoseRecord, event: Option<&Event>) -> Option<Verdict> {
    let Some(event) = event else { return Some(Verdict::Watch) };
    if let Some(look) = look_of(event) {
        let worst = worst_of(record, look);
        return Some(if worst >= Verdict::Hold { Verdict::Hold } else { Verdict::Watch });
    }
    match event {
        Event::Retired { .. } => Some(Verdict::Hold),
        // One of two registrations of one tag.
        Event::Registered { .. } if record.is_registered() => Some(Verdict::Hold),
        Event::Bound { .. } | Event::Photographed { .. } | Event::Held(_) => None,
        // A packing says nothing of a hose that an answer rests on.
        Event::Packed(_) | Event::Unpacked(_) => None,
        _ => Some(Verdict::Watch),
    }
}

/// The worst of what an inspection saw.
fn worst_of(record: &HoseRecord, look: &Look) -> Verdict {
    let rules = look.findings.iter().map(|seen| record.rule(seen));
    let verdicts = rules.map(|rule| rule.map_or(Verdict::Watch, |rule| rule.verdict));
    verdicts.max().unwrap_or(Verdict::Ready)
}

/// How bad it is that a hose was described otherwise; nothing if only what
/// was unknown, or gives no reason, is another.
fn description(record: &HoseRecord, ledger: &Ledger<'_>, line: &Line<'_>) -> Option<Verdict> {
    let now = line.event.as_ref().and_then(Statement::of).filter(|_| line.counts())?;
    let lines = statements(record.hose, ledger);
    let replaced = lines.iter().filter(|other| replaces(line, other));
    let replaced: Vec<Statement<'_>> =
        replaced.filter_map(|other| Statement::of(other.event.as_ref()?)).collect();
    let specifications: Vec<&Specification> =
        replaced.iter().filter_map(|statement| statement.specification).collect();
    if let Some(new) = now.specification
        && specifications.iter().any(|old| differ(old, new))
    {
        let softer = |seen| {
            let (old, new) = (worst_rule(seen, &specifications), worst_rule(seen, &[new]));
            let verdict = |rule: Option<&crate::inspection::FindingRule>| {
                rule.map_or(Verdict::Watch, |rule| rule.verdict)
            };
            verdict(old) >= Verdict::Hold && verdict(new) < verdict(old)
        };
        let looks = ledger.lines.iter().filter_map(|line| look_of(line.event.as_ref()?));
        let softened = looks.flat_map(|look| &look.findings).any(softer);
        return Some(if softened { Verdict::Hold } else { Verdict::Watch });
    }
    let other = replaced.iter().any(|old| {
        is_other(old.made(), now.made())
            || is_other(old.bought(), now.bought())
            || is_other(old.in_service(), now.in_service())
            || is_other(old.maker(), now.maker())
            || is_other(old.lot(), now.lot())
            || is_other(old.model(), now.model())
    });
    other.then_some(Verdict::Watch)
}

/// Whether something that was known is another now.
fn is_other<T: PartialEq>(old: Option<Option<T>>, new: Option<Option<T>>) -> bool {
    match (old, new) {
        (Some(Some(old)), Some(new)) => new != Some(old),
        _ => false,
    }
}

/// Whether two descriptions differ in something that a reason rests on: how
/// long a hose is gives none.
fn differ(a: &Specification, b: &Specification) -> bool {
    let of = |hose: &Specification| {
        let ends = (hose.fitting(End::A).clone(), hose.fitting(End::B).clone());
        (hose.service(), hose.construction(), ends, hose.oxygen())
    };
    of(a) != of(b)
}

/// The entries that are not believed, would make the answer worse, and that
/// nobody has judged.
pub(super) fn disbelieved(record: &HoseRecord, ledger: &Ledger<'_>) -> Vec<Disbelieved> {
    let all = ledger.lines.iter().filter(|line| !line.adds()).filter_map(|line| {
        let verdict = would_be(record, line.event.as_ref())?;
        let (on, by) = (line.entry.on, line.entry.by.clone());
        let says = line.event.clone().map(Box::new);
        let open = !ledger.enders(Matter::Disbelief, line).any(|end| looks_at(end, line));
        open.then_some(Disbelieved { entry: line.id, on, by, says, verdict })
    });
    all.collect()
}

/// Whether what names an entry is of a day on which it was there: an inspection
/// ends nothing of a later day; an admission and a dismissal have no such day.
fn looks_at(end: &Line<'_>, line: &Line<'_>) -> bool {
    let looks = end.event.as_ref().and_then(look_of).is_some();
    !looks || end.entry.on >= line.entry.on
}

/// How bad it is that something is not believed; nothing for what could only
/// make an answer better.
fn would_be(record: &HoseRecord, event: Option<&Event>) -> Option<Verdict> {
    let Some(event) = event else { return Some(Verdict::Watch) };
    if let Some(look) = look_of(event) {
        let failed = look.test.as_ref().is_some_and(|test| !test.passed);
        return match worst_of(record, look) {
            Verdict::Retire => Some(Verdict::Hold),
            worst => (failed || worst > Verdict::Ready).then_some(Verdict::Watch),
        };
    }
    match event {
        Event::Retired { .. } => Some(Verdict::Hold),
        Event::Bound { .. }
        | Event::Photographed { .. }
        | Event::Cleaned { .. }
        | Event::CleanedBefore { .. }
        | Event::Removed(_)
        | Event::RemovedBefore(_)
        | Event::Released(_)
        | Event::ReturnedBefore(_)
        | Event::SetAside { .. }
        | Event::GoneHome(_)
        | Event::Packed(_)
        | Event::Unpacked(_)
        | Event::SetAsideFor { .. }
        | Event::CheckedOff { .. }
        | Event::Admitted { .. }
        | Event::Dismissed { .. } => None,
        _ => Some(Verdict::Watch),
    }
}
