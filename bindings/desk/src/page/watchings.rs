//! The films that are watched at this desk, one a session.

use std::sync::{Arc, Mutex};

use hosewright_page::Watching;

use super::lock::held;

/// The most that are watched at once; the one that began first goes.
const WATCHED: usize = 4;

/// Whose film it is: a session, and whether in the demonstration.
type Whose = (String, bool);

/// The films that are watched.
#[derive(Default)]
pub struct Watchings(Mutex<Vec<(Whose, Arc<Mutex<Watching>>)>>);

impl Watchings {
    /// The film that a session watches.
    pub fn of(&self, session: &str, demo: bool) -> Arc<Mutex<Watching>> {
        let whose = (session.to_owned(), demo);
        let mut all = held(&self.0);
        if let Some((_, watching)) = all.iter().find(|(known, _)| *known == whose) {
            return watching.clone();
        }
        let over = (all.len() + 1).saturating_sub(WATCHED);
        all.drain(..over);
        let watching = Arc::<Mutex<Watching>>::default();
        all.push((whose, watching.clone()));
        watching
    }
}
