//! The process is killed at random moments: what it acknowledged is there, what
//! it had not finished is not there in part, and the store is sound.
//!
//! 200 kills; HOSEWRIGHT_KILLS sets another number.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

use hosewright_tests::desk;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha20Rng;

/// Entries in one batch: more than one page, so that a kill can fall into it.
const BATCH: usize = 40;

fn command(store: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(desk::binary());
    command.env("HOSEWRIGHT_KEYS", store.with_extension("keys"));
    command.arg("--store").arg(store).args(["--today", "2026-06-15", "--by", "Tern"]);
    command.args(arguments).stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

/// Runs to its end; panics where it fails.
fn run(store: &Path, arguments: &[&str]) -> String {
    let done = command(store, arguments).output().expect("the binary runs");
    let said = String::from_utf8_lossy(&done.stderr).into_owned();
    assert!(done.status.success(), "{arguments:?}: {said}");
    String::from_utf8_lossy(&done.stdout).into_owned()
}

/// Starts, kills after so many microseconds, and tells whether it had ended well.
fn run_and_kill(store: &Path, arguments: &[&str], after: u64) -> bool {
    let mut child = command(store, arguments).spawn().expect("the binary starts");
    sleep(Duration::from_micros(after));
    // SIGKILL on Unix; one that has ended already is left as it is.
    let _ = child.kill();
    child.wait().expect("it has ended").success()
}

fn count(export: &str, word: &str) -> usize {
    export.lines().filter(|line| line.contains(word)).count()
}

/// Lines of another device's journal, told apart by their writer.
fn batch(folder: &Path, number: usize, hose: &str) -> String {
    let lines: String = (1..=BATCH)
        .map(|at| {
            let seq = number * BATCH + at;
            format!(
                "{{\"at\":[1780000000000,{seq}],\"body\":{{\"hose\":\"{hose}\"}},\"by\":\"batch-{number}-\",\
                 \"device\":\"000102030405060708090a0b0c0d0e0f\",\"kind\":\"cleaned\",\
                 \"on\":\"2026-06-14\",\"seq\":{seq},\"v\":1}}\n"
            )
        })
        .collect();
    let path = folder.join(format!("batch-{number}.jsonl"));
    fs::write(&path, lines).expect("a batch is written");
    path.to_string_lossy().into_owned()
}

#[test]
fn nothing_acknowledged_is_lost_and_nothing_is_half_done() {
    let kills: usize =
        std::env::var("HOSEWRIGHT_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(200);
    let mut random = ChaCha20Rng::seed_from_u64(4242);
    let folder = tempfile::tempdir().expect("a folder");
    let store = folder.path().join("fleet.hosewright");
    let hose = run(
        &store,
        &[
            "register",
            "--service",
            "second-stage",
            "--construction",
            "rubber",
            "--length",
            "75 cm",
            "--end-a",
            "3/8-24",
            "--end-b",
            "9/16-18",
            "--made",
            "2026-01",
        ],
    );
    let hose = hose.lines().next().expect("a code").trim().to_owned();
    // How long a command takes here, so that the kills fall all over it.
    let begun = std::time::Instant::now();
    run(&store, &["clean", &hose]);
    let whole = u64::try_from(begun.elapsed().as_micros()).unwrap_or(20_000);
    let mut notes = Vec::new();
    let mut batches = Vec::new();
    let mut cut = 0;
    for kill in 0..kills {
        let after = random.random_range(0..whole * 3 / 2);
        let ended = match kill % 4 {
            0 | 1 => {
                let note = format!("note-{kill}-");
                let look = ["inspect", &hose, "--kind", "quick", "--note", &note];
                let ended = run_and_kill(&store, &look, after);
                notes.push((note.clone(), ended));
                ended
            }
            2 => {
                let file = batch(folder.path(), kill / 4, &hose);
                let ended = run_and_kill(&store, &["import", &file], after);
                batches.push((format!("batch-{}-", kill / 4), ended));
                ended
            }
            _ => run_and_kill(&store, &["check", "--rebuild"], after),
        };
        cut += usize::from(!ended);
        run(&store, &["check"]);
    }
    let export = run(&store, &["export"]);
    for (note, ended) in &notes {
        let there = count(&export, note);
        assert!(
            there <= 1 && (there == 1 || !ended),
            "{note} is there {there} times, ended: {ended}"
        );
    }
    for (name, ended) in &batches {
        let there = count(&export, name);
        assert!(there == BATCH || (there == 0 && !ended), "{name}: {there}, ended: {ended}");
    }
    // A harness whose kills all come too late would prove nothing.
    assert!(cut * 5 > kills, "only {cut} of {kills} kills came in time");
    println!("{kills} kills, {cut} of them in time");
}

/// A store is begun whole or not at all.
#[test]
fn a_store_that_is_killed_while_it_begins_can_begin_again() {
    let mut random = ChaCha20Rng::seed_from_u64(77);
    let folder = tempfile::tempdir().expect("a folder");
    for kill in 0..40 {
        let store = folder.path().join(format!("store-{kill}"));
        let _ = run_and_kill(&store, &["device", "show"], random.random_range(0..12_000));
        run(&store, &["device", "show"]);
        run(&store, &["check"]);
    }
}
