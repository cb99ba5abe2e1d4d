//! Killing the program where it says that it is. How busy the machine is changes
//! nothing: what is waited for is a point of its work, never a time.

#![allow(clippy::expect_used, reason = "a harness for tests")]

use std::collections::{BTreeMap, BTreeSet};
use std::io::{BufRead, BufReader, Read};
use std::process::{Child, ChildStderr, Command, Stdio};

use rand::{Rng, RngExt};

use crate::desk::said;

/// What a debug build of the program asks for points at which it waits.
const STOP_AT: &str = "HOSEWRIGHT_STOP_AT";

/// Every point that a command reaches, run to its end.
///
/// # Panics
/// If it announces none: nothing could be tested then.
#[must_use]
pub fn points(mut command: Command) -> Vec<String> {
    let said = said(command.env(STOP_AT, "0").stdin(Stdio::null()).output());
    let points: Vec<String> =
        said.err.lines().filter_map(|line| line.strip_prefix("at ").map(str::to_owned)).collect();
    assert!(!points.is_empty(), "no point was announced: {}{}", said.out, said.err);
    points
}

/// The first and the last of each kind of point, numbered from 1.
#[must_use]
pub fn of_each_kind(points: &[String]) -> BTreeSet<usize> {
    let mut kinds: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    for (nth, point) in (1..).zip(points) {
        kinds.entry(point).or_insert((nth, nth)).1 = nth;
    }
    kinds.into_values().flat_map(|(first, last)| [first, last]).collect()
}

/// The points at which a long work is killed: the first and the last of each kind, and
/// every one where HOSEWRIGHT_KILLS is set.
#[must_use]
pub fn tried(points: &[String]) -> BTreeSet<usize> {
    match std::env::var_os("HOSEWRIGHT_KILLS") {
        Some(_) => (1..=points.len()).collect(),
        None => of_each_kind(points),
    }
}

/// For how many turns one is let go on: none half of the time, else up to some ten
/// thousand, small numbers as often as large ones.
#[must_use]
pub fn turns(random: &mut impl Rng) -> u32 {
    if random.random() { 0 } else { 1 << random.random_range(4..16) }
}

/// A command that waits at a point, unless it ended before.
pub struct Stopped {
    child: Child,
    words: BufReader<ChildStderr>,
    point: Option<String>,
}

/// How a command ended that was to be killed.
#[derive(Debug)]
pub struct Ended {
    /// The point at which it waited.
    pub point: Option<String>,
    /// Whether it ended of itself, and well.
    pub well: bool,
    /// What it had said on standard output.
    pub out: String,
}

impl Ended {
    /// Whether anyone who ran it was told that it is done.
    #[must_use]
    pub fn acknowledged(&self) -> bool {
        self.well || !self.out.is_empty()
    }
}

/// Runs a command until the point that `at` names: `N` for the Nth of all,
/// `NAME:N` for the Nth of those that begin so.
///
/// # Panics
/// If it cannot be run.
#[must_use]
pub fn stopped(mut command: Command, at: &str) -> Stopped {
    let command = command.env(STOP_AT, at).stdin(Stdio::piped());
    let mut child =
        command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the binary starts");
    let mut words = BufReader::new(child.stderr.take().expect("its standard error"));
    let mut line = String::new();
    let point = loop {
        line.clear();
        if words.read_line(&mut line).expect("a line") == 0 {
            break None;
        }
        if let Some(point) = line.trim_end().strip_prefix("at ") {
            break Some(point.to_owned());
        }
    };
    Stopped { child, words, point }
}

impl Stopped {
    /// The point at which it waits; nothing if it ended before it came there.
    #[must_use]
    pub fn point(&self) -> Option<&str> {
        self.point.as_deref()
    }

    /// Kills it where it waits.
    #[must_use]
    pub fn killed(mut self) -> Ended {
        // SIGKILL on Unix; one that has ended already is left as it is.
        let _ = self.child.kill();
        self.ended()
    }

    /// Lets it go on and kills it at once, or after so many turns: it falls where
    /// no point is, such as between two pages that are being written.
    #[must_use]
    pub fn let_go_and_killed(mut self, turns: u32) -> Ended {
        drop(self.child.stdin.take());
        for _ in 0..turns {
            std::hint::spin_loop();
        }
        self.killed()
    }

    /// Lets it go on to its end.
    #[must_use]
    pub fn left_alone(mut self) -> Ended {
        drop(self.child.stdin.take());
        self.ended()
    }

    fn ended(mut self) -> Ended {
        let (mut out, mut words) = (String::new(), String::new());
        let pipe = self.child.stdout.as_mut().expect("its standard output");
        pipe.read_to_string(&mut out).expect("text");
        self.words.read_to_string(&mut words).expect("text");
        let status = self.child.wait().expect("it has ended");
        // Anyone who was killed has no exit code, on Unix.
        let by_itself = cfg!(unix) && status.code().is_some();
        assert!(status.success() || !by_itself, "it was not killed, and failed: {out}{words}");
        Ended { point: self.point, well: status.success(), out }
    }
}
