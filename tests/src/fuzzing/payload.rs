use hosewright_core::tag::{Base, Code, Payload};

use super::{Taken, round, said};

/// The text of a tag, a code as it is typed, and a page's address.
pub fn payload(bytes: &[u8]) -> Taken {
    let Ok(text) = std::str::from_utf8(bytes) else { return Taken::Refused };
    code_searches(text);
    let read = [
        round(text, Payload::parse, Payload::text),
        round(text, Code::parse, Code::to_string),
        round(text, Code::parse, |code| code.compact()),
        round(text, Base::parse, Base::to_string),
    ];
    if let (Some(base), Some(code)) = (said(Base::parse(text)), Code::from_bits(0)) {
        let tag = Payload { code, passport: None };
        assert_eq!(Payload::parse(&tag.text_with_base(&base)), Ok(tag), "{base}");
    }
    read.into_iter().max().unwrap_or(Taken::Refused)
}

fn code_searches(typed: &str) {
    let near = Code::one_slip_away(typed);
    if let Ok(code) = Code::parse(typed) {
        assert!(!near.contains(&code), "{typed:?} is no slip away from itself");
    }
    for code in near {
        let begins = Code::prefix(&code.to_string()[..9]);
        assert!(begins.is_some_and(|begins| begins.holds(code)), "{code}");
    }
    if let Some(prefix) = Code::prefix(typed) {
        assert!(prefix.bits().start() <= prefix.bits().end());
    }
}
