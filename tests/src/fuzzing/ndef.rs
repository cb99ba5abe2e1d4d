use hosewright_core::tag::ndef::{
    Container, ForChip, Held, LastLook, Ours, Overwrite, area_for, message_for, read, read_area,
};

use super::{Taken, said};

/// A message, an inspection in CBOR, or a chip's container and data area: what
/// is ours, written again, is read as the same.
pub fn ndef(bytes: &[u8]) -> Taken {
    let look = said(LastLook::from_cbor(bytes));
    if let Some(look) = &look {
        assert_eq!(LastLook::from_cbor(&look.to_cbor()).as_ref(), Ok(look));
    }
    let read = [holds(&read(bytes)), look.is_some(), on_a_chip(bytes)];
    if read.contains(&true) { Taken::Read } else { Taken::Refused }
}

/// Whether something is held that is understood.
fn holds(held: &Held) -> bool {
    match held {
        Held::Ours(ours) => {
            let message = message_for(&for_chip(ours), usize::MAX);
            let again = message.map(|message| read(&message.bytes));
            assert!(again.is_ok_and(|again| is_same(&again, ours)), "{ours:?}");
            true
        }
        Held::Another(words) => {
            assert!(!words.is_empty() && !words.contains(char::is_control), "{words:?}");
            true
        }
        Held::Unreadable(error) => {
            assert!(!error.to_string().is_empty());
            false
        }
        Held::Nothing => false,
    }
}

fn for_chip(ours: &Ours) -> ForChip {
    let look = ours.look.clone().and_then(Result::ok);
    ForChip { payload: ours.payload, base: None, look }
}

fn is_same(held: &Held, ours: &Ours) -> bool {
    let look = ours.look.clone().filter(Result::is_ok);
    *held == Held::Ours(Ours { payload: ours.payload, look, besides: None })
}

fn on_a_chip(bytes: &[u8]) -> bool {
    let Some((container, area)) = bytes.split_first_chunk() else { return false };
    let Some(container) = said(Container::parse(*container)) else { return false };
    let held = read_area(container, area);
    if let Held::Ours(ours) = &held {
        for overwrite in [Overwrite::OwnOnly, Overwrite::Agreed] {
            let written = said(area_for(&for_chip(ours), (container, area), overwrite));
            let again = written.map(|area| read_area(container, &area));
            let same = |held| matches!(held, Held::Ours(again) if again.payload == ours.payload);
            assert!(again.is_none_or(same), "{ours:?}");
        }
    }
    holds(&held)
}
