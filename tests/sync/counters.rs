//! Devices that meet a counter in the shop's network: the real binary at both ends, over TLS on
//! this computer.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;
use std::thread::sleep;
use std::time::Duration;

use hosewright_core::device::{Caller, DeviceKey, Greeting, Invitation};
use hosewright_tests::desk::Desk;
use hosewright_tests::network::{self, Line, at, counter, symbol};
use hosewright_tests::page::{Reply, plain};
use serde_json::json;

use crate::desks::{agree, entries, exchanged, many, met};

#[test]
fn a_device_comes_in_by_a_symbol_and_meets_by_itself() {
    let (shop, boat, late) = (Desk::new(), Desk::new(), Desk::new());
    shop.done("device found");
    let (on_shop, on_boat) = (shop.hose(), boat.hose());
    let (page, door) = counter(&shop);
    let text = symbol(&page);
    let said = met(&boat, &at(&text, &door));
    assert!(said.contains("This record belongs to the fleet"), "{said}");
    assert!(said.contains("1 entry sent, 1 of them new there"), "{said}");
    agree(&shop, &boat);
    assert!(boat.run("device list").out.contains("boat"), "{}", boat.run("device list").out);
    assert_eq!(
        boat.run(&format!("answer {on_shop}")).code,
        boat.run(&format!("answer {on_boat}")).code
    );
    let shown = plain(&page.shown("/owner/meet/network/symbol"));
    assert!(shown.contains("came in and is admitted: it writes about hoses"), "{shown}");
    // It counts once.
    let refused = exchanged(&late, &at(&text, &door));
    assert_eq!(refused.code, 2, "{}", refused.out);
    assert!(refused.err.contains("was used already, or its minutes are over"), "{}", refused.err);
    assert!(late.run("device show").out.contains("Fleet: none"));
    // From now on by itself, also while the counter is written in.
    for _ in 0..3 {
        shop.hose();
        boat.hose();
        let said = boat.run("exchange");
        assert_eq!(said.code, 0, "{}{}", said.out, said.err);
        assert!(said.out.contains("1 entry new, 0 known already"), "{}", said.out);
        assert!(said.out.contains("1 entry sent, 1 of them new there"), "{}", said.out);
        agree(&shop, &boat);
    }
    let said = met(&boat, &format!("https://{door}"));
    assert!(said.contains("The counter had all that is here"), "{said}");
    // Nobody who was not let in.
    for stranger in [&late, &Desk::new()] {
        let said = exchanged(stranger, &format!("https://{door}"));
        assert_eq!(said.code, 2);
        assert!(said.err.contains("does not know the counter"), "{}", said.err);
    }
    // The owner dismisses it.
    let number = boat.run("device show").out.split_whitespace().nth(2).unwrap().to_owned();
    shop.done(&format!("device admit {number} --role dismissed"));
    let said = boat.run("exchange");
    assert!(said.code == 2 && said.err.contains("the owner dismissed that device"), "{}", said.err);
    // The door is shut.
    page.done("/owner/meet/network/close", &[]);
    let said = boat.run("exchange");
    assert!(said.code == 2 && said.err.contains("can't be reached"), "{}", said.err);
}

#[test]
fn cut_wherever_it_is_it_loses_nothing_and_goes_on() {
    let (shop, boat) = (Desk::new(), Desk::new());
    let (page, door) = counter(&shop);
    let line = Line::to(&door);
    met(&boat, &at(&symbol(&page), &line.host));
    many(&shop, "S", 4000);
    many(&boat, "B", 4000);
    let place = format!("https://{}", line.host);
    let (mut before, mut cuts) = (0, 0);
    loop {
        line.cut_after(64 * 1024);
        let said = exchanged(&boat, &place);
        if said.code == 0 {
            break;
        }
        // What was sent before the cut is taken in a moment later.
        let mut here = 0;
        for _ in 0..1000 {
            here = entries(&boat).len() + entries(&shop).len();
            if here > before {
                break;
            }
            sleep(Duration::from_millis(50));
        }
        assert!(here > before, "it goes on: {}", said.err);
        assert!(
            said.err.contains("broke off") || said.err.contains("the counter says"),
            "{}",
            said.err
        );
        (before, cuts) = (here, cuts + 1);
        assert!(cuts < 100);
    }
    assert!(cuts >= 4, "it was cut {cuts} times");
    agree(&shop, &boat);
    assert_eq!(entries(&shop).len(), 8000, "nothing is lost");
    // Cut before anything was said, it is not reached.
    line.cut_after(100);
    let said = exchanged(&boat, &place);
    assert!(said.code == 2 && said.err.contains("can't be reached"), "{}", said.err);
    shop.done("check");
    boat.done("check");
}

#[test]
fn a_counter_that_is_killed_has_lost_nothing() {
    let (shop, boat) = (Desk::new(), Desk::new());
    let (page, door) = counter(&shop);
    met(&boat, &at(&symbol(&page), &door));
    many(&boat, "B", 3000);
    let running = boat.command(["exchange"]).stderr(std::process::Stdio::null()).spawn();
    // While it meets, or before or after: whatever has come in by then is there whole.
    drop(page);
    let _ = running.unwrap().wait();
    shop.done("check");
    let (_page, door) = counter(&shop);
    met(&boat, &format!("https://{door}"));
    agree(&shop, &boat);
}

#[test]
fn somebody_in_the_middle_is_told_nothing() {
    let (shop, boat, other) = (Desk::new(), Desk::new(), Desk::new());
    boat.hose();
    let (page, door) = counter(&shop);
    let text = symbol(&page);
    let (between, heard) = network::between(&door);
    let said = exchanged(&boat, &at(&text, &between.to_string()));
    assert_eq!(said.code, 2, "{}", said.out);
    assert!(said.err.contains("does not prove to be that counter"), "{}", said.err);
    let heard = String::from_utf8_lossy(&heard.lock().unwrap()).into_owned();
    assert!(heard.starts_with("POST /meet/greet "), "{heard}");
    assert_eq!(heard.matches("POST ").count(), 1, "{heard}");
    let invited: Invitation = text.parse().unwrap();
    assert!(!heard.contains(&invited.secret().to_string()), "{heard}");
    // Another counter at the address that the symbol names.
    let (_page, elsewhere) = counter(&other);
    let said = exchanged(&boat, &at(&text, &elsewhere));
    assert!(said.code == 2 && said.err.contains("does not prove"), "{}", said.err);
    // The symbol is as good as before.
    met(&boat, &at(&text, &door));
    agree(&shop, &boat);
}

/// Asks the counter something by hand.
fn asked(door: &str, path: &str, lines: &[&str], body: &[u8]) -> Reply {
    let (stream, _) = network::connected(door);
    network::asked(stream, door, ("POST", path), lines, body)
}

/// Calls a counter by hand, as a device of a key, with a secret.
fn called(door: &str, key: &DeviceKey, secret: Option<&str>, tampered: bool) -> Reply {
    let (stream, mut certificate) = network::connected(door);
    let drawn = "0".repeat(64);
    let greet = json!({ "drawn": drawn }).to_string();
    let greeted = network::asked(stream, door, ("POST", "/meet/greet"), &[], greet.as_bytes());
    assert_eq!(greeted.status, 200, "{}", greeted.text());
    let greeting: Greeting = serde_json::from_slice(&greeted.bytes).unwrap();
    if tampered {
        certificate[0] ^= 1;
    }
    let caller = Caller::sign(key, None, &greeting, &certificate);
    let call = json!({ "caller": caller, "secret": secret }).to_string();
    asked(door, "/meet/call", &[], call.as_bytes())
}

#[test]
fn every_question_is_refused_to_whoever_has_no_right() {
    let shop = Desk::new();
    shop.hose();
    let (page, door) = counter(&shop);
    let key = DeviceKey::from_secret(&[7; 32]);
    let word = "0".repeat(64);
    for path in ["/meet/give", "/meet/take"] {
        for lines in [
            vec![],
            vec![format!("Authorization: Hosewright {word}")],
            vec!["Authorization: Hosewright ".to_owned()],
        ] {
            let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
            assert_eq!(asked(&door, path, &lines, b"anything").status, 401, "{path} {lines:?}");
        }
    }
    for path in ["/meet/greet", "/meet/call"] {
        for body in [&b""[..], b"{}", b"\xff", b"{\"drawn\":\"zz\"}"] {
            let said = asked(&door, path, &[], body);
            assert_eq!(said.status, 400, "{path}: {}", said.text());
        }
    }
    // Nothing of it on the plain way, and no page there without a session.
    for path in ["/meet/greet", "/meet/call", "/meet/give", "/meet/take"] {
        assert!([403, 404].contains(&page.ask("POST", path, &[], b"{}").status), "{path}");
    }
    let (stream, _) = network::connected(&door);
    let shut = network::asked(stream, &door, ("GET", "/hoses"), &[], b"");
    assert_eq!((shut.status, shut.header("location")), (303, "/login"));
    // A stranger, whoever signs for another connection, and one that answers nothing.
    let stranger = called(&door, &key, None, false);
    assert_eq!(stranger.status, 403);
    assert!(stranger.text().contains("has not let that device in"), "{}", stranger.text());
    let tampered = called(&door, &key, None, true);
    assert_eq!((tampered.status, tampered.text().contains("does not prove")), (403, true));
    // A thousand secrets that are wrong.
    let text = symbol(&page);
    let mut told: BTreeSet<u16> = BTreeSet::new();
    for n in 0..1000 {
        told.insert(called(&door, &key, Some(&nobodys_secret(n)), false).status);
    }
    assert_eq!(told.into_iter().collect::<Vec<_>>(), [403, 429]);
    // The right one, while too many have been tried from here; a word is no secret either.
    let invited: Invitation = text.parse().unwrap();
    let right = invited.secret().to_string();
    let status = called(&door, &key, Some(&right), false).status;
    // Once in some hundred runs a minute is over at that very moment.
    assert!([200, 429].contains(&status), "{status}");
    let shown = plain(&page.shown("/owner/meet/network/symbol"));
    assert!(shown.contains(if status == 429 { "It counts for" } else { "came in" }), "{shown}");
    page.done("/owner/meet/network/end-symbol", &[]);
    let listed = plain(&page.shown("/owner/meet/network"));
    assert_eq!(listed.contains(&key.id().short()), status == 200, "{listed}");
}

/// A secret that nobody drew: 26 letters of Base32.
fn nobodys_secret(n: usize) -> String {
    let letter =
        |at: usize| char::from(b"ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"[(n >> (5 * (at % 4))) % 32]);
    // The last letter of 128 bits has two bits that are 0.
    (0..25).map(letter).chain(['A']).collect()
}

#[test]
fn who_may_only_read_brings_nothing_that_counts() {
    let (shop, boat) = (Desk::new(), Desk::new());
    shop.done("device found");
    let (page, door) = counter(&shop);
    let to = page.done("/owner/meet/network/let-in", &[("role", "read"), ("name", "")]);
    let shown = page.shown(&to);
    let text = shown.split("<textarea").nth(1).unwrap().split('>').nth(1).unwrap();
    let text = text.split('<').next().unwrap().to_owned();
    boat.hose();
    met(&boat, &at(&text, &door));
    let listed = shop.run("device list").out;
    assert!(listed.contains("not believed"), "{listed}");
    let list = shop.run("list --csv").out;
    assert!(list.contains("not on record; entry not believed"), "{list}");
    assert!(!list.contains("Kelpline"), "{list}");
    // Nobody is let in as dismissed, or as something else.
    for role in ["dismissed", "king"] {
        let said = page.post("/owner/meet/network/let-in", &[("role", role), ("name", "")]);
        assert_eq!(said.status, 400, "{role}");
    }
}
