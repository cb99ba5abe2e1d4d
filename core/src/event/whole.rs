//! Reasons and notes that are longer than earlier programs read. In an entry such a text
//! stands shortened under its own name, as those can read it, and whole under another,
//! which they pass over. So a hold with a long reason is a hold for every program.

use serde_json::Value;

use crate::hose::Prose;

/// The fields that may be long, each with where the whole of it is.
const LONG: [(&str, &str); 3] =
    [("why", "why_whole"), ("note", "note_whole"), ("override_why", "override_why_whole")];

/// The fields of an entry with their long texts shortened, and whole beside that.
pub(super) fn shortened(mut body: Value) -> Value {
    let Some(fields) = body.as_object_mut() else { return body };
    for (name, whole) in LONG {
        let short = fields.get(name).and_then(Value::as_str).and_then(Prose::shortened);
        if let Some(short) = short
            && let Some(long) = fields.insert(name.to_owned(), short.into())
        {
            fields.insert(whole.to_owned(), long);
        }
    }
    body
}

/// Whether some text of these fields, as JSON, may stand whole in another place.
pub(super) fn may_be_long(body: &str) -> bool {
    body.contains("_whole\"")
}

/// The same with each text whole in its own place.
pub(super) fn joined(mut body: Value) -> Value {
    let Some(fields) = body.as_object_mut() else { return body };
    for (name, whole) in LONG {
        if let Some(long) = fields.remove(whole)
            && fields.contains_key(name)
        {
            fields.insert(name.to_owned(), long);
        }
    }
    body
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::event::{Event, Held};
    use crate::hose::Label;
    use crate::story::code;

    fn held(why: &str) -> Event {
        let why = Prose::new("a reason", why).unwrap_or_else(|e| unreachable!("{e}"));
        Event::Held(Held { hose: Some(code(1)), set: None, hoses: Vec::new(), why, incident: true })
    }

    #[test]
    fn a_short_reason_keeps_its_bytes() {
        let (_, _, body) = held(&"x".repeat(80)).to_parts();
        assert_eq!(body.get("why_whole"), None);
        let (_, _, body) = held(&"x".repeat(81)).to_parts();
        assert_eq!(body.get("why_whole").and_then(Value::as_str).map(str::len), Some(81));
    }

    proptest! {
        /// What an earlier program reads of it is what it can read; this one reads all.
        #[test]
        fn a_long_reason_is_a_reason_for_every_program(why in "[a-zäß ]{0,999}x") {
            let event = held(&why);
            let (kind, version, body) = event.to_parts();
            let short = body.get("why").and_then(Value::as_str).unwrap_or_default();
            prop_assert!(Label::new("a text", short).is_ok(), "{short}");
            prop_assert_eq!(Event::from_parts(&kind, version, body), Some(event));
        }
    }
}
