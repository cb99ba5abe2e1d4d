//! The door of Hosewright for phones. It decides nothing about a hose: it asks
//! the core's logbook and hands over what that says, shaped for screens, in
//! types that cross to Kotlin and Swift.
//!
//! **Threads.** Every call blocks until it is done. Calls of a [`Logbook`] take
//! turns (one lock); an answer takes well under a frame, a merge as long as the
//! bundle is large. So a phone never calls from the thread of its screen: it
//! has one worker thread for the logbook, and one for the camera, which calls a
//! [`FilmReader`] and needs no logbook. Both companions do that
//! (`Desk` and `FrameReader` in `android/companion` and in `ios/HosewrightKit`).
//!
//! **Nothing is lost.** What is decided is in the journal when a call returns
//! (SQLite, `synchronous=FULL`). What is only half filled in, a form or the
//! hoses scanned for a hand-out, is kept beside the store (`drafts.rs`), also
//! before the call returns. A screen holds nothing that it cannot ask for again.
//!
//! **Words.** What a phone shows is [`Words`], in which text from outside is made
//! visible; what comes back from it, a code or a value that was typed, is a
//! `String` and stays as it is.
//!
//! **Time.** Today comes in from the platform's calendar with every call; the
//! clock time is taken in one place, `moment.rs`.

#![deny(missing_docs)]

mod answer;
mod companion;
mod drafts;
mod form;
mod hose_line;
mod hoses;
mod labels;
mod logbook;
mod meeting;
mod moment;
mod obstacle;
mod phone;
mod photographs;
mod place;
mod progress;
mod reading;
mod refused;
mod salvage;
mod set_answer;
mod set_picture;
mod sets;
mod sharing;
mod sign;
mod stock;
mod tags;
mod welcome;
mod words;

pub use answer::{ActionShown, Answer, Goes, HistoryLine, Reason};
pub use companion::{
    FilmOf, FilmSeen, FilmShown, FilmStrip, Follows, HoseShown, Near, PaceShown, Page, PageOf,
    PhoneRecord, Question, Reply, Shown, Touch, Trouble, Wanted, WatchingShown, Written,
    nothing_shown,
};
pub use form::{
    ChoiceShown, FieldKind, FieldShown, FileMade, FoldShown, FormOf, FormSaved, FormShown,
    GroupShown, HoseList, Line, PlaceAnswer, PlaceButton, PlaceLine, PlaceShown, TicksShown,
};
pub use hose_line::HoseLine;
pub use hoses::{HosesShown, VerdictShown};
pub use labels::{Labels, all_labels};
pub use logbook::Logbook;
pub use meeting::Merged;
pub use moment::Moment;
pub use obstacle::{Obstacle, ObstacleShown, WayOn, WayOnShown, obstacle_shown};
pub use photographs::Photograph;
pub use place::Place;
pub use progress::ProgressListener;
pub use reading::{FilmReader, Point, SeenText};
pub use refused::RefusedError;
pub use salvage::{Salvaged, salvage, salvage_lead, set_aside_files};
pub use set_answer::SetAnswer;
pub use set_picture::{At, Mark, Picture, Step, Stroke, TextAnchor};
pub use sets::{DueLine, DueList, PortLine, SetLine, SetShown};
pub use sharing::{ReminderShown, RemindingShown, SharingShown};
pub use sign::{Shape, Sign, Verdict, verdict_signs};
pub use stock::StockShown;
pub use tags::{ChipContent, ChipHolds, ChipMessage, PictureFormat, TagPicture, chip_content};
pub use welcome::{WayIn, WayInShown, Welcome};
pub use words::Words;

uniffi::setup_scaffolding!();
