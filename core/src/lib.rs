//! What Hosewright knows and decides about regulator hoses: what each one is,
//! how old it is, who looked at it last and what they saw, and whether it may
//! go in the water.
//!
//! The core has no network, no screen and no clock: the day and the time come
//! in as arguments, so every answer can be repeated. Everything that a person
//! reads about a hose is written here and nowhere else.

#![deny(missing_docs)]

pub mod answer;
pub mod case;
pub mod device;
pub mod event;
pub mod file;
pub mod fit;
pub mod fleet;
pub mod hose;
pub mod hose_picture;
pub mod index;
pub mod inspection;
pub mod journal;
mod logbook;
pub mod measure;
mod pdf;
pub mod photograph;
pub mod policy;
pub mod record;
pub mod rental;
pub mod set_answer;
pub mod set_picture;
pub mod set_view;
pub mod spreadsheet;
pub mod staff;
#[cfg(test)]
mod story;
pub mod swap;
pub mod tag;
pub mod text;
pub mod view;
pub mod words;

pub use event::Registration;
pub use logbook::{
    Answered, BranchTerms, Brought, CarriedDevice, CheckReport, ComingBack, Counter, CounterError,
    DayError, DeviceView, FolderMeeting, FormRefused, Found, Given, HistoryLine, Hit, HoseList,
    ImportReport, Job, Logbook, LogbookError, NamedSet, NamingError, NewSet, OwnDevice,
    PackingError, Page, PlaceError, PortCount, PortDevice, PortIs, Replaced, Restored, Restoring,
    SalvageReport, Saved, ScannedSet, SetEdit, SetList, SheetReport, ShownPhotograph, StaffError,
    SwapView, Taken, TakenBack, TakenBackBy, Taking, Told, device_named, make_folder, told,
    writer_named,
};
