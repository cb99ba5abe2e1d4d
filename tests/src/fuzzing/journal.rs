use hosewright_core::event::{Event, touched};
use hosewright_core::journal::{Entry, canonical_json, entry_of_line, line_of_entry};

use super::{Taken, said};

/// A line of an export: the entry's own line gives the same entry, its bytes
/// are canonical, and what it tells survives being written again.
pub fn journal(bytes: &[u8]) -> Taken {
    let line = std::str::from_utf8(bytes).ok();
    let Some(entry) = line.and_then(|line| said(entry_of_line(line))) else {
        return Taken::Refused;
    };
    let written = line_of_entry(&entry);
    assert_eq!(entry_of_line(&written).as_ref(), Ok(&entry), "{written}");
    let value = serde_json::from_str(&entry.canonical()).unwrap_or_default();
    assert_eq!(canonical_json(&value).as_ref(), Some(&entry.canonical()));
    if let Some(event) = entry.event() {
        tells_the_same(&entry, event);
    }
    Taken::Read
}

fn tells_the_same(entry: &Entry, event: Event) {
    let (kind, version, body) = event.to_parts();
    assert_eq!((kind.as_str(), version), (entry.kind.as_str(), entry.version));
    assert!(canonical_json(&body).is_some(), "{body}");
    assert_eq!(Event::from_parts(&kind, entry.version, body.clone()), Some(event));
    // Fields that the kind does not have may name others as well.
    let (ours, all) = (touched(&kind, version, &body), entry.touched());
    assert!(ours.hoses.iter().all(|hose| all.hoses.contains(hose)), "{body}");
    assert!(ours.sets.iter().all(|set| all.sets.contains(set)), "{body}");
}
