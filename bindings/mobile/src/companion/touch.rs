//! Which pages there are, and what is touched on them.

use crate::{FilmOf, FormOf, Obstacle, PictureFormat, PlaceAnswer, Verdict};

/// Which page.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Enum)]
pub enum PageOf {
    /// The one that scans.
    Scan {
        /// What for.
        wanted: Wanted,
    },
    /// The answer for a hose.
    Hose {
        /// Whatever names it.
        text: String,
    },
    /// A form.
    Form {
        /// Which.
        of: FormOf,
    },
    /// The camera that stays open while the hoses of a form tick off.
    Ticks {
        /// The form.
        of: FormOf,
    },
    /// Every hose.
    Hoses,
    /// The hoses in stock that can take a hose's place.
    Stock {
        /// Whatever names the hose that comes off.
        old: String,
    },
    /// Every set.
    Sets,
    /// A set.
    Set {
        /// Its name.
        name: String,
    },
    /// What is due.
    Due,
    /// Where records meet.
    Meeting,
    /// A film on this screen, for the camera of another device.
    Show {
        /// Of what.
        film: FilmOf,
        /// The phone asks for less movement.
        calm: bool,
    },
    /// Another device's film before this camera.
    Watch,
    /// Where a damaged record is saved.
    Salvage,
    /// The writing of a hose's chip.
    Chip {
        /// The hose's tag.
        code: String,
    },
}

/// What is scanned for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum Wanted {
    /// The answer.
    Answer,
    /// A hose on record, for the page that asked for one.
    Hose,
    /// Whatever is written there, for the page that asked for it.
    Text,
}

/// A text that stands in a field and was not handed on yet.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Written {
    /// The field, by its name.
    pub field: String,
    /// The text.
    pub text: String,
}

/// What a person, or the phone, did on a page.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Enum)]
pub enum Touch {
    /// The page is looked at, for the first time or again.
    Look,
    /// Entries came in that nobody waited for ([`crate::PhoneRecord::meet_by_itself`]): what is
    /// shown is asked again, where that disturbs nobody.
    CameIn,
    /// The way on from what passes by itself: what was refused is tried again.
    TryAgain,
    /// What stands in the way, or is asked, is put away.
    Dismiss,
    /// Yes to what is asked; with a text, if that is asked for.
    Yes {
        /// The text.
        text: String,
    },
    /// Something of the phone stands in the way.
    Hindered {
        /// What.
        obstacle: Obstacle,
        /// What the system said, for a person who repairs it.
        detail: Option<String>,
    },
    /// Texts were seen in a frame that [`crate::Page::frame`] said is worth it.
    Seen {
        /// The texts.
        texts: Vec<String>,
    },
    /// A code was typed, or chosen of those that come near.
    Typed {
        /// The code, or the beginning of one.
        text: String,
    },
    /// A chip was read.
    ChipRead {
        /// Its message; no bytes if it is empty.
        message: Vec<u8>,
    },
    /// A box was ticked, or its tick taken away.
    Tick {
        /// The field.
        field: String,
        /// Whether it is ticked now.
        yes: bool,
    },
    /// Something was chosen, or taken back.
    Choose {
        /// The field.
        field: String,
        /// The choice.
        value: String,
        /// Whether it is chosen now.
        yes: bool,
    },
    /// This is what stands in a field now.
    Write {
        /// The field.
        field: String,
        /// The text.
        text: String,
    },
    /// A tag or a barcode was scanned for a field.
    Scanned {
        /// The field.
        field: String,
        /// What is written there.
        text: String,
    },
    /// A photo was taken or chosen for a field, or is left out again.
    Photograph {
        /// The field.
        field: String,
        /// The file: a copy of this app's own, which goes afterwards. None leaves it out.
        path: Option<String>,
    },
    /// The form is saved, with what stands in its fields.
    Save {
        /// What was not handed on yet.
        typed: Vec<Written>,
        /// Which button, if there are several.
        answer: Option<String>,
    },
    /// A place of an inspection was answered.
    Place {
        /// Which, from 0: the one that was shown.
        place: u32,
        /// How.
        answer: PlaceAnswer,
    },
    /// A place of an inspection is asked about again.
    ToPlace {
        /// Which, from 0.
        place: u32,
    },
    /// The form is begun again.
    StartAgain,
    /// Hoses are found by what is known of them; every one if that is empty.
    Find {
        /// What is known.
        text: String,
    },
    /// The hoses of a verdict are asked for; none for every one.
    OfVerdict {
        /// The verdict.
        verdict: Option<Verdict>,
    },
    /// More of a list is asked for.
    More {
        /// How many are shown.
        shown: u64,
    },
    /// What is due within another time is asked for.
    Within {
        /// The time, as `1y`; none is the usual one.
        time: Option<String>,
    },
    /// The tag is drawn for a printer.
    DrawTag {
        /// As what.
        format: PictureFormat,
        /// How wide, as `20mm`.
        size: String,
        /// The printer's dots an inch.
        dpi: u16,
    },
    /// The whole record is written into a file.
    Bundle {
        /// The file.
        path: String,
    },
    /// A file is to be taken in: a copy of this app's own, which goes afterwards.
    TakeIn {
        /// The file.
        path: String,
    },
    /// A film is shown at another pace.
    Pace {
        /// Which, as [`crate::PaceShown::pace`].
        pace: String,
    },
    /// What was seen of a film is kept, to go on with later.
    KeepFilm,
    /// A film was seen to its end.
    FilmSeen,
    /// A film is watched again, the same or another.
    WatchOn,
    /// What was half seen of films is forgotten.
    ForgetFilms,
    /// The saving of a damaged record begins.
    Begin,
    /// A chip is held to the phone.
    ChipNear {
        /// How many bytes of message it has room for.
        room: u32,
        /// What it holds; no bytes if it is empty.
        held: Vec<u8>,
    },
    /// What followed was written on it.
    ChipWritten,
    /// Another chip for the same hose.
    AnotherChip,
}

impl Touch {
    /// Whether it changes something, and is not lost if the record can't take it now.
    pub(super) const fn changes(&self) -> bool {
        matches!(
            self,
            Self::Tick { .. }
                | Self::Choose { .. }
                | Self::Write { .. }
                | Self::Scanned { .. }
                | Self::Photograph { .. }
                | Self::Save { .. }
                | Self::Place { .. }
                | Self::ToPlace { .. }
                | Self::StartAgain
        )
    }
}
