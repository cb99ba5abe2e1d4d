//! The form with which one of several hoses of one tag gets a tag of its own: it is
//! looked over in full.

use super::inspection::{self, Inspected};
use super::{Field, Filled, Form, Group, Kind};
use crate::words::form as say;
use crate::words::inspection::FULL_LEAD;

/// What the names of its findings begin with: this form takes no photos.
pub const OF: &str = "identified|";

/// The form, as far as it is filled in. `registration` is the entry with which the
/// hose was registered, and its words.
#[must_use]
pub fn draw(filled: &Filled, of: Inspected<'_>, registration: (&str, &str)) -> Form {
    let (entry, words) = registration;
    let fixed = vec![Field::fixed("registration", entry)];
    let mut form = Form::new(say::IDENTIFY, say::IDENTIFY_GO, fixed).lead(words).lead(FULL_LEAD);
    form.groups.extend(inspection::groups(of, None));
    let mut last = Vec::from_iter(inspection::why_gone(of));
    last.push(Field::new("tag", say::NEW_TAG, Kind::Tag).hint(say::NEW_TAG_HINT));
    form.groups.push(Group { fields: last, ..Group::default() });
    form.filled(filled).checked(&inspection::read(filled, of))
}
