//! What a touch does while hoses tick off before the camera.

use super::page::{Page, State};
use super::shown::Follows;
use super::touch::PageOf;
use crate::{FormOf, RefusedError};

impl Page {
    /// The form for which hoses tick off here.
    pub(super) const fn ticks(&self) -> Option<&FormOf> {
        if let PageOf::Ticks { of } = &self.of { Some(of) } else { None }
    }

    /// Ticks off what was held before the camera, or typed. Other people's codes beside a
    /// tag are passed over; nothing but them is said.
    pub(super) fn tick(
        &self,
        state: &mut State,
        texts: &[String],
        today: &str,
    ) -> Result<(), RefusedError> {
        let Some(of) = self.ticks() else { return Ok(()) };
        let (book, now) = (self.record.book()?, self.record.moment(today));
        let (mut said, mut refused) = (Vec::new(), None);
        for text in texts {
            match book.tick(of, text, &now) {
                Ok(ticked) => said.push(ticked),
                Err(store @ RefusedError::Store { .. }) => return Err(store),
                Err(why) => refused = refused.or(Some(why)),
            }
        }
        if let (Some(why), true) = (refused, said.is_empty()) {
            return Err(why);
        }
        let words: Vec<&str> = said.iter().map(|ticked| ticked.words.as_str()).collect();
        let words = words.join(" ");
        state.shown.said = vec![words.as_str().into()];
        state.shown.ticks = Some(book.ticks(of, &now)?);
        state.follows = Some(Follows::Ticked {
            words: words.into(),
            well: said.iter().all(|ticked| ticked.well),
            all: said.last().is_some_and(|ticked| ticked.all),
        });
        Ok(())
    }
}
