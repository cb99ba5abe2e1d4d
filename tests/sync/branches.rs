//! Branches that meet at a PostgreSQL server, with the real binary and Debian's server.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;
use std::fs;
use std::process::{Child, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};
use hosewright_tests::postgres::Server;

use crate::desks::{entries, exchanged, listed};

/// Starts an exchange and does not wait for it.
fn begun(desk: &Desk, address: &str) -> Child {
    let mut command = desk.command(["exchange", address]);
    command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
}

fn agree(desks: &[Desk]) {
    let all: Vec<BTreeSet<String>> = desks.iter().map(entries).collect();
    for (at, one) in all.iter().enumerate() {
        let apart: Vec<&String> = one.symmetric_difference(&all[0]).collect();
        assert!(apart.is_empty(), "branch {at}: {apart:#?}");
    }
    let lists: BTreeSet<String> = desks.iter().map(|desk| desk.run("list --csv").out).collect();
    assert_eq!(lists.len(), 1);
}

#[test]
fn five_branches_meet_at_once_and_agree() {
    let server = Server::start();
    let address = server.address("");
    let desks: Vec<Desk> = (0..5).map(|_| Desk::new()).collect();
    for _ in 0..2 {
        let hoses: Vec<String> = desks.iter().map(Desk::hose).collect();
        for (desk, hose) in desks.iter().zip(&hoses) {
            desk.done(&format!("inspect {hose} --kind full"));
        }
        let mut running: Vec<Child> = desks.iter().map(|desk| begun(desk, &address)).collect();
        assert!(running.iter_mut().all(|one| one.wait().unwrap().success()));
    }
    for desk in &desks {
        let said = exchanged(desk, &address);
        assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    }
    agree(&desks);
    assert_eq!(server.ask("SELECT count(*) FROM hosewright_entry"), "20");
    // A second exchange reads and sends nothing.
    let said = exchanged(&desks[0], &address);
    assert!(said.out.starts_with("0 rows read, 0 new rows sent\n"), "{}", said.out);
    assert_eq!(said.out.matches("its newest entry here is of 15 June").count(), 4, "{}", said.out);
    let json = desks[0].run_args(["--json", "exchange", &address]);
    let json: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!(json["devices"].as_array().unwrap().len(), 5);
}

#[test]
fn rows_that_an_enemy_altered_and_deleted_are_named_and_made_good() {
    let server = Server::start();
    let address = server.address("");
    let (one, two) = (Desk::new(), Desk::new());
    for _ in 0..3 {
        let hose = one.hose();
        one.done(&format!("inspect {hose} --kind full"));
    }
    assert_eq!(exchanged(&one, &address).code, 0);
    let altered = "UPDATE hosewright_entry SET line = replace(line, 'full', 'quick') WHERE seq = 2";
    let _ = server.ask(altered);
    let _ = server.ask("DELETE FROM hosewright_entry WHERE seq = 5");
    let said = exchanged(&two, &address);
    assert_eq!(said.code, 1, "{}{}", said.out, said.err);
    assert!(said.out.contains("is not what that device signed"), "{}", said.out);
    assert!(said.out.contains("missing here: entries 2, 5"), "{}", said.out);
    assert!(said.out.contains(", this one: it wrote nothing yet"), "{}", said.out);
    assert_eq!(entries(&two).len(), 4);
    assert!(entries(&two).is_subset(&entries(&one)));
    // Whoever has them sends all again.
    assert_eq!(one.run_args(["exchange", &address, "--again"]).code, 0);
    let _ = exchanged(&two, &address);
    agree(&[one, two]);
}

/// How many entries a branch has that has much: few where nobody asks for more.
fn many() -> usize {
    let asked = std::env::var("HOSEWRIGHT_BRANCH_ENTRIES").ok();
    asked.map_or(3_000, |asked| asked.parse().expect("a number of entries"))
}

/// How many entries a desk has, of each device.
fn counted(desk: &Desk) -> BTreeSet<(String, u64)> {
    let devices = desk.json("device list");
    let of = |device: &serde_json::Value| {
        (device["device"].as_str().unwrap().to_owned(), device["entries"].as_u64().unwrap())
    };
    let written = devices.as_array().unwrap().iter().map(of);
    written.filter(|(_, entries)| *entries > 0).collect()
}

#[test]
fn a_branch_that_has_much_is_taken_in_whole() {
    let server = Server::start();
    let address = server.address("");
    let (one, two, three) = (Desk::new(), Desk::new(), Desk::new());
    let timed = |what: &str, work: &mut dyn FnMut()| {
        let begun = Instant::now();
        work();
        println!("{what}: {:.1} s", begun.elapsed().as_secs_f64());
    };
    timed("made", &mut || listed(&one, "A", many()));
    timed("sent", &mut || assert_eq!(exchanged(&one, &address).code, 0));
    two.hose();
    // Killed on its way, it goes on.
    let mut taking = begun(&two, &address);
    let size = || fs::metadata(two.store()).map_or(0, |store| store.len());
    let begins = size();
    while taking.try_wait().unwrap().is_none() && size() < begins + 1_000_000 {
        sleep(Duration::from_millis(20));
    }
    let _ = taking.kill();
    let _ = taking.wait();
    timed("taken in", &mut || assert_eq!(exchanged(&two, &address).code, 0));
    timed("again", &mut || {
        let said = exchanged(&two, &address);
        assert!(said.out.starts_with("0 rows read, 0 new rows sent\n"), "{}", said.out);
    });
    assert_eq!(exchanged(&one, &address).code, 0);
    assert_eq!(counted(&one), counted(&two));
    let all: u64 = counted(&two).iter().map(|(_, entries)| entries).sum();
    assert_eq!(all, u64::try_from(many().div_ceil(3) * 3).unwrap() + 1);
    let rows = |sql: &str| server.ask(&format!("SELECT count(*) FROM hosewright_entry {sql}"));
    assert_eq!(rows(""), all.to_string());
    // An enemy takes some out, and alters some.
    let half = many() / 2;
    let _ = server.ask(&format!("DELETE FROM hosewright_entry WHERE seq IN (7, {half})"));
    let alter = "UPDATE hosewright_entry SET line = replace(line, '2026-03-01', '2026-06-01')";
    let _ = server.ask(&format!("{alter} WHERE seq = {half} + 2 OR seq = {half} + 3"));
    let said = exchanged(&three, &address);
    assert_eq!(said.code, 1, "{}{}", said.out, said.err);
    // Each 256th entry signs for those before it: as many are missed at each place, no more.
    let missing: u64 = all + 1 - counted(&three).iter().map(|(_, entries)| entries).sum::<u64>();
    assert!((4..=4 * 256).contains(&missing), "{missing} are missing");
    assert!(said.out.contains("missing here: entries 1 to "), "{}", said.out);
    assert!(said.out.contains("its newest entry here is of "), "{}", said.out);
    assert_ne!(one.run_args(["exchange", &address, "--again"]).code, 2);
    let said = exchanged(&three, &address);
    assert_eq!(counted(&one), counted(&three), "{}{}", said.out, said.err);
    assert_eq!(three.run("check").code, 0);
}

#[test]
fn a_server_and_branches_that_are_killed_lose_nothing_and_go_on() {
    let mut server = Server::start();
    let address = server.address("");
    let desks = [Desk::new(), Desk::new()];
    for desk in &desks {
        for _ in 0..4 {
            desk.hose();
        }
    }
    for wait in [0, 20, 60, 140] {
        let mut running: Vec<Child> = desks.iter().map(|desk| begun(desk, &address)).collect();
        sleep(Duration::from_millis(wait));
        match wait {
            60 => drop(running[0].kill()),
            _ => server.kill(),
        }
        for one in &mut running {
            let _ = one.wait().unwrap();
        }
        if wait != 60 {
            let said = exchanged(&desks[0], &address);
            assert_eq!(said.code, 2);
            assert!(said.err.contains("the branches' server can't be used"), "{}", said.err);
            server.run();
        }
        desks[0].hose();
    }
    for _ in 0..2 {
        for desk in &desks {
            let said = exchanged(desk, &address);
            assert_eq!(said.code, 0, "{}{}", said.out, said.err);
        }
    }
    agree(&desks);
    assert_eq!(entries(&desks[0]).len(), 12);
    assert_eq!(desks[1].run("check").code, 0);
}

#[test]
fn the_certificate_is_checked() {
    let mut server = Server::start();
    let authority = || {
        let mut settings = rcgen::CertificateParams::new(Vec::<String>::new()).unwrap();
        settings.is_ca = rcgen::IsCa::Ca(rcgen::BasicConstraints::Unconstrained);
        let key = rcgen::KeyPair::generate().unwrap();
        let own = settings.self_signed(&key).unwrap();
        (own.pem(), rcgen::Issuer::new(settings, key))
    };
    let ((known, issuer), (stranger, _)) = (authority(), authority());
    let key = rcgen::KeyPair::generate().unwrap();
    let names = rcgen::CertificateParams::new(vec!["127.0.0.1".to_owned()]).unwrap();
    let own = names.signed_by(&key, &issuer).unwrap();
    server.keep("server.crt", &own.pem());
    server.keep("server.key", &key.serialize_pem());
    server.set("ssl = on");
    let desk = Desk::new();
    desk.hose();
    std::fs::write(desk.path("known.pem"), known).unwrap();
    std::fs::write(desk.path("stranger.pem"), stranger).unwrap();
    let of = |options: &str| exchanged(&desk, &server.address(options));
    let said = of("?sslmode=verify-full&sslrootcert=known.pem");
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    // Encrypted, as the server itself sees it.
    for refused in [
        "?sslmode=require",
        "?sslmode=require&sslrootcert=stranger.pem",
        "?sslmode=require&sslrootcert=nothing.pem",
        "?sslmode=often",
    ] {
        let said = of(refused);
        assert_eq!(said.code, 2, "{refused}: {}{}", said.out, said.err);
        assert!(said.err.contains("the branches' server can't be used"), "{}", said.err);
    }
    assert_eq!(of("").code, 0);
}

#[test]
fn a_server_of_a_later_program_is_left_alone() {
    let server = Server::start();
    let address = server.address("");
    let desk = Desk::new();
    desk.hose();
    assert_eq!(exchanged(&desk, &address).code, 0);
    let _ = server.ask("UPDATE hosewright_table SET version = 2");
    desk.hose();
    let said = exchanged(&desk, &address);
    assert_eq!(said.code, 2);
    assert!(said.err.contains("update this program"), "{}", said.err);
    assert_eq!(server.ask("SELECT count(*) FROM hosewright_entry"), "1");
    for wrong in [["exchange", &address, "--list"], ["exchange", "/tmp", "--again"]] {
        assert_eq!(desk.run_args(wrong).code, 2);
    }
}

#[test]
fn a_page_meets_the_branches_at_their_server() {
    let server = Server::start();
    let address = server.address("");
    let (one, two) = (Desk::new(), Desk::new());
    one.hose();
    assert_eq!(exchanged(&one, &address).code, 0);
    let page = Page::of(&two, &[]);
    let said = page.met("/owner/meet/call", &[("place", &address), ("word", "")]);
    let words = plain(&said.text());
    assert_eq!(said.status, 200, "{words}");
    assert!(words.contains("1 row read, 0 new rows sent"), "{words}");
    drop(page);
    agree(&[one, two]);
}
