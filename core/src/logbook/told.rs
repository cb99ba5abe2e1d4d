//! A history as it is told: a swap, which is many entries, is one line that opens.

use std::collections::BTreeMap;

use super::HistoryLine;
use crate::device::DeviceId;
use crate::event::{EntryId, Event, Swapped};
use crate::record::OpenSwap;
use crate::tag::Code;
use crate::words::swap as say;

/// A part of a history.
#[derive(Debug, Clone, PartialEq)]
pub enum Told<'l> {
    /// A line of its own.
    Line(&'l HistoryLine),
    /// A swap, with everything that was written in it.
    Swap {
        /// The swap in a few words.
        words: String,
        /// Its lines, in the order in which they happened.
        lines: Vec<&'l HistoryLine>,
    },
}

impl<'l> Told<'l> {
    /// The newest line of it; a swap has at least one.
    #[must_use]
    pub fn newest(&self) -> Option<&'l HistoryLine> {
        match self {
            Self::Line(line) => Some(line),
            Self::Swap { lines, .. } => lines.last().copied(),
        }
    }
}

/// Some lines of a history, in the order in which they happened, as they are told. A
/// swap comes where its newest line is.
#[must_use]
pub fn told(lines: &[HistoryLine]) -> Vec<Told<'_>> {
    // Whatever was written together with a step belongs to the swap.
    let acts: BTreeMap<(&DeviceId, u64), EntryId> = lines
        .iter()
        .filter_map(|line| Some(((&line.entry.device, line.entry.act()?), swap_of(line)?)))
        .collect();
    let before: BTreeMap<EntryId, EntryId> =
        lines.iter().filter_map(|line| Some((line.id, instead_of(line)?))).collect();
    let swap = |line: &HistoryLine| {
        let with = || acts.get(&(&line.entry.device, line.entry.act()?)).copied();
        // A step names its own swap; what was written beside it, the one that it began in.
        let mut swap = swap_of(line).or_else(with)?;
        // Each names one that was there before it, so this ends.
        while let Some(first) = before.get(&swap) {
            swap = *first;
        }
        Some(swap)
    };
    let mut of_swap: BTreeMap<EntryId, Vec<&HistoryLine>> = BTreeMap::new();
    for line in lines {
        if let Some(swap) = swap(line) {
            of_swap.entry(swap).or_default().push(line);
        }
    }
    let mut all = Vec::new();
    for line in lines {
        let Some(swap) = swap(line) else {
            all.push(Told::Line(line));
            continue;
        };
        if of_swap.get(&swap).is_some_and(|all| all.last().is_some_and(|l| l.id == line.id)) {
            let lines = of_swap.remove(&swap).unwrap_or_default();
            all.push(match lines.as_slice() {
                [only] => Told::Line(only),
                _ => Told::Swap { words: in_words(&lines), lines },
            });
        }
    }
    all
}

/// The entry that began the swap of which a line is a step.
fn swap_of(line: &HistoryLine) -> Option<EntryId> {
    match &line.event {
        Some(Event::Swapped(swap)) => Some(swap.answers.first().copied().unwrap_or(line.id)),
        _ => None,
    }
}

/// The entry that began the swap from which another goes on, of the entry that begins
/// the other.
fn instead_of(line: &HistoryLine) -> Option<EntryId> {
    match &line.event {
        Some(Event::Swapped(swap)) => swap.instead.map(|before| before.swap),
        _ => None,
    }
}

fn in_words(lines: &[&HistoryLine]) -> String {
    let steps: Vec<&Swapped> = lines
        .iter()
        .filter_map(|line| match &line.event {
            Some(Event::Swapped(swap)) if line.counts() => Some(swap),
            _ => None,
        })
        .collect();
    let hoses = steps.last().map(|step| step.hoses);
    // What was answered before an exchange is on record of both hoses, and told once.
    let of_last = || steps.iter().filter(|step| Some(step.hoses) == hoses);
    let end = of_last().find(|step| step.step.as_str() == OpenSwap::END);
    let mut before: Vec<Code> = Vec::new();
    for [_, new] in steps.iter().filter(|step| Some(step.hoses) != hoses).map(|step| step.hoses) {
        if !before.contains(&new) {
            before.push(new);
        }
    }
    say::told(hoses, &before, of_last().count(), end.map(|end| end.answer.as_str()))
}
