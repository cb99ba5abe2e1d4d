//! What is known of a set by itself, and the line that a hose's answer has for
//! the set that it is in.

use chrono::NaiveDate;
use serde::Serialize;

use super::doubt::RECORD_OLD_DAYS;
use super::facts::Heard;
use super::reason::{Reason, ahead};
use crate::event::{PortName, SetId};
use crate::hose::Label;
use crate::inspection::Verdict::{self, Hold, Watch};
use crate::policy::Use;
use crate::record::{FleetRecord, SetRecord};
use crate::tag::Code;
use crate::words::{self, Said};

/// A question about a set and what its answer depends on, but for its hoses.
#[derive(Debug, Clone, Copy)]
pub struct AskedOfSet<'a> {
    /// The set's record.
    pub set: &'a SetRecord,
    /// Limits and recalls.
    pub fleet: &'a FleetRecord,
    /// Today.
    pub today: NaiveDate,
    /// What the store has heard.
    pub heard: Heard,
}

/// The worst hose of a set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct WorstHose {
    /// The tag that it carries.
    pub code: Code,
    /// The port that it is in.
    pub port: PortName,
}

/// How the set of a hose stands: the second line of the hose's answer. It
/// changes nothing of the hose's own verdict.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SetLine {
    /// The set's code.
    pub id: SetId,
    /// Its name.
    pub name: Label,
    /// The worst of its own reasons and of its hoses.
    pub verdict: Verdict,
    /// The worst hose in it; none if nothing is to be said of any.
    pub worst: Option<WorstHose>,
    /// The line.
    pub words: String,
}

/// A hose in a port of a set, with every reason for its verdict.
#[derive(Debug, Clone)]
pub struct InPort {
    /// The port.
    pub port: PortName,
    /// The tag that it carries.
    pub code: Code,
    /// Every reason, worst first.
    pub reasons: Vec<Reason>,
}

/// A set's status: the worst of its own reasons and of its hoses'.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Standing {
    /// The worst of all.
    pub verdict: Verdict,
    /// The worst hose by more than what holds for the whole set, and how bad
    /// that is.
    pub worst: Option<(WorstHose, Verdict)>,
}

impl Standing {
    /// Of a set's own reasons and its hoses, by port.
    #[must_use]
    pub fn of(own: &[Reason], hoses: &[InPort]) -> Self {
        let mut standing = Self { verdict: worst(own.iter()), worst: None };
        for hose in hoses {
            let by_itself = worst(hose.reasons.iter().filter(|reason| !own.contains(reason)));
            standing.verdict = standing.verdict.max(worst(hose.reasons.iter()));
            let before = standing.worst.map_or(Verdict::Ready, |(_, verdict)| verdict);
            if by_itself > before {
                standing.worst = Some((WorstHose { code: hose.code, port: hose.port }, by_itself));
            }
        }
        standing
    }

    /// The worst hose's port, where the set is as bad as that for its sake.
    #[must_use]
    pub fn port(&self) -> Option<PortName> {
        self.worst.filter(|(_, verdict)| *verdict == self.verdict).map(|(hose, _)| hose.port)
    }
}

fn worst<'r>(reasons: impl Iterator<Item = &'r Reason>) -> Verdict {
    reasons.map(|reason| reason.verdict).max().unwrap_or(Verdict::Ready)
}

/// The second line of a hose's answer; without a hose the first of its set's.
#[must_use]
pub fn set_line(
    hose: Option<Verdict>,
    set: &SetRecord,
    own: &[Reason],
    hoses: &[InPort],
) -> SetLine {
    let standing = Standing::of(own, hoses);
    let (name, verdict, port) = (&set.name, standing.verdict, standing.port());
    let words = match hose {
        Some(hose) => words::sets::second_line(hose, name, verdict, port),
        None => words::sets::standing(name, verdict, port),
    };
    let worst = standing.worst.map(|(hose, _)| hose);
    SetLine { id: set.id, name: name.clone(), verdict, worst, words }
}

/// Every reason that a set has by itself, worst first: what speaks against it
/// whatever hose is in it.
#[must_use]
pub fn set_reasons(asked: &AskedOfSet<'_>) -> Vec<Reason> {
    let set = asked.set;
    let mut all: Vec<Reason> = Vec::new();
    let mut tell = |code: &str, verdict: Verdict, said: Said| {
        all.push(Reason { code: code.to_owned(), verdict, words: said.words, todo: said.todo });
    };
    for hold in &set.holds {
        tell("held", Hold, words::held(hold, Some(&set.name)));
    }
    for swap in &set.swaps {
        tell("swap-open", Hold, words::swap_in_set(swap, &set.name));
    }
    for hold in &set.quarantines {
        tell("set-quarantined", Hold, words::set_quarantined(hold, &set.name));
    }
    if set.contested {
        tell("set-contested", Watch, words::set_contested(&set.name));
    }
    if set.unread + asked.fleet.unread > 0 {
        tell("not-all-read", Watch, words::sets::not_all_read(&set.name));
    }
    if set.unmade {
        tell("not-all-read", Watch, words::sets::not_made(&set.name));
    }
    if asked.heard.gap.is_some() {
        tell("record-gap", Watch, words::sets::record_gap());
    }
    let days = match set.in_use {
        Use::Rental => RECORD_OLD_DAYS.0,
        Use::Personal => RECORD_OLD_DAYS.1,
    };
    let old = |met: &NaiveDate| {
        met.checked_add_days(chrono::Days::new(days)).is_some_and(|last| asked.today > last)
    };
    if let Some(met) = asked.heard.met_on.filter(old) {
        tell("record-old", Watch, words::record_old(met));
    }
    let newest = ahead(set.newest_at, asked.heard.newest_on, asked.today);
    if let Some(newest) = newest {
        tell("clock-odd", Watch, words::clock_odd(asked.today, newest));
    }
    let tickets: Vec<&Label> = set.rented_twice.iter().collect();
    if !tickets.is_empty() {
        tell("rented-twice", Watch, words::rented_twice(&tickets));
    }
    all.sort_by_key(|reason| std::cmp::Reverse(reason.verdict));
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{EntryId, Event, Held};
    use crate::journal::Stamp;
    use crate::record::OpenSwap;
    use crate::story::{Story, code, day, label, port_name, ports, set_record, slot};

    fn reason(code: &str, verdict: Verdict) -> Reason {
        let (words, todo) = (format!("Because of {code}."), "Do.".to_owned());
        Reason { code: code.to_owned(), verdict, words, todo }
    }

    fn hose(number: u64, port: &str, reasons: &[Reason]) -> InPort {
        InPort { port: port_name(port), code: code(number), reasons: reasons.to_vec() }
    }

    /// The set's verdict is the worst of all in it; the port is that of the first
    /// of the hoses that are as bad, by more than holds for the whole set.
    #[test]
    fn the_line_names_the_worst_hose() {
        use Verdict::{Ready, Retire};
        let (watch, hold) = (reason("finding-cut", Watch), reason("leak-test-due", Hold));
        let retire = reason("finding-bulge", Retire);
        let (quarantine, old) = (reason("set-quarantined", Hold), reason("record-old", Watch));
        type Row = (Vec<Reason>, Vec<InPort>, Verdict, Option<u64>, &'static str);
        let table: Vec<Row> = vec![
            (vec![], vec![], Ready, None, "Set R3: ready."),
            (vec![], vec![hose(1, "HP1", &[]), hose(2, "LP1", &[])], Ready, None, "Set R3: ready."),
            (
                vec![],
                vec![hose(1, "LP1", &[]), hose(2, "LP2", std::slice::from_ref(&watch))],
                Watch,
                Some(2),
                "Set R3: watch, LP2.",
            ),
            (
                vec![],
                vec![
                    hose(1, "LP1", std::slice::from_ref(&hold)),
                    hose(2, "LP2", std::slice::from_ref(&hold)),
                ],
                Hold,
                Some(1),
                "Set R3: hold, LP1.",
            ),
            (
                vec![],
                vec![hose(1, "LP1", std::slice::from_ref(&hold)), hose(2, "LP2", &[retire, hold])],
                Retire,
                Some(2),
                "Set R3: retire, LP2.",
            ),
            (
                vec![quarantine.clone()],
                vec![
                    hose(1, "LP1", std::slice::from_ref(&quarantine)),
                    hose(2, "LP2", std::slice::from_ref(&quarantine)),
                ],
                Hold,
                None,
                "Set R3: hold, the whole set.",
            ),
            (
                vec![quarantine.clone()],
                vec![hose(1, "LP1", &[quarantine.clone(), watch])],
                Hold,
                Some(1),
                "Set R3: hold, the whole set.",
            ),
            (
                vec![old.clone()],
                vec![hose(1, "LP1", &[old])],
                Watch,
                None,
                "Set R3: watch, the whole set.",
            ),
        ];
        for (own, hoses, verdict, worst, line) in table {
            let standing = Standing::of(&own, &hoses);
            assert_eq!(standing.verdict, verdict, "{line}");
            assert_eq!(standing.worst.map(|(hose, _)| hose.code), worst.map(code), "{line}");
            let words =
                words::sets::second_line(Ready, &label("R3"), standing.verdict, standing.port());
            assert_eq!(words, format!("This hose: ready. {line}"));
        }
    }

    fn holds() -> Vec<crate::record::Hold> {
        let (hose, set, hoses, incident) = (Some(code(1)), None, Vec::new(), false);
        let event = Event::Held(Held { hose, set, hoses, why: label("doubted"), incident });
        Story::lp("2026-01-01").then("2026-06-01", event).record("2026-06-15").holds
    }

    fn swap() -> OpenSwap {
        let (entries, steps) = (vec![EntryId::new([2; 32])], Vec::new());
        let (slot, since) = (slot("R3", "LP1"), day("2026-06-01"));
        OpenSwap { entries, old: code(1), new: code(2), slot, since, steps, instead: None }
    }

    /// What speaks against a set by itself, the worst first, and nothing without a
    /// cause. How long a device may have met no other depends on the set's use.
    #[test]
    fn a_set_has_the_reasons_that_hold_whatever_hose_is_in_it() {
        type Cause = fn(&mut SetRecord, &mut FleetRecord, &mut Heard);
        let met: fn(&str) -> Option<NaiveDate> = |on| Some(day(on));
        let rows: [(Use, Option<NaiveDate>, Cause, &str); 18] = [
            (Use::Rental, None, |_, _, _| (), ""),
            (Use::Rental, None, |set, _, _| set.holds = holds(), "held hold"),
            (Use::Rental, None, |set, _, _| set.swaps = vec![swap()], "swap-open hold"),
            (Use::Rental, None, |set, _, _| set.quarantines = holds(), "set-quarantined hold"),
            (Use::Rental, None, |set, _, _| set.contested = true, "set-contested watch"),
            (Use::Rental, None, |set, _, _| set.unread = 1, "not-all-read watch"),
            (Use::Rental, None, |_, fleet, _| fleet.unread = 1, "not-all-read watch"),
            (Use::Rental, None, |set, _, _| set.unmade = true, "not-all-read watch"),
            (
                Use::Rental,
                None,
                |_, _, heard| heard.gap = Some(Stamp::default()),
                "record-gap watch",
            ),
            (Use::Rental, met("2026-06-08"), |_, _, _| (), ""),
            (Use::Rental, met("2026-06-07"), |_, _, _| (), "record-old watch"),
            (Use::Personal, met("2026-05-16"), |_, _, _| (), ""),
            (Use::Personal, met("2026-05-15"), |_, _, _| (), "record-old watch"),
            (Use::Rental, None, |_, _, heard| heard.newest_on = day("2026-06-15"), ""),
            (
                Use::Rental,
                None,
                |_, _, heard| heard.newest_on = day("2026-06-16"),
                "clock-odd watch",
            ),
            (
                Use::Rental,
                None,
                |set, _, _| set.rented_twice = vec![label("R-1"), label("R-2")],
                "rented-twice watch",
            ),
            (
                Use::Rental,
                None,
                |set, _, _| (set.unread, set.unmade) = (1, true),
                "not-all-read watch, not-all-read watch",
            ),
            (
                Use::Rental,
                None,
                |set, _, _| (set.contested, set.quarantines) = (true, holds()),
                "set-quarantined hold, set-contested watch",
            ),
        ];
        for (row, (in_use, met_on, cause, expected)) in rows.into_iter().enumerate() {
            let mut set = set_record("R3", in_use, ports(), "2026-01-01");
            let mut fleet = FleetRecord::default();
            let newest_on = day("2026-06-01");
            let (devices, complete, forked, gap) = (1, true, false, None);
            let mut heard = Heard { newest_on, devices, complete, forked, gap, met_on };
            cause(&mut set, &mut fleet, &mut heard);
            let today = day("2026-06-15");
            let told = set_reasons(&AskedOfSet { set: &set, fleet: &fleet, today, heard });
            let told: Vec<String> =
                told.iter().map(|reason| format!("{} {}", reason.code, reason.verdict)).collect();
            assert_eq!(told.join(", "), expected, "row {row}");
        }
    }

    /// An answer is a hose's and never its regulator's.
    #[test]
    fn no_answer_speaks_of_the_regulator() {
        for verdict in Verdict::ALL {
            for code in ["", "tag-only", "leak-test-due", "age-near", "record-old"] {
                let said = words::meaning(*verdict, code, false);
                assert!(!said.contains("regulator"), "{said}");
            }
        }
        assert!(words::meaning(Verdict::Ready, "", false).contains("this hose"));
    }
}
