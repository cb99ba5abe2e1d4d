//! What a set's own tag answers: the set's own reasons and each hose in it, the
//! worst of all first.

use serde::Serialize;

use crate::answer::{InPort, Reason, SetLine, set_line};
use crate::hose::Label;
use crate::inspection::Verdict;
use crate::policy::Use;
use crate::record::{HandOut, SetRecord};
use crate::set_view::Checked;
use crate::tag::Code;
use crate::words::{self, Said};

/// The answer to the scan of a set's tag.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SetAnswer {
    /// The tag that the set carries, else the one that was scanned.
    pub code: Code,
    /// The worst of its own reasons and of its hoses'.
    pub verdict: Verdict,
    /// What that means here, in one sentence.
    pub meaning: &'static str,
    /// The set's own reasons, worst first.
    pub reasons: Vec<Reason>,
    /// The set, with the worst hose in it; nothing for one that is not on record
    /// here.
    pub set: Option<SetLine>,
    /// Who dives with it.
    #[serde(rename = "use")]
    pub in_use: Option<Use>,
    /// Every hose in it, by port.
    pub hoses: Vec<Checked>,
    /// With whom it is, while it is out.
    pub out: Option<HandOut>,
    /// Where it is and its status, in words.
    pub words: String,
    /// The caution that goes with every answer.
    pub caution: &'static str,
}

impl SetAnswer {
    /// Of a set on record, with its own reasons and its hoses by port. `scanned` is
    /// the tag, if one was.
    #[must_use]
    pub fn of(
        set: &SetRecord,
        mut own: Vec<Reason>,
        hoses: Vec<Checked>,
        scanned: Option<Code>,
    ) -> Self {
        let old = set.tags.iter().find(|tag| Some(tag.code) == scanned);
        if let Some(since) = old.and_then(|tag| tag.withdrawn) {
            own.insert(0, held("tag-old", words::sets::tag_old(since, set.tag())));
        }
        if set.dissolved {
            own.insert(0, held("tag-old", words::sets::dissolved(&set.name)));
        }
        let in_port = |hose: &Checked| {
            let (code, reasons) = (hose.code, hose.reasons.clone());
            Some(InPort { port: hose.port?, code, reasons })
        };
        let ports: Vec<InPort> = hoses.iter().filter_map(in_port).collect();
        let line = set_line(None, set, &own, &ports);
        let worst = hoses.iter().map(|hose| hose.verdict).max();
        let quarantined = !set.quarantines.is_empty();
        Self {
            code: set.tag().or(scanned).unwrap_or(set.id.code()),
            verdict: line.verdict,
            meaning: words::sets::meaning(line.verdict, false, hoses.len()),
            reasons: own,
            words: words::sets::state(set.out.as_ref(), hoses.len(), worst, quarantined),
            set: Some(line),
            in_use: Some(set.in_use),
            hoses,
            out: set.out.clone(),
            caution: words::CAUTION,
        }
    }

    /// Of a tag that says that it is a set's, and that is on no record here:
    /// nothing that only a record could know is claimed.
    #[must_use]
    pub fn of_tag(code: Code) -> Self {
        Self {
            code,
            verdict: Verdict::Hold,
            meaning: words::sets::meaning(Verdict::Hold, true, 0),
            reasons: vec![held("tag-only", words::sets::tag_only())],
            set: None,
            in_use: None,
            hoses: Vec::new(),
            out: None,
            words: words::NOT_KNOWN_HERE.to_owned(),
            caution: words::CAUTION,
        }
    }

    /// What the set is called; a set that is not known here by its code.
    #[must_use]
    pub fn name(&self) -> Label {
        let named = self.set.as_ref().map(|line| line.name.clone());
        named.unwrap_or_else(|| Label::clipped(&self.code.to_string()))
    }

    /// The line that says its status.
    #[must_use]
    pub fn line(&self) -> &str {
        self.set.as_ref().map_or(self.words.as_str(), |line| line.words.as_str())
    }
}

fn held(code: &str, said: Said) -> Reason {
    let code = code.to_owned();
    Reason { code, verdict: Verdict::Hold, words: said.words, todo: said.todo }
}
