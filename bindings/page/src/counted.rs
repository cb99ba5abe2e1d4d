//! An answer about the whole fleet. A large fleet takes seconds to count;
//! meanwhile a host may give the last answer, which then says so.

use std::any::Any;
use std::ops::Deref;
use std::sync::Arc;

use maud::{Markup, html};

use crate::labels as l;

/// An answer of any kind, as a host keeps it.
pub type Anything = dyn Any + Send + Sync;

/// An answer about the whole fleet.
pub struct Counted<T: ?Sized> {
    /// The answer.
    pub answer: Arc<T>,
    /// Whether it has everything that was written.
    pub newest: bool,
}

impl<T: ?Sized> Deref for Counted<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.answer
    }
}

impl<T: ?Sized> Counted<T> {
    /// What is to be said of an answer without the newest entries, and the
    /// address that asks once more.
    pub fn note(&self, once_more: &str) -> Markup {
        html! {
            @if !self.newest {
                p.note role="status" {
                    (l::COUNTED_BEFORE) " "
                    a.button href=(once_more) { (l::COUNTED_AGAIN) }
                }
            }
        }
    }
}

impl Counted<Anything> {
    /// The same, of its own kind.
    pub fn downcast<T: Any + Send + Sync>(self) -> Option<Counted<T>> {
        let newest = self.newest;
        Some(Counted { answer: self.answer.downcast().ok()?, newest })
    }
}
