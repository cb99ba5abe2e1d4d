//! What was later added to what is said of a set and of a hose. All of it may be
//! left out; a program that does not know it reads the rest.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::PortName;
use crate::hose::{Label, Owner, words};
use crate::measure::PartialDate;

/// What a set is besides its name, use and ports.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SetDetails {
    /// It is cleaned for oxygen.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub oxygen: bool,
    /// Whose it is; nothing is the centre's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub owner: Option<Owner>,
    /// What is in ports that have no hose and no plug: a transmitter, a relief
    /// valve.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub devices: BTreeMap<PortName, Label>,
    /// The branch where it works.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub branch: Option<Label>,
}

/// What changes of a set's details; what is not named stays as it was.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct DetailChanges {
    /// Whether it is cleaned for oxygen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub oxygen: Option<bool>,
    /// Whose it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub owner: Option<Owner>,
    /// What is in ports that have no hose and no plug, all of them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub devices: Option<BTreeMap<PortName, Label>>,
    /// The branch where it works.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub branch: Option<Label>,
    /// What is taken away of its texts.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cleared: Vec<OwnField>,
}

words!(
    /// A text that a shop keeps about a hose or a set and can take away again.
    OwnField, "field", {
        /// The shop's own number.
        Number = "number",
        /// A note.
        Note = "note",
        /// The branch.
        Branch = "branch",
    }
);

/// What a recall names: at least a lot, a model or a made span. All of it must be
/// so for a hose that is meant.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct RecallOf {
    /// The lot as printed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lot: Option<Label>,
    /// The maker.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub maker: Option<Label>,
    /// The model as printed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub model: Option<Label>,
    /// When it was made.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made: Option<MadeSpan>,
}

impl RecallOf {
    /// A lot, of a maker where one is named.
    #[must_use]
    pub fn lot(lot: Label, maker: Option<Label>) -> Self {
        Self { lot: Some(lot), maker, ..Self::default() }
    }

    /// The lot, if it names nothing else but perhaps the maker.
    #[must_use]
    pub const fn lot_alone(&self) -> Option<&Label> {
        if self.model.is_none() && self.made.is_none() { self.lot.as_ref() } else { None }
    }

    /// Whether it names enough: a lot, or a maker with a model or a made span.
    #[must_use]
    pub const fn is_enough(&self) -> bool {
        let further = self.model.is_some() || self.made.is_some();
        self.lot.is_some() && !further || self.maker.is_some() && (further || self.lot.is_some())
    }
}

impl std::fmt::Display for RecallOf {
    /// `lot B17 of Kelpline`, `model K2 of Kelpline, made 2022 to 2023`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { lot, maker, model, made } = self;
        let named = lot.iter().map(|lot| format!("lot {lot}"));
        let named = named.chain(model.iter().map(|model| format!("model {model}")));
        let named: Vec<String> = named.collect();
        match (maker, made) {
            (Some(maker), Some(made)) if named.is_empty() => {
                return write!(f, "what {maker} made from {} to {}", made.from, made.to);
            }
            _ => f.write_str(&named.join(", "))?,
        }
        if let Some(maker) = maker {
            write!(f, " of {maker}")?;
        }
        if let Some(made) = made {
            write!(f, ", made from {} to {}", made.from, made.to)?;
        }
        Ok(())
    }
}

/// A made span: both ends are of it, as far as they say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct MadeSpan {
    /// The first.
    pub from: PartialDate,
    /// The last.
    pub to: PartialDate,
}

impl MadeSpan {
    /// Whether a date lies in it wholly (yes), in no part of it (no), or in part
    /// (nothing).
    #[must_use]
    pub fn holds(&self, date: PartialDate) -> Option<bool> {
        let (first, last) = (self.from.earliest(), self.to.latest());
        if date.latest() < first || date.earliest() > last {
            return Some(false);
        }
        (date.earliest() >= first && date.latest() <= last).then_some(true)
    }
}

impl std::fmt::Display for MadeSpan {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}..{}", self.from, self.to)
    }
}

impl std::str::FromStr for MadeSpan {
    type Err = String;

    fn from_str(typed: &str) -> Result<Self, String> {
        let (from, to) = typed.split_once("..").unwrap_or((typed, typed));
        let date = |text: &str| PartialDate::parse(text).map_err(|error| error.to_string());
        let span = Self { from: date(from)?, to: date(to)? };
        if span.to.latest() < span.from.earliest() {
            return Err(format!("{} is before {}; write the earlier first", span.to, span.from));
        }
        Ok(span)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_made_date_lies_in_a_span_beside_it_or_across_its_border() {
        let span: Result<MadeSpan, _> = "2022-03..2022-06-15".parse();
        let Ok(span) = span else { unreachable!("a span") };
        for (date, holds) in [
            ("2022-02", Some(false)),
            ("2022-02-28", Some(false)),
            ("2022-03-01", Some(true)),
            ("2022-03", Some(true)),
            ("2022-06-15", Some(true)),
            ("2022-06-16", Some(false)),
            ("2022-06", None),
            ("2022", None),
            ("2021", Some(false)),
            ("2023", Some(false)),
        ] {
            assert_eq!(PartialDate::parse(date).ok().and_then(|d| span.holds(d)), holds, "{date}");
        }
        assert_eq!(
            "2022".parse::<MadeSpan>().map(|span| span.to_string()),
            Ok("2022..2022".into())
        );
        for typed in ["", "2023..2022", "2022..", "x..2022"] {
            assert!(typed.parse::<MadeSpan>().is_err(), "{typed}");
        }
    }

    #[test]
    fn a_recall_says_what_it_names() {
        let label = |text| Label::new("a text", text).ok();
        let (lot, model, maker) = (label("B17"), label("K2"), label("Kelpline"));
        let made = "2022..2023".parse().ok();
        let (no, all) = (None, maker.clone());
        for (lot, model, maker, made, said, enough) in [
            (lot.clone(), no.clone(), no.clone(), None, "lot B17", true),
            (lot.clone(), no.clone(), all.clone(), None, "lot B17 of Kelpline", true),
            (no.clone(), model.clone(), all.clone(), None, "model K2 of Kelpline", true),
            (no.clone(), model.clone(), no.clone(), None, "model K2", false),
            (lot.clone(), model.clone(), no.clone(), None, "lot B17, model K2", false),
            (
                no.clone(),
                no.clone(),
                all.clone(),
                made,
                "what Kelpline made from 2022 to 2023",
                true,
            ),
            (lot, model, all, made, "lot B17, model K2 of Kelpline, made from 2022 to 2023", true),
        ] {
            let of = RecallOf { lot, model, maker, made };
            assert_eq!((of.to_string().as_str(), of.is_enough()), (said, enough));
        }
        assert!(!RecallOf { maker, ..RecallOf::default() }.is_enough());
    }
}
