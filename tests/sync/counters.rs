//! Devices that meet a counter in the shop's network: the real binary at both ends, over TLS on
//! this computer.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;
use std::fs;
use std::io::Write;
use std::process::Stdio;
use std::thread::sleep;
use std::time::Duration;

use hosewright_core::device::{Caller, DeviceKey, Greeting, Invitation};
use hosewright_tests::desk::{Desk, Said, said};
use hosewright_tests::network::{self, Line, at, counter, symbol};
use hosewright_tests::page::{Page, Reply, plain};
use serde_json::json;

fn exchanged(desk: &Desk, place: &str) -> Said {
    desk.run_args(["exchange", place])
}

fn met(desk: &Desk, place: &str) -> String {
    let said = exchanged(desk, place);
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    said.out
}

/// The entries that a desk has, without the signatures that a later one makes needless.
fn entries(desk: &Desk) -> BTreeSet<String> {
    let unsigned = |line: &str| line.split(",\"sig\":").next().unwrap_or_default().to_owned();
    desk.run("export")
        .out
        .lines()
        .map(unsigned)
        .map(|l| l.trim_end_matches('}').to_owned())
        .collect()
}

fn agree(one: &Desk, two: &Desk) {
    let (one, two) = (entries(one), entries(two));
    assert!(one == two, "{:#?}", one.symmetric_difference(&two).take(5).collect::<Vec<_>>());
}

/// Many hoses of a shop's own list.
fn many(desk: &Desk, first: &str, hoses: usize) {
    let mut list = "No.,Service,Length,Construction,Made\n".to_owned();
    (0..hoses).for_each(|n| list.push_str(&format!("{first}-{n},octo,56 cm,rubber,2024-03\n")));
    fs::write(desk.path("list.csv"), list).unwrap();
    desk.done("import list.csv");
}

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

/// The words that a command prints: 24 on a line.
fn words(said: &str) -> String {
    let line = said.lines().find(|line| line.split_whitespace().count() == 24);
    line.unwrap_or_else(|| panic!("{said}")).to_owned()
}

fn told(desk: &Desk, line: &str, typed: &str) -> Said {
    let mut command = desk.command(line.split_whitespace());
    let command = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    child.stdin.take().unwrap().write_all(typed.as_bytes()).unwrap();
    said(child.wait_with_output())
}

#[test]
fn a_replaced_key_is_followed_and_a_fleet_joins_another() {
    let (shop, boat, branch) = (Desk::new(), Desk::new(), Desk::new());
    let old = words(&shop.run("device found").out);
    let (page, door) = counter(&shop);
    met(&boat, &at(&symbol(&page), &door));
    let refused = told(&shop, "device replace-key", "these are no words");
    assert_eq!(refused.code, 2, "{}", refused.out);
    let early = told(&shop, "device replace-key --since 2099-01-01", &old);
    assert!(early.code == 2 && early.err.contains("is after today"), "{}", early.err);
    let replaced = told(&shop, "device replace-key --since 2026-06-01", &old);
    assert_eq!(replaced.code, 0, "{}", replaced.err);
    // What the owner's own device wrote down counts.
    assert!(replaced.out.contains("had granted nothing since 2026-06-01"), "{}", replaced.out);
    assert_ne!(words(&replaced.out), old);
    let fleet = |desk: &Desk| desk.json("device show")["fleet"].as_str().unwrap().to_owned();
    assert_ne!(fleet(&boat), fleet(&shop));
    // Who knows the old key alone hears of the new one where it meets the counter.
    boat.hose();
    assert_eq!(boat.run("exchange").code, 0);
    assert_eq!(fleet(&boat), fleet(&shop));
    agree(&shop, &boat);
    let brought = told(&boat, "device recover", &old);
    assert!(brought.code == 2 && brought.err.contains("was replaced"), "{}", brought.err);

    // Another centre becomes part of this one, with what it wrote.
    branch.done("device found");
    let hose = branch.hose();
    branch.done("bundle --out theirs.hwbundle");
    shop.done(&format!("merge {}", branch.path("theirs.hwbundle").display()));
    assert_eq!(shop.run(&format!("answer {hose}")).code, 1, "not believed yet");
    let theirs = fleet(&branch);
    let taken = shop.run(&format!("device take-in {theirs}"));
    assert!(taken.out.contains("1 device of fleet"), "{}{}", taken.out, taken.err);
    assert_eq!(
        shop.run(&format!("answer {hose}")).code,
        branch.run(&format!("answer {hose}")).code
    );
    let early = branch.run(&format!("device follow {}", fleet(&shop)));
    assert!(early.code == 2 && early.err.contains("has not taken this one in"), "{}", early.err);
    shop.done("bundle --out ours.hwbundle");
    branch.done(&format!("merge {}", shop.path("ours.hwbundle").display()));
    branch.done(&format!("device follow {}", fleet(&shop)));
    assert_eq!(fleet(&branch), fleet(&shop));
    // It is a member: the counter needs no symbol for it, nor does it for the counter.
    met(&branch, &format!("https://{door}"));
    agree(&shop, &branch);
    for desk in [&shop, &boat, &branch] {
        desk.done("check");
    }
}

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
fn a_key_under_a_pass_phrase_admits_nobody_without_it() {
    const PASS: &str = "sea horse under harbour wall";
    let (shop, boat, other) = (Desk::new(), Desk::new(), Desk::new());
    shop.done("device found");
    let keys = || -> Vec<String> {
        let files = fs::read_dir(shop.path("keys")).unwrap().flatten();
        files.map(|file| file.file_name().to_string_lossy().into_owned()).collect()
    };
    let fleet = shop.json("device show")["fleet"].as_str().unwrap().to_owned();
    assert!(keys().contains(&format!("{fleet}.key")));
    let short = told(&shop, "device seal", "short\n");
    assert!(short.code == 2 && short.err.contains("12 to 200 characters"), "{}", short.err);
    assert_eq!(told(&shop, "device seal", &format!("{PASS}\n")).code, 0);
    assert!(
        keys().contains(&format!("{fleet}.sealed")) && !keys().contains(&format!("{fleet}.key"))
    );
    assert!(shop.run("device show").out.contains("under a pass phrase"));
    let number = boat.json("device show")["device"].as_str().unwrap().to_owned();
    let admit = format!("device admit {number}");
    let refused = told(&shop, &admit, "");
    assert!(
        refused.code == 2 && refused.err.contains("rests under a pass phrase"),
        "{}",
        refused.err
    );
    let refused = told(&shop, &admit, "sea horse under harbour walls\n");
    assert!(refused.code == 2 && refused.err.contains("not the pass phrase"), "{}", refused.err);
    assert_eq!(shop.json("device list").as_array().unwrap().len(), 1, "nobody was admitted");
    assert_eq!(told(&shop, &admit, &format!("{PASS}\n")).code, 0);
    assert_eq!(
        told(&shop, "device words", &format!("{PASS}\n")).out.split_whitespace().count(),
        24
    );

    // The page asks for it, keeps what was typed, and shows it nowhere.
    let (page, door) = counter(&shop);
    let number = other.json("device show")["device"].as_str().unwrap().to_owned();
    let fields = [("device", number.as_str()), ("role", "bench"), ("name", "bench laptop")];
    let asked = page.post("/owner/devices", &fields);
    let text = asked.text();
    assert_eq!(asked.status, 409, "{}", plain(&text));
    assert!(text.contains("name=\"owner_pass\"") && text.contains("bench laptop"), "{text}");
    let wrong =
        page.post("/owner/devices", &[&fields[..], &[("owner_pass", "wrong words here")]].concat());
    assert!(wrong.status >= 400 && !wrong.text().contains("wrong words here"), "{}", wrong.status);
    page.done("/owner/devices", &[&fields[..], &[("owner_pass", PASS)]].concat());

    // A symbol that admits a device has it before the device comes.
    let late = Desk::new();
    let fields = [("role", "bench"), ("name", "late")];
    assert_eq!(page.post("/owner/meet/network/let-in", &fields).status, 409);
    let to =
        page.done("/owner/meet/network/let-in", &[&fields[..], &[("owner_pass", PASS)]].concat());
    let shown = page.shown(&to);
    assert!(!shown.contains(PASS));
    let text = shown.split("<textarea").nth(1).unwrap().split('>').nth(1).unwrap();
    met(&late, &at(text.split('<').next().unwrap(), &door));
    assert!(
        late.run("device show").out.contains("writes about hoses"),
        "{}",
        late.run("device show").out
    );
}
