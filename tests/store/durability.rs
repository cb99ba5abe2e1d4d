//! The process is killed: what it acknowledged is there, what it had not finished is
//! not there in part, and the store is sound.
//!
//! Once at every point that it announces, and then between them at random, until 60
//! kills have come in time; HOSEWRIGHT_KILLS sets another number.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;
use std::fs;
use std::process::Command;

use hosewright_tests::desk::{Desk, said};
use hosewright_tests::kills::{Ended, Stopped, stopped, turns};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha20Rng;

/// What is killed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Work {
    Rebuild,
    Inspect,
    /// So many entries at once.
    Import(usize),
}

/// What was to be written, by a word that stands in each of its lines.
struct Written {
    work: Work,
    word: String,
    lines: usize,
    ended: Ended,
}

/// A record with one hose, and what was done to it.
struct Record {
    desk: Desk,
    hose: String,
    written: Vec<Written>,
}

impl Record {
    fn new() -> Self {
        let desk = Desk::new();
        let hose = desk.hose();
        Self { desk, hose, written: Vec::new() }
    }

    /// A command, and what it writes.
    fn command(&self, work: Work) -> (Command, Option<(String, usize)>) {
        let nth = self.written.len();
        match work {
            Work::Inspect => {
                let note = format!("note-{nth}-");
                let look = ["inspect", &self.hose, "--kind", "quick", "--note", &note];
                (self.desk.command(look), Some((note, 1)))
            }
            Work::Import(entries) => {
                let (file, word) = self.batch(nth, entries);
                (self.desk.command(["import", &file]), Some((word, entries)))
            }
            Work::Rebuild => (self.desk.command(["check", "--rebuild"]), None),
        }
    }

    /// Lines of another device's journal, told apart by their writer.
    fn batch(&self, nth: usize, entries: usize) -> (String, String) {
        let (hose, word) = (&self.hose, format!("batch-{nth}-"));
        let lines: String = (nth * entries + 1..=(nth + 1) * entries)
            .map(|seq| {
                format!(
                    "{{\"at\":[1780000000000,{seq}],\"body\":{{\"hose\":\"{hose}\"}},\
                     \"by\":\"{word}\",\"device\":\"000102030405060708090a0b0c0d0e0f\",\
                     \"kind\":\"cleaned\",\"on\":\"2026-06-14\",\"seq\":{seq},\"v\":1}}\n"
                )
            })
            .collect();
        let name = format!("{word}.jsonl");
        fs::write(self.desk.path(&name), lines).unwrap();
        (name, word)
    }

    /// Kills a piece of work at its Nth point, and looks at what is left; whether it
    /// was killed before it had ended.
    fn kill(&mut self, work: Work, nth: usize, how: impl FnOnce(Stopped) -> Ended) -> bool {
        let (command, written) = self.command(work);
        let ended = how(stopped(command, &nth.to_string()));
        let landed = !ended.well;
        let said = self.desk.run("check");
        assert_eq!(said.code, 0, "{work:?} at {:?}: {}{}", ended.point, said.out, said.err);
        self.keep(work, written, ended);
        landed
    }

    fn keep(&mut self, work: Work, written: Option<(String, usize)>, ended: Ended) {
        let (word, lines) = written.unwrap_or_default();
        self.written.push(Written { work, word, lines, ended });
    }

    /// Nothing acknowledged is lost and nothing is half done; which works are there
    /// though they were killed, and which are not.
    fn looked_through(&self) -> [BTreeSet<&str>; 2] {
        let export = self.desk.export();
        let mut killed = [BTreeSet::new(), BTreeSet::new()];
        for Written { work, word, lines, ended } in self.written.iter().filter(|w| w.lines > 0) {
            let there = export.lines().filter(|line| line.contains(word.as_str())).count();
            assert!(there == *lines || there == 0, "{work:?}: {there} lines, {ended:?}");
            assert!(there > 0 || !ended.acknowledged(), "{work:?} is lost, {ended:?}");
            if !ended.well {
                killed[usize::from(there > 0)].insert(word.split('-').next().unwrap());
            }
        }
        killed
    }
}

#[test]
#[cfg_attr(not(debug_assertions), ignore = "a release build announces no points")]
fn killed_at_each_point_nothing_acknowledged_is_lost_and_nothing_is_half_done() {
    let mut record = Record::new();
    for work in [Work::Rebuild, Work::Inspect, Work::Import(6)] {
        let last = (1..).find(|nth| !record.kill(work, *nth, Stopped::killed));
        assert!(last > Some(20), "{work:?} announced no more than {last:?} points");
    }
    let both = BTreeSet::from(["batch", "note"]);
    assert_eq!(record.looked_through(), [both.clone(), both]);
}

#[test]
#[cfg_attr(not(debug_assertions), ignore = "a release build announces no points")]
fn killed_anywhere_nothing_acknowledged_is_lost_and_nothing_is_half_done() {
    let kills: usize =
        std::env::var("HOSEWRIGHT_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(60);
    let mut random = ChaCha20Rng::seed_from_u64(4242);
    let mut record = Record::new();
    // More than one page, so that a kill can fall between two of them.
    let works = [Work::Inspect, Work::Import(40), Work::Rebuild];
    let (mut landed, mut tries) = (0, 0);
    while landed < kills {
        // Where a kill comes too late the work is done, and another one is killed.
        assert!(tries < 40 * kills, "only {landed} of {tries} kills came in time");
        let work = works[tries % works.len()];
        let (nth, turns) = (1 << random.random_range(0..7), turns(&mut random));
        let nth = random.random_range(1..=nth);
        landed += usize::from(record.kill(work, nth, |stopped| stopped.let_go_and_killed(turns)));
        tries += 1;
    }
    record.looked_through();
    println!("{kills} kills in {tries} tries");
}

/// A store is begun whole or not at all.
#[test]
#[cfg_attr(not(debug_assertions), ignore = "a release build announces no points")]
fn a_store_that_is_killed_while_it_begins_can_begin_again() {
    let (mut none, mut begun) = (0, 0);
    for nth in 1.. {
        let desk = Desk::new();
        let ended = stopped(desk.command(["device", "show"]), &nth.to_string()).killed();
        *(if desk.store().exists() { &mut begun } else { &mut none }) += 1;
        desk.done("device show");
        let said = desk.run("check");
        assert_eq!(said.code, 0, "{:?}: {}{}", ended.point, said.out, said.err);
        if ended.well {
            break;
        }
    }
    assert!(none > 20 && begun > 2, "{none} killed before there was a store, {begun} after");
}

/// Who writes keeps nobody from reading, and nobody sees a part of it.
#[test]
#[cfg_attr(not(debug_assertions), ignore = "a release build announces no points")]
fn a_record_is_read_while_somebody_writes_in_it() {
    const ENTRIES: usize = 6;
    let record = Record::new();
    let before = record.desk.export().lines().count();
    let mut entries = before;
    for nth in 1.. {
        // The same batch again, until it is in.
        let (command, _) = record.command(Work::Import(ENTRIES));
        let writing = stopped(command, &nth.to_string());
        let seen = record.desk.export().lines().count();
        assert!(seen == entries || seen == before + ENTRIES, "{seen} at {:?}", writing.point());
        let ended = writing.killed();
        assert_eq!(record.desk.export().lines().count(), seen, "{ended:?}");
        entries = seen;
        if ended.well {
            break;
        }
    }
    assert_eq!(entries, before + ENTRIES);
}

#[test]
#[cfg_attr(not(debug_assertions), ignore = "a release build announces no points")]
fn points_are_announced_where_it_is_asked_for_and_nowhere_else() {
    let desk = Desk::new();
    let mut command = desk.command(["device", "show"]);
    let refused = said(command.env("HOSEWRIGHT_STOP_AT", "often").output());
    assert_eq!(refused.code, 2, "{}", refused.out);
    assert!(refused.err.contains("HOSEWRIGHT_STOP_AT") && !desk.store().exists());
    let quiet = desk.run("device show");
    assert_eq!((quiet.code, quiet.err.as_str()), (0, ""));
    let hose = desk.hose();
    let writing = stopped(desk.command(["clean", &hose]), "COMMIT:1");
    assert_eq!(writing.point(), Some("COMMIT"));
    // Left alone, it goes on.
    let ended = writing.left_alone();
    assert!(ended.well && ended.acknowledged(), "{ended:?}");
}
