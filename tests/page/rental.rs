//! The desk's day on the counter page is the command line's: hand-outs, returns, dives of one's own.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::like_commands::{good_set, register};
use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};

#[test]
fn a_set_goes_out_when_every_hose_was_scanned_and_comes_back() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let code = good_set(&desk, &page, "R 1/2");
    let stranger = register(&page);
    let at = "/set/R%201%2F2";
    let nothing = plain(&page.shown(&format!("{at}/out")));
    assert!(nothing.contains("0 of 1 1 hose to scan."), "{nothing}");
    // Before the first scan nothing is a fault, and what was scanned by mistake leaves
    // the list by itself.
    assert!(!nothing.contains("stays here") && !nothing.contains("anyway"), "{nothing}");
    let wrong = page.shown(&format!("{at}/out?scanned={stranger}&scanned=x&scanned={code}"));
    assert!(wrong.contains(&format!("href=\"{at}/out?scanned={code}&amp;scanned=x\"")), "{wrong}");
    let wrong = plain(&page.shown(&format!("{at}/out?scanned={stranger}")));
    assert!(wrong.contains("Not of this set") && wrong.contains("Not scanned yet"), "{wrong}");
    let stopped = page.post(&format!("{at}/out"), &[("ticket", "4711"), ("scanned", &stranger)]);
    assert_eq!(stopped.status, 409);
    let right = plain(&page.shown(&format!("{at}/out?scanned={code}&scanned={code}")));
    assert!(right.contains("1 of 1") && right.contains("is complete"), "{right}");
    let person = page.post(&format!("{at}/out"), &[("ticket", "Anna"), ("scanned", &code)]);
    assert_eq!(person.status, 400);
    assert!(plain(&person.text()).contains("A ticket is a number"), "{}", plain(&person.text()));
    let sent = [("ticket", "4711"), ("scanned", code.as_str())];
    assert_eq!(page.get(&format!("{at}/slip")).header("location"), at, "it is not out");
    let slip = page.done(&format!("{at}/out"), &sent);
    let shown = plain(&page.shown(&slip));
    assert!(shown.contains("is out on ticket 4711, with 1 hose."), "{shown}");
    assert!(shown.contains(&code) && shown.contains("Before you dive"), "{shown}");
    assert!(plain(&page.shown("/sets")).contains("Out since 2026-06-15 on ticket 4711"));
    let written = desk.export();
    assert_eq!(page.done(&format!("{at}/out"), &sent), slip, "the same form once more");
    assert_eq!(desk.export(), written);
    let again = page.post(&format!("{at}/out"), &[("ticket", "4712"), ("scanned", &code)]);
    assert_eq!(again.status, 409);
    // Every hose is scanned or named missing, and looked at.
    let untold = page.post(&format!("{at}/in"), &[("dives", "4")]);
    assert_eq!(untold.status, 409);
    assert!(plain(&untold.text()).contains("neither scanned nor named missing"));
    let here = format!("{code}|at");
    let unseen = page.post(&format!("{at}/in"), &[("dives", "4"), (&*here, "here")]);
    assert_eq!(unseen.status, 409);
    assert!(plain(&unseen.text()).contains("Nothing is said of how"), "{}", plain(&unseen.text()));
    for to in [format!("{at}/in"), "/return".to_owned()] {
        let scanned = page.shown(&format!("{to}?scanned={code}&scanned={stranger}"));
        assert!(scanned.contains("value=\"here\" required checked"), "{scanned}");
        assert!(plain(&scanned).contains("Nothing found on this one, LP1"), "{}", plain(&scanned));
        assert!(plain(&scanned).contains(&format!("{stranger} is not out. On record: in stock")));
    }
    let finding = format!("{code}|finding");
    let back = [("dives", "4"), (&*here, "here"), (&*finding, "run:cut:deep")];
    let written = page.done(&format!("{at}/in"), &back);
    assert_eq!(written, format!("{at}/returned"));
    let shown = plain(&page.shown(&written));
    assert!(shown.contains("In quarantine") && shown.contains("4 dives each"), "{shown}");
    // The same form once more writes nothing; any other is refused.
    let record = desk.export();
    assert_eq!(page.done(&format!("{at}/in"), &back), written);
    let other = [("dives", "5"), (&*here, "here"), (&*finding, "run:cut:deep")];
    assert_eq!(page.post(&format!("{at}/in"), &other).status, 409);
    assert_eq!(desk.export(), record);
    let answer = desk.json(&format!("answer {code}"));
    assert_eq!((&answer["verdict"], &answer["dives"]), (&"retire".into(), &4.into()));
    assert_eq!(page.get(&format!("{at}/in")).status, 409);
}

/// Dives outside a rental, of a hose and of a set; those of a rental come with its return.
#[test]
fn dives_of_ones_own_are_counted() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let code = good_set(&desk, &page, "R1");
    let dives = |desk: &Desk| desk.json(&format!("answer {code}"))["dives"].clone();
    assert!(page.shown("/set/R1").contains("/set/R1/change#dives"));
    assert_eq!(
        page.done("/set/R1/dived", &[("dives", "2"), ("on", "2026-06-14")]),
        "/set/R1?written=yes"
    );
    page.done(&format!("/hose/{code}/dived"), &[("dives", "3")]);
    assert_eq!(dives(&desk), 5);
    desk.done(&format!("dived {code} --dives 1"));
    let said = desk.run("dived --set R1 --dives 1");
    assert_eq!(said.out.trim(), "1 dive each on record for 1 hose of set R1.");
    assert_eq!(dives(&desk), 7);
    // More than a day has are asked about; none, a hose that is out and a day to come are
    // refused.
    page.sure(&format!("/hose/{code}/dived"), &[("dives", "7")]);
    assert_eq!(desk.run(&format!("dived {code} --dives 7")).code, 2);
    let before = desk.export();
    let at = format!("/hose/{code}/dived");
    for fields in [
        &[("dives", "")][..],
        &[("dives", "two")],
        &[("dives", "0")],
        &[("dives", "2"), ("on", "2026-06-16")],
    ] {
        for to in [at.as_str(), "/set/R1/dived"] {
            let status = page.post(to, fields).status;
            assert!(matches!(status, 400 | 409), "{to} {fields:?}: {status}");
        }
    }
    assert_eq!(desk.export(), before);
    desk.done(&format!("rental out R1 --ticket 4711 {code}"));
    let before = desk.export();
    assert_eq!(page.post(&at, &[("dives", "2")]).status, 409);
    assert_eq!(page.post("/set/R1/dived", &[("dives", "2")]).status, 409);
    assert_eq!(desk.run("dived --set R1 --dives 1").code, 2);
    assert_eq!(desk.export(), before);
}

#[test]
fn an_override_takes_a_name_and_a_reason() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let code = good_set(&desk, &page, "R1");
    page.done("/owner/limits", &[("use", "rental"), ("from_made", "1y")]);
    assert_eq!(desk.json(&format!("answer {code}"))["verdict"], "hold");
    let over = [("ticket", "4711"), ("scanned", code.as_str()), ("why", "pool session")];
    let nameless = page.post("/set/R1/out", &over);
    assert_eq!(nameless.status, 400, "{}", plain(&nameless.text()));
    let named = [over.as_slice(), &[("name", "Ruth")]].concat();
    let slip = plain(&page.shown(&page.done("/set/R1/out", &named)));
    assert!(slip.contains("over the objections: pool session"), "{slip}");
    let history = desk.run(&format!("history {code}")).out;
    assert!(history.contains("Ruth") && history.contains("pool session"), "{history}");
}

/// A set is packed with the form of its hand-out, and goes out by one click from its own
/// page or from that of a hose in it.
#[test]
fn a_packed_set_goes_out_by_a_click_unless_something_is_new() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let code = good_set(&desk, &page, "R1");
    let drawn = page.shown(&format!("/set/R1/out?scanned={code}"));
    assert!(drawn.contains("value=\"pack\"") && drawn.contains("value=\"out\""), "{drawn}");
    let sent = [("ticket", "41"), ("scanned", code.as_str()), ("answer", "pack")];
    let person = [("ticket", "Anna"), ("scanned", code.as_str()), ("answer", "pack")];
    assert_eq!(page.post("/set/R1/out", &person).status, 400);
    let set = page.done("/set/R1/out", &sent);
    for at in [set.as_str(), &format!("/hose/{code}"), "/set/R1/out"] {
        let shown = page.shown(at);
        assert!(plain(&shown).contains("Packed for ticket 41 today by"), "{at}: {}", plain(&shown));
        assert!(shown.contains("/go\""), "{at}: {shown}");
    }
    assert!(plain(&page.shown("/")).contains("ticket 41, packed today"));
    assert!(plain(&page.shown("/sets")).contains("here, packed for ticket 41"));
    // Nobody else gets it.
    let other = page.post("/set/R1/out", &[("ticket", "42"), ("scanned", &code)]);
    assert_eq!(other.status, 409);
    assert!(plain(&other.text()).contains("is packed for ticket 41"), "{}", plain(&other.text()));
    desk.done(&format!("inspect {code} --kind quick --finding run:scuff"));
    let shown = page.shown("/set/R1");
    assert!(plain(&shown).contains("New since it was packed"), "{}", plain(&shown));
    assert!(!shown.contains("/go\""), "{shown}");
    let stopped = page.post("/set/R1/go", &[]);
    assert_eq!(stopped.status, 409);
    assert!(plain(&stopped.text()).contains("On the run"), "{}", plain(&stopped.text()));
    page.done("/set/R1/unpack", &[]);
    assert!(!page.shown("/set/R1").contains("/unpack"));
    page.done("/set/R1/out", &[("ticket", "42"), ("scanned", &code), ("answer", "pack")]);
    let slip = page.done("/set/R1/go", &[]);
    assert!(plain(&page.shown(&slip)).contains("is out on ticket 42, with 1 hose."));
    assert_eq!(page.done("/set/R1/go", &[]), slip, "the same form once more");
}
