//! Who the owner of a fleet is, now that keys may have followed one another.

use rusqlite::Transaction;

use super::append::set_owner;
use super::members::Members;
use super::recheck;
use super::successions::successions;
use super::{Reach, StoreError};

/// Follows the words of the pinned owner to the newest key, and judges everything again if that
/// is another; nothing where it is not. What was followed once stays: of several words of one
/// key the first that comes here counts, and of those that come at once the one that was said
/// first.
///
/// # Errors
/// [`StoreError`] if the store cannot be read or written.
pub fn follow_owner(work: &Transaction<'_>) -> Result<Option<Reach>, StoreError> {
    let mut members = Members::load(work)?;
    let pinned = members.owner;
    members.follow(&successions(work)?.iter().collect::<Vec<_>>());
    match members.owner {
        Some(heir) if Some(heir) != pinned => {
            set_owner(work, &heir)?;
            recheck::as_proven_before(work).map(Some)
        }
        _ => Ok(None),
    }
}
