//! What other devices have of what is here, and of what this phone reminds.

use hosewright_core::words::sharing as say;

use crate::{Logbook, Moment, RefusedError, Words};

/// At this time of the day a reminder comes: before the first boat (common practice, no
/// source).
const HOUR: u8 = 8;

/// What other devices have of what is here.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct SharingShown {
    /// What stands over it.
    pub title: Words,
    /// How many entries are here alone and since when, and what to do; a sentence a line.
    pub words: Vec<Words>,
    /// Each other device: what it has.
    pub others: Vec<Words>,
    /// How many entries are here alone.
    pub alone: u64,
    /// Whether a day was closed over them, and nothing else has them.
    pub warn: bool,
}

/// A reminder of what is due. The phone shows it on that day, and on no other.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct ReminderShown {
    /// The day, as `2026-06-15`.
    pub on: String,
    /// The hour of that day, by the phone's own clock.
    pub hour: u8,
    /// What stands over it.
    pub title: Words,
    /// What is due.
    pub words: Words,
}

/// Of what this phone reminds.
#[derive(Debug, Clone, Default, PartialEq, Eq, uniffi::Record)]
pub struct RemindingShown {
    /// The next reminder; none if there is to be none.
    pub next: Option<ReminderShown>,
}

impl Logbook {
    /// What is to be said of it before a day is closed; nothing if nothing is here alone.
    pub(crate) fn closing(&self, now: &Moment) -> Result<Option<SharingShown>, RefusedError> {
        let sharing = self.core().sharing(&now.core()?)?.filter(|sharing| sharing.alone > 0);
        Ok(sharing.map(|sharing| SharingShown {
            title: say::TITLE.into(),
            words: Words::all(sharing.words),
            others: Vec::new(),
            alone: sharing.alone,
            warn: sharing.warn,
        }))
    }

    /// All of it, also that no other device was heard of.
    pub(crate) fn sharing(&self, now: &Moment) -> Result<SharingShown, RefusedError> {
        let title = say::OTHERS.into();
        Ok(match self.core().sharing(&now.core()?)? {
            Some(sharing) => SharingShown {
                title,
                words: Words::all(sharing.words),
                others: Words::all(sharing.devices.into_iter().map(|other| other.words)),
                alone: sharing.alone,
                warn: sharing.warn,
            },
            None => SharingShown {
                title,
                words: vec![say::NOBODY.into()],
                others: Vec::new(),
                alone: 0,
                warn: false,
            },
        })
    }

    /// The next reminder, if the phone is to remind at all.
    pub(crate) fn reminding(&self, now: &Moment) -> Result<RemindingShown, RefusedError> {
        if !self.drafts.reminds() {
            return Ok(RemindingShown::default());
        }
        let next = self.core().reminder(&now.core()?)?.map(|next| ReminderShown {
            on: next.on.to_string(),
            hour: HOUR,
            title: next.title.into(),
            words: next.words.into(),
        });
        Ok(RemindingShown { next })
    }
}
