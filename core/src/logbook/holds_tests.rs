//! What an incident refuses, and what it does not. Source: common practice, no
//! source.

use super::super::SetEdit;
use super::super::rentals::tests::{Wharf, all_back, good, moment, wharf};
use super::*;
use crate::hose::{End, Origin};
use crate::inspection::Form;
use crate::inspection::InspectionKind::{self, Full, Quick};
use crate::policy::Use;
use crate::story::{label, port_name};

const DAY: &str = "2026-06-18";

/// Something that someone does to a hose.
type Act = (&'static str, fn(&mut Wharf, Code) -> Result<(), LogbookError>);

/// What changes a hose, or says that it is another.
const REFUSED: &[Act] = &[
    ("cleaned", |w, hose| w.book.clean(hose, None, &moment(DAY)).map(drop)),
    ("new O-rings", |w, hose| w.book.reseal(hose, End::A, None, None, &moment(DAY)).map(drop)),
    ("a new coupling", |w, hose| w.book.recouple(hose, None, &moment(DAY)).map(drop)),
    ("moved", |w, hose| {
        w.book.fit(hose, &label("Heron"), port_name("LP4"), None, &moment(DAY)).map(drop)
    }),
    ("removed", |w, hose| w.book.remove(hose, None, &moment(DAY)).map(drop)),
    ("retired", |w, hose| w.book.retire(hose, label("worn"), None, &moment(DAY)).map(drop)),
    ("a new tag", |w, hose| w.book.retag(hose, None, None, &moment(DAY)).map(drop)),
    ("a barcode", |w, hose| w.book.bind(hose, label("8710"), &moment(DAY)).map(drop)),
    ("dived", |w, hose| w.book.dived(&[hose], 1, None, &moment(DAY))),
    ("described", |w, hose| {
        let record = w.book.record(hose)?;
        let origin = Origin { maker: Some(label("Kelpline")), ..record.origin };
        let what = (w.book.specification(hose)?, origin);
        w.book.describe(hose, what, Some(label("looked")), &moment(DAY)).map(drop)
    }),
    ("a swap", |w, _| {
        let (hoses, step) = ((w.heron[1], w.stock), ("depressurised", "done"));
        w.book.swap_step(hoses, None, step, None, &moment(DAY)).map(drop)
    }),
    ("looked over in full", |w, hose| looked(w, hose, Full, &[])),
    ("the set's use", |w, _| {
        let changes = SetEdit { in_use: Some(Use::Personal), ..SetEdit::default() };
        w.book.change_set(&label("Heron"), changes, Some(label("sold")), &moment(DAY))
    }),
];

/// After an incident nothing is done to a hose, or to one that came in since, but
/// what says more against it; the owner releases it.
#[test]
fn after_an_incident_only_findings_holds_and_a_return_are_written() {
    for (what, act) in REFUSED {
        let mut wharf = wharf();
        let hose = wharf.heron[3];
        good(wharf.book.hold_set(&label("Heron"), label("a diver was hurt"), true, &moment(DAY)));
        let before = wharf.exported();
        let said = act(&mut wharf, hose).err().map(|e| e.to_string()).unwrap_or_default();
        assert!(said.contains("incident"), "{what}: {said}");
        assert_eq!(wharf.exported(), before, "{what}: it was written");
        // Without it, the same is done.
        good(wharf.book.release_set(&label("Heron"), &label("examined"), &moment(DAY)));
        good(act(&mut wharf, hose));
    }
    let mut wharf = wharf();
    let scans = wharf.scans();
    good(wharf.out(&scans, None));
    let hose = wharf.heron[3];
    good(wharf.book.hold_set(&label("Heron"), label("a diver was hurt"), true, &moment(DAY)));
    good(looked(&mut wharf, hose, Quick, &["run:cut:deep"]));
    good(wharf.book.hold(hose, label("wet inside"), false, &moment(DAY)));
    let back = all_back(&wharf.book, "Heron", Some(1), &[]);
    good(wharf.book.take_back(&label("Heron"), &back, None, &moment(DAY)));
    let answer = good(wharf.book.answer(&hose.to_string(), &moment(DAY)));
    assert!(answer.reasons.iter().any(|reason| reason.code == "finding-cut"));
    assert_eq!(answer.reasons.iter().filter(|reason| reason.code == "held").count(), 2);
    let (ticket, why) = (label("T-18"), Some(label("late")));
    let out = wharf.book.hand_out(&label("Heron"), ticket, &scans, why, None, &moment(DAY));
    assert!(out.is_err(), "no reason lifts it");
}

fn looked(
    wharf: &mut Wharf,
    hose: Code,
    kind: InspectionKind,
    seen: &[&str],
) -> Result<(), LogbookError> {
    let specification = wharf.book.specification(hose)?;
    let mut form = Form::new(kind, &specification);
    form.clear_rest();
    for seen in seen {
        form.found(good(seen.parse()))?;
    }
    wharf.book.inspect(hose, form.finish()?, None, &moment(DAY)).map(drop)
}
