//! The hoses in stock that can take another's place.

use hosewright_core::Found;
use hosewright_core::view::Action;
use hosewright_core::words::notices;

use crate::{HoseLine, Logbook, Moment, RefusedError, Words};

/// So many are shown, the most alike first.
const MOST: usize = 12;

/// The hoses in stock that can take another's place.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct StockShown {
    /// What stands over it.
    pub title: Words,
    /// Which hose's place it is: by its own number, if it has one, and its tag.
    pub named: Words,
    /// That there are none; empty if there are some.
    pub words: Words,
    /// The hoses, the most alike first, each with how it differs.
    pub hoses: Vec<HoseLine>,
    /// What is to be heeded.
    pub cautions: Vec<Words>,
}

impl Logbook {
    /// The hoses in stock that can take a hose's place.
    pub(crate) fn stock(&self, typed: &str, moment: &Moment) -> Result<StockShown, RefusedError> {
        let (core, now) = (self.core(), moment.core()?);
        let old = core.answer_found(core.find_typed(typed)?, &now)?;
        let place = core.nearest_replacements(old.code, MOST, &now)?;
        let mut hoses = Vec::new();
        for fit in &place.fitting {
            let answer = core.answer_found(Found { hose: fit.code, tag: None }, &now)?;
            let facts = fit.differences.iter().chain(&fit.watch).cloned().collect::<Vec<_>>();
            let line = HoseLine::among_all(&answer);
            let facts = [facts.join("; "), line.facts.to_string()];
            hoses.push(HoseLine { facts: crate::hose_line::joined(facts, ". ").into(), ..line });
        }
        let number = old.hose.origin.own.number.as_ref();
        Ok(StockShown {
            title: Action::Swap { hose: old.code }.in_words().into(),
            named: hosewright_core::words::by_number(number, old.code).into(),
            words: if hoses.is_empty() { notices::NO_REPLACEMENT.into() } else { Words::default() },
            hoses,
            cautions: Words::all(place.cautions.iter().copied()),
        })
    }
}
