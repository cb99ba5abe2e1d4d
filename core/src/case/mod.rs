//! The case file of a hose or a set: what an owner can show of it, and to whom it is
//! nothing but paper and signatures. It tells every entry, and hides none.

mod paper;

use chrono::{DateTime, NaiveDate, Utc};

use crate::device::DeviceId;
use crate::hose::Label;
use crate::inspection::Verdict;
use crate::journal::Listed;
use crate::tag::Code;

pub use paper::print;

/// What a case file is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CaseOf {
    /// A hose.
    Hose(Code),
    /// A set, with the hoses that are in it.
    Set(Label),
}

/// A case file, but for its photographs.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseFile {
    /// What it is about, in few words.
    pub about: String,
    /// What that is, a line each.
    pub what: Vec<String>,
    /// Its verdict on the day.
    pub verdict: Verdict,
    /// What that means.
    pub meaning: String,
    /// Why, and what is to be done, a line each.
    pub reasons: Vec<String>,
    /// The hoses of a set, each with its verdict, in words.
    pub hoses: Vec<(Verdict, String)>,
    /// The limits that are in force on the day, a line each.
    pub limits: Vec<String>,
    /// Who made it, where and when.
    pub made: CaseMade,
    /// Every entry about it, in the order in which it happened.
    pub lines: Vec<CaseLine>,
    /// What the owner set as limits, in the same way.
    pub limits_set: Vec<CaseLine>,
    /// The devices that wrote them.
    pub writers: Vec<CaseWriter>,
    /// The number of the list of entries, which stands in the file of entries too.
    pub number: String,
}

/// Who made a case file, where and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CaseMade {
    /// The day.
    pub on: NaiveDate,
    /// The time.
    pub at: DateTime<Utc>,
    /// Who.
    pub by: Label,
    /// The device, by the beginning of its number and its name.
    pub device: Option<String>,
}

/// An entry of a case file.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseLine {
    /// Its place in the file, from 1.
    pub number: usize,
    /// By what the record names it.
    pub entry: Listed,
    /// The day on which it happened.
    pub on: NaiveDate,
    /// When it was written, by the clock of its device.
    pub written: DateTime<Utc>,
    /// Who wrote it.
    pub by: Label,
    /// On which device, by the beginning of its number and its name.
    pub device: String,
    /// Which hoses and sets it is about.
    pub about: String,
    /// What happened.
    pub words: String,
    /// That it was withdrawn, or is not believed, a line each.
    pub notes: Vec<String>,
    /// Which other entries it deals with, and which deal with it, a line each.
    pub links: Vec<String>,
    /// What the desk was shown when it handed a set out, a line each.
    pub shown: Vec<String>,
    /// The limits that were in force then, for a hand-out.
    pub limits: Vec<String>,
    /// The sides of its photograph in pixels, if it has one.
    pub photograph: Option<(u32, u32)>,
}

/// A device that wrote entries of a case file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CaseWriter {
    /// The device.
    pub device: DeviceId,
    /// The beginning of its number, and its name.
    pub name: String,
    /// How many of its entries were read.
    pub read: usize,
    /// The numbers of those that do not hold.
    pub failing: Vec<u64>,
}

impl CaseFile {
    /// Every entry that it tells, as the file of signed entries lists them.
    #[must_use]
    pub fn listed(&self) -> Vec<Listed> {
        self.lines.iter().chain(&self.limits_set).map(|line| line.entry).collect()
    }
}
