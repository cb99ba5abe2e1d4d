//! What a person sees and can do next, as values: no HTML, no terminal, no
//! platform. Every face draws these.

mod action;
mod answer;
pub mod bench;
pub mod form;
pub mod list;
mod today;

pub use action::{Action, next};
pub use answer::AnswerView;
pub use today::{Today, TodayAbout, TodayKind, TodayPart, TodayRow};

#[cfg(test)]
mod action_tests;
