//! Every hose, a part at a time; by verdict, or by what is typed.

use hosewright_core::answer::Answer as CoreAnswer;
use hosewright_core::index::{Filter, Sort};
use hosewright_core::inspection;
use hosewright_core::words::{counted, labels, screens};
use hosewright_core::{Logbook as Core, Page as Part, journal};

use crate::{HoseLine, Logbook, Moment, RefusedError, Verdict, Words, phone};

/// So many more are shown at a time.
pub(crate) const PART: u64 = 30;

/// Which hoses are listed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct HosesAsked {
    /// What is known of them, as it was typed; empty for every hose.
    pub(crate) text: String,
    /// Of which verdict, if nothing is typed; none for every one.
    pub(crate) verdict: Option<Verdict>,
    /// How many at most.
    pub(crate) most: u64,
}

impl Default for HosesAsked {
    fn default() -> Self {
        Self { text: String::new(), verdict: None, most: PART }
    }
}

/// The way to the hoses of a verdict.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct VerdictShown {
    /// Which; none for hoses of whatever verdict.
    pub verdict: Option<Verdict>,
    /// Its word.
    pub word: Words,
    /// How many hoses there are of it.
    pub hoses: Words,
    /// Both, to be said.
    pub words: Words,
    /// Whether these are the hoses that are shown.
    pub chosen: bool,
}

/// Hoses in a list.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct HosesShown {
    /// What was typed to find them; empty if nothing was.
    pub typed: String,
    /// The ways to the hoses of each verdict.
    pub verdicts: Vec<VerdictShown>,
    /// How many there are and how many of them are shown, or that there are none.
    pub words: Words,
    /// The hoses.
    pub hoses: Vec<HoseLine>,
    /// Whether there are more.
    pub more: bool,
}

impl Logbook {
    /// Hoses by a verdict, or those that come near what is typed, the nearest first.
    pub(crate) fn hoses(
        &self,
        asked: &HosesAsked,
        moment: &Moment,
    ) -> Result<HosesShown, RefusedError> {
        let (core, now) = (self.core(), moment.core()?);
        let (rows, total) = match asked.text.as_str() {
            "" => listed(&core, asked, &now)?,
            text => found(&core, text, asked.most, &now)?,
        };
        let shown = number(rows.len());
        let words = match (shown, total) {
            (0, _) => screens::HOSES_NONE.to_owned(),
            (_, Some(total)) if total > shown => phone::of_all(shown, total),
            (_, Some(_)) => counted(i64::try_from(shown).unwrap_or(i64::MAX), "hose"),
            (_, None) => phone::nearest(shown),
        };
        Ok(HosesShown {
            typed: asked.text.clone(),
            verdicts: verdicts(&core, asked, &now)?,
            words: words.into(),
            hoses: rows.iter().map(HoseLine::among_all).collect(),
            more: total.is_none_or(|total| total > shown),
        })
    }
}

/// Some hoses, and how many there are; none if only that there are more is known.
type Rows = (Vec<CoreAnswer>, Option<u64>);

fn listed(core: &Core, asked: &HosesAsked, now: &journal::Moment) -> Result<Rows, RefusedError> {
    let filter = Filter { verdict: asked.verdict.map(Into::into), ..Filter::default() };
    let part = Part { from: 0, most: asked.most };
    let list = core.list(&filter, Sort::Number, &part, now)?;
    Ok((list.rows, Some(list.total)))
}

fn found(core: &Core, text: &str, most: u64, now: &journal::Moment) -> Result<Rows, RefusedError> {
    let most = usize::try_from(most).unwrap_or(usize::MAX);
    let mut hits = core.look_for(text, most.saturating_add(1), now)?;
    let more = hits.len() > most;
    hits.truncate(most);
    let total = (!more).then_some(number(hits.len()));
    Ok((hits.into_iter().map(|hit| hit.answer).collect(), total))
}

/// One way for hoses of whatever verdict, and one for each.
fn verdicts(
    core: &Core,
    asked: &HosesAsked,
    now: &journal::Moment,
) -> Result<Vec<VerdictShown>, RefusedError> {
    let counts = core.counts(now)?;
    let all: u64 = counts.iter().map(|(_, hoses)| hoses).sum();
    let way = |verdict: Option<Verdict>, word: &str, hoses: u64| VerdictShown {
        verdict,
        word: word.into(),
        hoses: hoses.to_string().into(),
        words: format!("{word} {hoses}").into(),
        chosen: asked.text.is_empty() && asked.verdict == verdict,
    };
    let each = counts.iter().map(|(verdict, hoses)| {
        let verdict: inspection::Verdict = *verdict;
        way(Some(verdict.into()), verdict.word(), *hoses)
    });
    Ok(std::iter::once(way(None, labels::HOSES_ALL, all)).chain(each).collect())
}

fn number(of: usize) -> u64 {
    u64::try_from(of).unwrap_or(u64::MAX)
}
