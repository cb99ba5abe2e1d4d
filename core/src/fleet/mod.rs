//! An owner's questions about many hoses at once. Each of them takes in one
//! hose after the other and keeps only what its result needs, so the size of a
//! fleet does not matter.

mod ages;
mod calendar;
mod due;
mod due_sheet;
mod horizon;
mod lifetimes;
mod limits_tried;
mod order;
mod order_message;
mod ordered;
mod recall;
mod recall_near;
mod reminder;
pub mod survival;

pub use ages::{AgeCount, AgeProfile, Ages};
pub use calendar::{CALENDAR_MOST, CALENDAR_WITHIN, calendar};
pub use due::{DueList, DueRow};
pub use due_sheet::{DueGroup, DueHose, DueSheet, DueThingOnSheet, SHEET_MOST};
pub use horizon::{Horizon, HorizonError};
pub use lifetimes::{Gathering, Group, GroupLifetimes, Lifetimes};
pub use limits_tried::{LimitsTrial, LimitsTried, OtherwiseJudged};
pub use order::Ordering;
pub use ordered::{HeldInStock, Order, OrderLine, StockHose, ToReplace};
pub use recall::{LotHose, LotReport, LotSearch, Trace, recall_of, recalled_already};
pub use recall_near::{NearLot, NearMaker};
pub use reminder::{REMINDED_BEFORE, Reminder};

use crate::answer::Asked;
use crate::event::Seat;
use crate::record::HoseRecord;
use crate::words;

/// What a hose is, in one line.
fn described(record: &HoseRecord) -> String {
    record
        .specification
        .as_ref()
        .map_or_else(|| words::UNKNOWN_HOSE.to_owned(), |hose| words::hose_of(hose, &record.origin))
}

/// Where a hose is, for people; nothing if it is in no port.
fn seat(asked: &Asked<'_>) -> Option<Seat> {
    let slot = asked.record.seat?;
    let name = asked.set(slot).map_or_else(|| slot.set.into(), |set| set.name.clone());
    Some(words::seat(&name, slot.port))
}

/// Where a hose is, in words.
fn place(asked: &Asked<'_>) -> String {
    let record = asked.record;
    words::place_of(record, seat(asked).as_ref())
}
