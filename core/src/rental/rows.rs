//! A hand-out as it is looked at while one scans: every hose once.

use super::{HandOutCheck, Stop, StopKind};
use crate::set_view::Checked;
use crate::words::{rental as say, sentence, sets::LOOK_AT_TAG, sets::check_result};

/// A hose of the set, or something else that was scanned.
#[derive(Debug, Clone, PartialEq)]
pub struct HandOutRow<'c> {
    /// The hose; none where what was scanned names none.
    pub hose: Option<&'c Checked>,
    /// What was scanned that names it, which leaves the list if it was scanned by
    /// mistake; empty for what was not scanned yet.
    pub scanned: Vec<&'c str>,
    /// Whether it was scanned, and where it belongs, in a few words.
    pub state: &'static str,
    /// Whether it stops the hand-out. A hose that is not scanned yet does not.
    pub stops: bool,
    /// What is to be said of it; empty if nothing is.
    pub words: String,
    /// What to do about that.
    pub todo: String,
}

impl HandOutCheck {
    /// Whether anything was scanned.
    #[must_use]
    pub const fn begun(&self) -> bool {
        !self.scans.is_empty()
    }

    /// What stops it, whatever is scanned yet; of its hoses once scanning has begun.
    pub fn real_stops(&self) -> impl Iterator<Item = &Stop> {
        let empty = self.found.is_empty() && self.missing.is_empty();
        self.stops.iter().filter(move |stop| match stop.kind {
            StopKind::Missing => false,
            StopKind::NoHose => empty,
            StopKind::SetOut | StopKind::SetQuarantined => true,
            _ => self.begun(),
        })
    }

    /// What stops the whole set.
    pub fn stops_of_set(&self) -> impl Iterator<Item = &Stop> {
        let of_set = [StopKind::SetOut, StopKind::SetQuarantined, StopKind::NoHose];
        self.real_stops().filter(move |stop| of_set.contains(&stop.kind))
    }

    /// How it stands, in one line: what is still to scan is no fault.
    #[must_use]
    pub fn stands(&self) -> String {
        match self.real_stops().count() {
            _ if self.ready => self.words.clone(),
            0 => say::to_scan(self.missing.len(), self.begun()),
            stops => check_result(&self.set, stops, 0, false),
        }
    }

    /// Every hose once: those of the set by port, then what else was scanned.
    #[must_use]
    pub fn rows(&self) -> Vec<HandOutRow<'_>> {
        let mut own: Vec<(&Checked, &'static str)> =
            self.found.iter().map(|hose| (hose, say::SCANNED)).collect();
        own.extend(self.missing.iter().map(|hose| (hose, say::NOT_YET)));
        own.sort_by_key(|(hose, _)| hose.port);
        let own = own.into_iter().map(|(hose, state)| {
            let out = self.stop_of(hose, &[StopKind::HoseOut]);
            let (words, todo) = match out {
                _ if !self.begun() => Default::default(),
                Some(out) => (out.words.clone(), out.todo.clone()),
                None => hose.worst_reasons(),
            };
            let stops = self.real_stops().any(|stop| stop.code == Some(hose.code));
            HandOutRow { hose: Some(hose), scanned: self.by(hose), state, stops, words, todo }
        });
        let others = self.foreign.iter().map(|foreign| {
            let hose = foreign.hose.as_ref();
            let stop =
                hose.and_then(|hose| self.stop_of(hose, &[StopKind::HoseOut, StopKind::Foreign]));
            HandOutRow {
                hose,
                scanned: hose.map_or_else(|| vec![foreign.scanned.as_str()], |hose| self.by(hose)),
                state: if hose.is_some() { say::NOT_OF_THIS_SET } else { say::NOT_KNOWN },
                stops: true,
                words: sentence(&foreign.words),
                todo: stop.map_or_else(|| LOOK_AT_TAG.to_owned(), |stop| stop.todo.clone()),
            }
        });
        own.chain(others).collect()
    }

    /// What was scanned, but for these: a list without what was scanned by mistake.
    #[must_use]
    pub fn without(&self, taken_back: &[&str]) -> Vec<&str> {
        let kept = self.scans.iter().map(|(text, _)| text.as_str());
        kept.filter(|text| !taken_back.contains(text)).collect()
    }

    /// What stops it because of a hose, of one of these kinds.
    fn stop_of(&self, hose: &Checked, kinds: &[StopKind]) -> Option<&Stop> {
        let of_hose = |stop: &&Stop| stop.code == Some(hose.code) && kinds.contains(&stop.kind);
        self.stops.iter().find(of_hose)
    }

    /// What was scanned that names a hose.
    fn by(&self, hose: &Checked) -> Vec<&str> {
        let named = self.scans.iter().filter(|(_, code)| *code == Some(hose.code));
        named.map(|(text, _)| text.as_str()).collect()
    }
}
