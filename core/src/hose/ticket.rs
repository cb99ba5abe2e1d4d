//! A ticket: a number, so that no person is on record.

use super::{HoseError, Label};

/// As many letters as a ticket can have beside its digits: no room for a name.
const LETTERS: usize = 3;

/// The ticket of a hirer or a customer: digits, with at most three letters and `-`, `/`
/// or `.` between them.
///
/// # Errors
/// [`HoseError::BadText`] if nothing is typed, [`HoseError::NoTicket`] if it is no number.
pub fn ticket(typed: &str) -> Result<Label, HoseError> {
    let ticket = Label::new("a ticket", typed)?;
    let text = ticket.as_str();
    let letters = text.chars().filter(|c| c.is_alphabetic()).count();
    let is_number = text.chars().any(|c| c.is_ascii_digit())
        && letters <= LETTERS
        && text.chars().all(|c| c.is_ascii_digit() || c.is_alphabetic() || "-/.".contains(c));
    is_number.then_some(ticket).ok_or(HoseError::NoTicket)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ticket_is_a_number() {
        for typed in ["4711", "0042", " 4711 ", "T-17", "t17", "2026/0815", "R3.12", "POS-9"] {
            let read = ticket(typed).map(|ticket| ticket.to_string());
            assert_eq!(read, Ok(typed.trim().to_owned()));
        }
        let longest = format!("ABC{}", "7".repeat(Label::MOST - 3));
        assert_eq!(ticket(&longest).map(|ticket| ticket.to_string()), Ok(longest.clone()));
        assert!(matches!(ticket(&format!("{longest}7")), Err(HoseError::BadText { .. })));
        for typed in [
            "Anna",
            "Anna 2",
            "no. 7",
            "4711 4712",
            "T-",
            "ABCD1",
            "№4",
            "１２",
            "ABC",
            "/-.",
            "4711:1",
        ] {
            assert_eq!(ticket(typed), Err(HoseError::NoTicket), "{typed}");
        }
        assert!(matches!(ticket("  "), Err(HoseError::BadText { .. })));
    }
}
