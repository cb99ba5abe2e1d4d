//! What a person sees and can do next, as values: no HTML, no terminal, no
//! platform. Every face draws these.

mod action;
mod answer;
mod backup;
pub mod bench;
pub mod form;
pub mod list;
pub mod lost;
mod sharing;
mod today;

pub use action::{Action, next};
pub use answer::AnswerView;
pub use backup::{BACKUP_OLD_DAYS, BackupState};
pub use lost::{Loss, LostDevice};
pub use sharing::{OtherDevice, Sharing};
pub use today::{Today, TodayAbout, TodayKind, TodayPart, TodayRow};

#[cfg(test)]
mod action_tests;
