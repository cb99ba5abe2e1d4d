//! What can be done about a hose: the one thing to do next, by its reasons, and
//! everything that can be written down.

use hosewright_core::answer::{Answer, Reason};
use hosewright_core::inspection::Verdict;
use hosewright_core::record::HoseRecord;

use crate::fields::{percent_encode, query};
use crate::labels as l;

/// Something to do: where, and what it is called.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Action {
    /// The address.
    pub to: String,
    /// What the button says.
    pub label: &'static str,
}

/// What the first reason that something can be done about asks for. The
/// sentence that says so is the core's; this is the button under it.
pub fn next(answer: &Answer, record: Option<&HoseRecord>) -> Action {
    let at = |tail: &str| format!("/hose/{}{tail}", answer.code);
    // Whatever else is known of it, it is kept as it is.
    if record.is_some_and(|record| record.holds.iter().any(|hold| hold.incident)) {
        return Action { to: at("/hold#release"), label: l::RELEASE };
    }
    if let (Some(_), Some(set)) = (&answer.place.ticket, &answer.place.set) {
        return Action {
            to: format!("/set/{}/in", percent_encode(set.as_str())),
            label: l::TAKE_BACK_SET,
        };
    }
    let offered = answer.reasons.iter().find_map(|reason| offer(reason, answer, record));
    offered.unwrap_or_else(|| match answer.verdict {
        Verdict::Retire => Action { to: "/".to_owned(), label: l::SCAN_ANOTHER },
        _ => Action { to: at("/inspect?kind=quick"), label: l::QUICK },
    })
}

fn offer(reason: &Reason, answer: &Answer, record: Option<&HoseRecord>) -> Option<Action> {
    let at = |tail: &str, label| Some(Action { to: format!("/hose/{}{tail}", answer.code), label });
    let fitted = answer.place.set.is_some();
    let leak = || at("/inspect?kind=leak-test", l::LEAK);
    // By its code: two sets may have one name.
    let of_set = |tail: &str, label| {
        let set = record?.slots().next()?.set;
        Some(Action { to: format!("/set/{set}{tail}"), label })
    };
    match reason.code.as_str() {
        "retired" => Some(Action { to: "/".to_owned(), label: l::SCAN_ANOTHER }),
        code if code.starts_with("finding-") && reason.verdict == Verdict::Retire => {
            at("/care#retire", l::RETIRE)
        }
        "recalled" => {
            let origin = &answer.hose.origin;
            let lot = origin.lot.as_ref().map(ToString::to_string).unwrap_or_default();
            let code = answer.code.to_string();
            let to = query([("lot", lot.as_str()), ("text", code.as_str())]);
            let aside = record.is_some_and(|record| {
                !record.set_aside.is_empty() || !record.set_aside_for.is_empty()
            });
            // One that names more than the lot is looked for among all of them.
            let of_lot = reason.words.starts_with("Lot ");
            let to = if of_lot && !lot.is_empty() { format!("?{to}") } else { String::new() };
            (!aside).then(|| Action { to: format!("/owner/recall{to}"), label: l::FIND_RECALLED })
        }
        "swap-open" => {
            let swap = record?.swap()?;
            Some(Action { to: format!("/swap/{}/{}", swap.old, swap.new), label: l::SWAP_ON })
        }
        "leak-test-due" => leak(),
        "age-over" | "dives-over" if fitted => at("/swap", l::SWAP),
        "age-over" | "dives-over" => at("/care#retire", l::RETIRE),
        "inspection-never" | "inspection-over" | "stored-long" => at("/inspect?kind=full", l::FULL),
        "finding-coupling-leaks" | "finding-coupling-sticks" => {
            if repaired(record) && fitted {
                leak()
            } else {
                at("/care#coupling", l::RECOUPLE)
            }
        }
        "finding-bubbles" if record.is_some_and(not_said_from_where) => {
            at("/inspect?kind=full", l::FULL)
        }
        "finding-seal-missing" | "finding-seal-damaged" | "finding-bubbles"
            if reason.verdict == Verdict::Hold =>
        {
            if repaired(record) && fitted {
                leak()
            } else {
                at("/care#reseal", l::RESEAL)
            }
        }
        "finding-salt" | "finding-seal-dirty" | "finding-verdigris" => at("/care#clean", l::CLEAN),
        "age-unknown" | "recall-open" => at("/describe", l::DESCRIBE),
        "tag-old" => at("", l::SEE_ITS_OWN),
        "held" => at("/hold#release", l::RELEASE),
        "set-quarantined" => of_set("/change#release", l::RELEASE_OF_SET),
        "set-contested" => of_set("/change#change", l::SET_CHANGE_IT),
        "rented-twice" => of_set("/in", l::TAKE_BACK_SET),
        "corrected" | "not-believed" => at("/inspect?kind=full", l::FULL),
        "misfit" => at("/place", l::PLACE),
        "place-contested" => at("/place#confirm", l::CONFIRM_PLACE),
        "identity-contested" => at("/identify", l::IDENTIFY),
        "tag-only" | "not-all-read" | "record-gap" | "record-old" => {
            Some(Action { to: "/owner/record".to_owned(), label: l::BRING_IN })
        }
        _ => None,
    }
}

/// Whether something on it was repaired and waits for its leak test.
fn repaired(record: Option<&HoseRecord>) -> bool {
    record.is_some_and(|record| record.open.iter().any(|open| open.resealed.is_some()))
}

/// Whether it has bubbles at an end of which nobody has said where they come from.
fn not_said_from_where(record: &HoseRecord) -> bool {
    record.open.iter().any(|open| open.seen.is_bubbles_from_anywhere())
}

/// What each reason asks for, and everything that can be written down about a
/// hose that is here; each once.
pub fn actions(answer: &Answer, record: &HoseRecord) -> Vec<Action> {
    if record.retired.is_some() {
        return Vec::new();
    }
    let asked = answer.reasons.iter().filter_map(|reason| offer(reason, answer, Some(record)));
    let mut all: Vec<Action> = Vec::new();
    for action in asked.chain(general(answer, record)) {
        if !all.iter().any(|known| known.to == action.to) {
            all.push(action);
        }
    }
    all
}

fn general(answer: &Answer, record: &HoseRecord) -> Vec<Action> {
    let at = |tail: &str, label| Action { to: format!("/hose/{}{tail}", answer.code), label };
    let code = answer.code.to_string();
    let tag =
        Action { to: format!("/tags?{}", query([("codes", code.as_str())])), label: l::PRINT_TAG };
    let mut all = vec![at("/inspect?kind=full", l::FULL), at("/inspect?kind=quick", l::QUICK)];
    if record.seat.is_some() {
        all.push(at("/inspect?kind=leak-test", l::LEAK));
        all.push(at("/swap", l::SWAP));
    }
    all.extend([
        at("/hold", l::HOLD_TITLE),
        at("/care#clean", l::CLEAN),
        at("/care#reseal", l::RESEAL),
        at("/place", l::PLACE),
        at("/describe", l::DESCRIBE),
        at("/care#bind", l::BIND),
        at("/care#retag", l::RETAG),
        tag,
        at("/care#retire", l::RETIRE),
    ]);
    all
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use chrono::NaiveDate;
    use hosewright_core::answer::REASONS;
    use hosewright_core::device::FolderKeyring;
    use hosewright_core::hose::{
        Construction, Fitting, Label, Origin, Service, Specification, Thread,
    };
    use hosewright_core::journal::Moment;
    use hosewright_core::policy::Use;
    use hosewright_core::{Found, Logbook, Registration};
    use rand::SeedableRng;
    use rand::rngs::StdRng;

    use super::*;

    /// Reasons that name nothing to be written down at once; a swap that is
    /// open has its button where there is one.
    const WITHOUT: &[&str] =
        &["age-near", "clock-odd", "dives-near", "inspection-near", "swap-open"];

    #[test]
    fn every_reason_has_its_button_or_is_known_to_have_none() {
        let folder = tempfile::tempdir().unwrap();
        let keys = Box::new(FolderKeyring::new(folder.path().join("keys")));
        let random = Box::new(StdRng::seed_from_u64(7));
        let mut book = Logbook::open(&folder.path().join("store"), random, keys).unwrap();
        let today: NaiveDate = "2026-06-15".parse().unwrap();
        let time = today.and_hms_opt(12, 0, 0).unwrap().and_utc();
        let moment = Moment { today, time, by: Label::new("a name", "tester").unwrap() };
        let (a, b) = (Fitting::Thread(Thread::Unf3_8x24), Fitting::QuickDisconnect);
        let length = "22 in".parse().unwrap();
        let (service, construction) = (Service::Inflator, Construction::Rubber);
        let specification = Specification::new(service, construction, length, a, b, false).unwrap();
        let lot = Label::new("a lot", "B17").ok();
        let origin = Origin { lot, ..Origin::default() };
        let new = Registration { specification, origin, tag: None };
        let hose = book.register(new, None, &moment).unwrap();
        let set = Label::new("the name of a set", "R1").unwrap();
        let ports = ["LP:3/8-24=2".parse().unwrap()];
        book.assemble(set.clone(), Use::Rental, &ports, None, &moment).unwrap();
        let port = "LP1".parse().unwrap();
        book.fit(hose, &set, port, None, &moment).unwrap();
        let answer = book.answer_found(Found { hose, tag: None }, &moment).unwrap();
        let record = book.record(hose).unwrap();
        let without = REASONS.iter().filter(|rule| {
            let (words, todo) = (String::new(), String::new());
            let reason = Reason { code: rule.code.to_owned(), verdict: rule.rental, words, todo };
            offer(&reason, &answer, Some(&record)).is_none()
        });
        let mut without: Vec<&str> = without.map(|rule| rule.code).collect();
        without.sort_unstable();
        assert_eq!(without, WITHOUT);
        // The first reason that asks for something decides.
        assert_eq!(next(&answer, Some(&record)).label, l::FULL);
    }
}
