//! The counter page calls others: how far it is is shown, and it is stopped.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::thread::sleep;
use std::time::Duration;

use hosewright_tests::desk::Desk;
use hosewright_tests::network::{self, at, counter, symbol};
use hosewright_tests::page::{Page, plain};

use crate::desks::{agree, listed, many};

#[test]
fn a_page_calls_another_counter() {
    let (shop, bench) = (Desk::new(), Desk::new());
    shop.hose();
    bench.hose();
    let (counter_page, door) = counter(&shop);
    let page = Page::of(&bench, &[]);
    let call = |place: &str| page.met("/owner/meet/call", &[("place", place), ("word", "")]);
    for (place, why) in [
        ("", "knows no counter yet"),
        ("somewhere", "neither a counter's symbol nor an address"),
        ("https://nowhere", "a name or four numbers"),
        ("HWC1:half", "was not read whole"),
    ] {
        let said = call(place);
        assert_eq!(said.status, 400, "{place}");
        assert!(plain(&said.text()).contains(why), "{place}: {}", plain(&said.text()));
    }
    let said = call(&at(&symbol(&counter_page), &door));
    let words = plain(&said.text());
    assert_eq!(said.status, 200, "{words}");
    assert!(words.contains("Met the counter") && words.contains("1 entry sent"), "{words}");
    agree(&shop, &bench);
    bench.hose();
    let words = plain(&call("").text());
    assert!(words.contains("1 entry sent, 1 of them new there"), "{words}");
    drop(counter_page);
    let words = plain(&call("").text());
    assert!(words.contains("can't be reached"), "{words}");
}

/// What a meeting's page shows once it is over.
fn over(page: &Page) -> String {
    loop {
        let shown = page.shown(UNDER_WAY);
        if !shown.contains("data-goes-on") {
            return shown;
        }
        sleep(Duration::from_millis(20));
    }
}

/// Until its page says that it waits.
fn waits(page: &Page) {
    loop {
        let shown = page.shown(UNDER_WAY);
        assert!(shown.contains("data-goes-on"), "{}", plain(&shown));
        if shown.contains("Waiting for the other side.") {
            return;
        }
        sleep(Duration::from_millis(20));
    }
}

const UNDER_WAY: &str = "/owner/meet/under-way";

#[test]
fn a_page_shows_how_far_a_meeting_is_and_stops_it() {
    let (shop, bench, stick) = (Desk::new(), Desk::new(), tempfile::tempdir().unwrap());
    shop.hose();
    bench.hose();
    let (counter_page, door) = counter(&shop);
    let mut page = Page::of(&bench, &[]);
    assert_eq!(page.get(UNDER_WAY).status, 303, "none was begun");
    let silent = format!("https://{}", network::silent());
    let call = [("place", silent.as_str()), ("word", "a secret word")];
    assert_eq!(page.done("/owner/meet/call", &call), UNDER_WAY);
    waits(&page);
    // Everything else goes on.
    let code = bench.hose();
    assert!(page.shown(&format!("/hose/{code}")).contains(code.as_str()));
    assert_eq!(
        page.done(&format!("/hose/{code}/hold"), &[("why", "cut")]),
        format!("/hose/{code}?written=yes")
    );
    assert!(page.shown("/owner/meet").contains("How far is it?"));
    // One at a time; whoever began it is led to it.
    let folder = [("folder", stick.path().to_str().unwrap())];
    for (form, fields) in [("call", &call[..]), ("folder", &folder)] {
        let led = page.done(&format!("/owner/meet/{form}"), fields);
        assert_eq!(led, format!("{UNDER_WAY}?busy=yes"));
        assert!(plain(&page.shown(&led)).contains("there is one at a time"));
    }
    // Another session, and the demonstration, see nothing of it and don't stop it.
    page.headers.push("Cookie: hosewright_session=another".to_owned());
    assert_eq!(page.get(UNDER_WAY).status, 303);
    assert!(!page.shown("/owner/meet").contains("How far is it?"));
    page.done(&format!("{UNDER_WAY}/stop"), &[]);
    let refused = page.post("/owner/meet/folder", &folder);
    assert_eq!(refused.status, 409, "{}", plain(&refused.text()));
    assert!(plain(&refused.text()).contains("there is one at a time"));
    assert!(refused.text().contains(folder[0].1), "what was typed is still there");
    page.headers.pop();
    let demo = page.post("/demo", &[]);
    let cookie = demo.header("set-cookie").split(';').next().unwrap().to_owned();
    page.headers.push(format!("Cookie: {cookie}"));
    assert_eq!(page.get(UNDER_WAY).status, 400);
    assert!(!page.shown("/owner/meet").contains("How far is it?"));
    page.headers.pop();
    assert!(page.shown(UNDER_WAY).contains("data-goes-on"), "nobody stopped it");

    page.done(&format!("{UNDER_WAY}/stop"), &[]);
    let shown = over(&page);
    let words = plain(&shown);
    assert!(words.contains("Stopped, as asked. Nothing is half done"), "{words}");
    assert!(shown.contains(&format!("value=\"{silent}\"")), "the place is still there");
    assert!(!shown.contains("a secret word"), "a pass word is on no page");
    // It stays readable, and the next one goes through.
    assert!(page.shown("/owner/meet").contains("What came of it"));
    let place = at(&symbol(&counter_page), &door);
    let met = page.met("/owner/meet/call", &[("place", &place), ("word", "")]);
    assert!(plain(&met.text()).contains("3 entries sent"), "{}", plain(&met.text()));
    assert!(plain(&page.shown(UNDER_WAY)).contains("3 entries sent"));
    agree(&shop, &bench);
}

#[test]
fn a_meeting_that_fails_says_why_and_can_be_begun_again() {
    let desk = Desk::new();
    desk.hose();
    let page = Page::of(&desk, &[]);
    let nobody = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let place = format!("https://{}", nobody.local_addr().unwrap());
    drop(nobody);
    let shown = page.met("/owner/meet/call", &[("place", &place), ("word", "")]).text();
    let words = plain(&shown);
    assert!(words.contains("did not go through") && words.contains("can't be reached"), "{words}");
    assert!(shown.contains(&format!("value=\"{place}\"")), "{words}");
    // A server that takes a connection and says nothing is left too, and so is the page.
    let nobody = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let place = format!("postgres://desk@{}/fleet", nobody.local_addr().unwrap());
    let call = [("place", place.as_str()), ("word", "")];
    page.done("/owner/meet/call", &call);
    waits(&page);
    page.done(&format!("{UNDER_WAY}/stop"), &[]);
    let words = plain(&over(&page));
    assert!(words.contains("Stopped, as asked. Nothing is half done"), "{words}");
    page.done("/owner/meet/call", &call);
    assert!(page.interrupted(), "the page ends while a meeting goes on");
    desk.done("check");
}

#[test]
fn a_file_of_many_entries_comes_in_beside_its_page() {
    let (shop, bench) = (Desk::new(), Desk::new());
    listed(&shop, "A", 5_100);
    shop.done("bundle --out many.hwbundle");
    let bundle = fs::read(shop.path("many.hwbundle")).unwrap();
    let page = Page::of(&bench, &[]);
    let bring = || {
        let sent = page.file("/owner/record/entries", &[], "file", &bundle);
        assert_eq!((sent.status, sent.header("location")), (303, UNDER_WAY));
    };
    // Cut short, it is said where it stands, and what is whole of it is kept.
    let half = page.file("/owner/record/entries", &[], "file", &bundle[..bundle.len() / 2]);
    assert_eq!(half.status, 303);
    let shown = over(&page);
    assert!(plain(&shown).contains("Refused:"), "{}", plain(&shown));
    bring();
    let shown = over(&page);
    assert!(plain(&shown).contains("entries new"), "{}", plain(&shown));
    // Its device can be shown what it lacks.
    assert!(shown.contains("action=\"/owner/meet/show\""), "{shown}");
    agree(&shop, &bench);
    // Whose entries are not believed is asked first.
    bench.done("device found");
    let device = shop.json("device show")["device"].as_str().unwrap().to_owned();
    bench.done(&format!("device dismiss {device}"));
    many(&shop, "B", 10);
    shop.done("bundle --out more.hwbundle");
    let more = fs::read(shop.path("more.hwbundle")).unwrap();
    let asked = page.file("/owner/record/entries", &[], "file", &more);
    assert_eq!(asked.header("location"), UNDER_WAY);
    while page.get(UNDER_WAY).text().contains("data-goes-on") {
        sleep(Duration::from_millis(20));
    }
    let ended = page.get(UNDER_WAY);
    let to = ended.header("location").to_owned();
    assert!(to.starts_with("/owner/record/entries?file="), "{to}{}", plain(&ended.text()));
    let key = to.split('=').nth(1).unwrap();
    let left = [("file", key), ("without", device.as_str())];
    let took = page.met("/owner/record/entries/take", &left);
    let said = plain(&took.text());
    assert!(said.contains("10 entries left out"), "{said}");
}
