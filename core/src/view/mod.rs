//! What a person sees and can do next, as values: no HTML, no terminal, no
//! platform. Every face draws these.

mod action;
mod answer;
pub mod form;
pub mod list;

pub use action::{Action, next};
pub use answer::AnswerView;

#[cfg(test)]
mod action_tests;
