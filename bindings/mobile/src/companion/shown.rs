//! What a page holds, and what follows from a touch.

use crate::{
    Answer, DueList, FilmOf, FilmShown, FormOf, FormSaved, FormShown, HistoryLine, HosesShown,
    Photograph, Picture, RemindingShown, Salvaged, SetAnswer, SetLine, SetShown, SharingShown,
    StockShown, TagPicture, TicksShown, Trouble, WatchingShown, Welcome, Words,
};

/// An answer with what happened to the hose, and photographs of what was found on it.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct HoseShown {
    /// The answer.
    pub answer: Answer,
    /// What happened to it, newest first.
    pub history: Vec<HistoryLine>,
    /// The photographs.
    pub photographs: Vec<Photograph>,
    /// Whether this phone tells verdicts aloud.
    pub aloud: bool,
}

/// Something that is asked before it is done.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Question {
    /// What is asked, a sentence a line.
    pub words: Vec<Words>,
    /// What the text that answers it is called; none if a yes does.
    pub field: Option<Words>,
    /// What the button says that says yes.
    pub yes: Words,
    /// What the button says that says no.
    pub no: Words,
}

/// What a page holds: of what it has nothing of, nothing.
#[derive(Debug, Clone, Default, PartialEq, Eq, uniffi::Record)]
pub struct Shown {
    /// The greeting of a record that has no hose yet.
    pub welcome: Option<Welcome>,
    /// The hose.
    pub hose: Option<HoseShown>,
    /// The form, as far as it is filled in.
    pub form: Option<FormShown>,
    /// What is said of what was done last, a sentence a line.
    pub said: Vec<Words>,
    /// What came of the form. Nothing on it is touched any more.
    pub done: Option<FormSaved>,
    /// How far the hoses of a set are ticked off.
    pub ticks: Option<TicksShown>,
    /// Hoses in a list.
    pub hoses: Option<HosesShown>,
    /// The hoses in stock that can take another's place.
    pub stock: Option<StockShown>,
    /// Every set.
    pub sets: Option<Vec<SetLine>>,
    /// The set.
    pub set: Option<SetShown>,
    /// A set that this phone knows by its tag alone.
    pub set_tag: Option<SetAnswer>,
    /// The set drawn as it sits.
    pub picture: Option<Picture>,
    /// What is due.
    pub due: Option<DueList>,
    /// What other devices have of what is here, where that is to be said.
    pub sharing: Option<SharingShown>,
    /// What reminder of what is due the phone is to have set; none where that is not known.
    pub reminding: Option<RemindingShown>,
    /// How two devices meet by sight, a sentence a line.
    pub by_sight: Vec<Words>,
    /// The film that is shown.
    pub film: Option<FilmShown>,
    /// The film that is watched.
    pub watching: Option<WatchingShown>,
    /// What the device lacks whose record came in last: it can be shown to it.
    pub lacks: Option<FilmOf>,
    /// The tag for a printer, once it was drawn.
    pub tag: Option<TagPicture>,
    /// Damaged records that were set aside, to be shared with someone who repairs them.
    pub set_aside: Vec<String>,
    /// What came of the saving of a damaged record.
    pub salvaged: Option<Salvaged>,
    /// Whether a chip is waited for.
    pub awaits_chip: bool,
    /// What stands in the way.
    pub trouble: Option<Trouble>,
    /// What is asked first.
    pub question: Option<Question>,
}

/// What a page holds before it is looked at.
#[uniffi::export]
#[must_use]
pub fn nothing_shown() -> Shown {
    Shown::default()
}

/// What follows from a touch, once.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Enum)]
pub enum Follows {
    /// The answer for a hose is looked at.
    Hose {
        /// What names it.
        text: String,
        /// What was done just now; empty if nothing was.
        said: Words,
        /// Whether the verdict is told aloud.
        aloud: bool,
    },
    /// The answer for a set is looked at.
    Set {
        /// What names it.
        name: String,
    },
    /// The page that asked for a hose or a text gets it, and this one goes.
    Found {
        /// The tag of the hose, or the text.
        text: String,
    },
    /// A form is filled in.
    Form {
        /// Which.
        of: FormOf,
    },
    /// The hoses of a form are ticked off, before a camera that stays open.
    Ticks {
        /// The form.
        of: FormOf,
    },
    /// A hose was ticked off, or is none of them: the phone buzzes and says it.
    Ticked {
        /// What is said.
        words: Words,
        /// Whether it is one of them: a short buzz, and a long one if not.
        well: bool,
        /// Whether that is all of them: the page goes.
        all: bool,
    },
    /// The phone asks the person whether it may show reminders.
    AskToRemind,
    /// The camera is begun again.
    Camera,
    /// The next chip is waited for.
    Chip,
    /// This is written on the chip that is held there.
    WriteChip {
        /// The message.
        bytes: Vec<u8>,
    },
    /// A file is shared.
    Share {
        /// The file.
        path: String,
    },
}

/// What came of a touch.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Reply {
    /// What the page holds now.
    pub shown: Shown,
    /// What follows.
    pub follows: Option<Follows>,
}
