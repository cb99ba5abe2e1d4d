//! A history as it is told: a swap, which is many entries, is one line that opens.

use std::collections::BTreeMap;

use super::HistoryLine;
use crate::device::DeviceId;
use crate::event::{EntryId, Event, Swapped};
use crate::record::OpenSwap;
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
    let swap = |line: &HistoryLine| {
        let with = || acts.get(&(&line.entry.device, line.entry.act()?)).copied();
        swap_of(line).or_else(with)
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

fn in_words(lines: &[&HistoryLine]) -> String {
    let steps: Vec<&Swapped> = lines
        .iter()
        .filter_map(|line| match &line.event {
            Some(Event::Swapped(swap)) if line.counts() => Some(swap),
            _ => None,
        })
        .collect();
    let end = steps.iter().find(|step| step.step.as_str() == OpenSwap::END);
    let hoses = steps.first().map(|step| step.hoses);
    say::told(hoses, steps.len(), end.map(|end| end.answer.as_str()))
}
