//! An event as the journal has it: its kind, its version and its fields; and the
//! entries that it names.

use super::whole;
use serde_json::Value;

use super::{
    CameIn, EntryId, Event, Fitted, PlaceConfirmed, Released, Removed, Returned, Swapped, Unpacked,
};

impl Event {
    /// The kind's name, its version and its fields.
    #[must_use]
    pub fn to_parts(&self) -> (String, u32, Value) {
        let mut whole = serde_json::to_value(self).unwrap_or_default();
        let name = whole.get("kind").and_then(Value::as_str).unwrap_or_default().to_owned();
        let (kind, version) = name.split_once('@').unwrap_or((&name, "1"));
        let version = version.parse().unwrap_or(1);
        let body = whole.get_mut("body").map(Value::take).unwrap_or_default();
        (kind.to_owned(), version, whole::shortened(body))
    }

    /// The event of a kind, its version and its fields; nothing if this
    /// program does not know them.
    #[must_use]
    pub fn from_parts(kind: &str, version: u32, body: Value) -> Option<Self> {
        let kind = ("kind".to_owned(), Value::from(name(kind, version)?));
        let whole =
            Value::Object([kind, ("body".to_owned(), whole::joined(body))].into_iter().collect());
        serde_json::from_value(whole).ok()
    }

    /// The same of fields as canonical JSON. Most are read as they stand: a fold reads
    /// every entry about a hose.
    #[must_use]
    pub fn read(kind: &str, version: u32, body: &str) -> Option<Self> {
        if whole::may_be_long(body) {
            let body = serde_json::from_str(body).unwrap_or_default();
            return Self::from_parts(kind, version, body);
        }
        let kind = Value::from(name(kind, version)?);
        serde_json::from_str(&format!(r#"{{"kind":{kind},"body":{body}}}"#)).ok()
    }

    /// The entries that it names; nothing for a kind of earlier programs, which
    /// means what is before it.
    #[must_use]
    pub fn answers(&self) -> Option<&[EntryId]> {
        match self {
            Self::Described { answers, .. }
            | Self::Inspected { answers, .. }
            | Self::Cleaned { answers, .. }
            | Self::SetChanged { answers, .. }
            | Self::Fitted(Fitted { answers, .. })
            | Self::Removed(Removed { answers, .. })
            | Self::PlaceConfirmed(PlaceConfirmed { answers, .. })
            | Self::Swapped(Swapped { answers, .. })
            | Self::Returned(Returned { answers, .. })
            | Self::Released(Released { answers, .. })
            | Self::CameIn(CameIn { answers, .. })
            | Self::Unpacked(Unpacked { answers, .. })
            | Self::Withdrawn { answers, .. }
            | Self::Admitted { answers, .. }
            | Self::Dismissed { answers, .. } => Some(answers),
            Self::Identified { answers, .. }
            | Self::RecallEnded { answers, .. }
            | Self::SetAsideFor { answers, .. }
            | Self::CheckedOff { answers, .. } => Some(answers),
            _ => None,
        }
    }
}

/// What a kind of a version is called here; nothing if that is no kind's name.
fn name(kind: &str, version: u32) -> Option<String> {
    match version {
        _ if kind.contains('@') => None,
        1 => Some(kind.to_owned()),
        _ => Some(format!("{kind}@{version}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tag::Code;

    /// Every entry of the exemplars, read as it stands and by way of a value.
    #[test]
    fn fields_are_read_as_they_stand() {
        let exemplars = [
            include_str!("../journal/golden/exemplar-1.jsonl"),
            include_str!("../journal/golden/exemplar-4-findings.jsonl"),
            include_str!("../journal/golden/exemplar-4-rental.jsonl"),
            include_str!("../journal/golden/exemplar-5-packing.jsonl"),
        ];
        let mut known = 0;
        for line in exemplars.iter().flat_map(|exemplar| exemplar.lines()) {
            let entry: Value = serde_json::from_str(line).unwrap_or_default();
            let (Some(kind), Some(body)) = (entry["kind"].as_str(), entry.get("body")) else {
                continue;
            };
            let version = entry["v"].as_u64().and_then(|v| u32::try_from(v).ok()).unwrap_or(1);
            let event = Event::read(kind, version, &body.to_string());
            assert_eq!(event, Event::from_parts(kind, version, body.clone()), "{line}");
            known += usize::from(event.is_some());
        }
        assert!(known > 50, "{known}");
        assert_eq!(Event::read("cleaned", 1, "{"), None);
        assert_eq!(Event::read("cleaned\"", 1, "{}"), None);
    }

    #[test]
    fn a_kind_is_known_by_its_version() {
        let Some(hose) = (0..).find_map(Code::from_bits) else { unreachable!("a code") };
        let body = serde_json::json!({"hose": hose.to_string()});
        let read = |kind, version| Event::from_parts(kind, version, body.clone());
        assert_eq!(read("polished", 1), None);
        assert_eq!(read("cleaned", 3), None);
        assert_eq!(read("cleaned@2", 1), None);
        assert_eq!(read("cleaned", 1), Some(Event::CleanedBefore { hose }));
        let now = Event::Cleaned { hose, answers: Vec::new() };
        assert_eq!(read("cleaned", 2), Some(now.clone()));
        assert_eq!(now.to_parts(), ("cleaned".to_owned(), 2, body.clone()));
    }
}
