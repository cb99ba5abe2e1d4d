//! What a counter looks at first: what is out, half done, on hold, due, ready to go.

use chrono::NaiveDate;
use serde::Serialize;

use super::backup::BackupState;
use super::sharing::Sharing;
use crate::device::DeviceId;
use crate::event::SetId;
use crate::hose::words;
use crate::inspection::Verdict;
use crate::staff::PersonId;
use crate::tag::Code;
use crate::words::{packing, today};

words!(
    /// A part of the day's view.
    TodayKind, "part of today", {
        /// Sets with a hirer, the longest out first.
        Out = "out",
        /// Sets that are packed and wait to go out.
        Packed = "packed",
        /// Swaps that were begun and neither finished nor given up.
        Swaps = "swaps",
        /// Hoses on hold.
        Hold = "hold",
        /// What is overdue or due within a week.
        Due = "due",
        /// Rental sets that can be handed out.
        Ready = "ready",
        /// Other devices that this record has not heard of for long.
        Devices = "devices",
        /// Wrong PINs on this computer that nobody has seen yet.
        WrongPins = "wrong-pins",
    }
);

impl TodayKind {
    /// Its heading, and what is said where it has nothing.
    #[must_use]
    pub const fn words(self) -> [&'static str; 2] {
        match self {
            Self::Out => today::OUT,
            Self::Packed => packing::TODAY,
            Self::Swaps => today::SWAPS,
            Self::Hold => today::HOLD,
            Self::Due => today::DUE,
            Self::Ready => today::READY,
            Self::Devices => today::DEVICES,
            Self::WrongPins => today::WRONG_PINS,
        }
    }
}

/// What a row is about: where it leads.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TodayAbout {
    /// A hose, by the tag that it carries.
    Hose(Code),
    /// A set.
    Set(SetId),
    /// A swap.
    Swap {
        /// The hose that comes off.
        old: Code,
        /// The hose that goes on.
        new: Code,
    },
    /// A device.
    Device(DeviceId),
    /// Somebody who works here.
    Person(PersonId),
}

/// One thing of the day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct TodayRow {
    /// What it is about.
    pub about: TodayAbout,
    /// How that stands, where it has a verdict.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verdict: Option<Verdict>,
    /// What people call it.
    pub name: String,
    /// What is to be known of it, in a few words.
    pub words: String,
}

/// A part of the day's view: its first rows.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct TodayPart {
    /// Which.
    pub part: TodayKind,
    /// Its heading.
    pub title: &'static str,
    /// How many there are in all; nothing where only the first were looked for.
    pub total: Option<u64>,
    /// Whether there may be more than these rows.
    pub more: bool,
    /// The first of them.
    pub rows: Vec<TodayRow>,
    /// Said where there is none.
    pub none: &'static str,
}

/// The day's view.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Today {
    /// The day.
    pub on: NaiveDate,
    /// Its parts, in the order in which they are looked at.
    pub parts: Vec<TodayPart>,
    /// What other devices have of what is here, if any was heard of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sharing: Option<Sharing>,
    /// How the backups stand.
    pub backup: BackupState,
}
