//! Dates in a text, each kept on one line: a browser would break `2026-06-12` at a
//! hyphen, and `12 June` at its space.

use std::borrow::Cow;

const MONTHS: &[&str] = &[
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A text in HTML whose dates do not break.
pub fn whole_dates(text: &str) -> Cow<'_, str> {
    let mut shown = String::new();
    let (mut done, mut at) = (0, 0);
    while let Some(begin) = text.get(at..).and_then(|rest| rest.find(|c: char| c.is_ascii_digit()))
    {
        let begin = at + begin;
        let rest = text.get(begin..).unwrap_or_default();
        // A number that goes on from something is part of that: of a code, of an entity.
        let before = text.get(..begin).and_then(|before| before.chars().next_back());
        let alone = before.is_none_or(|c| !c.is_alphanumeric() && c != '-' && c != '#');
        match date(rest).filter(|_| alone) {
            Some(length) => {
                shown.push_str(text.get(done..begin).unwrap_or_default());
                shown.push_str("<span class=\"date\">");
                shown.push_str(rest.get(..length).unwrap_or_default());
                shown.push_str("</span>");
                done = begin + length;
                at = done;
            }
            None => at = begin + rest.bytes().take_while(u8::is_ascii_digit).count(),
        }
    }
    if done == 0 {
        return Cow::Borrowed(text);
    }
    shown.push_str(text.get(done..).unwrap_or_default());
    Cow::Owned(shown)
}

/// How long the date is that a text begins with.
fn date(text: &str) -> Option<usize> {
    let length = of_record(text).or_else(|| spoken(text))?;
    let after = text.get(length..)?.chars().next();
    after.is_none_or(|c| !c.is_alphanumeric() && c != '-').then_some(length)
}

/// `2026-06-12`, `2026-06`, `2026-Q2` or `2026-W24`.
fn of_record(text: &str) -> Option<usize> {
    let year = digits(text, 4)?;
    let part = text.get(year..)?.strip_prefix('-')?;
    let quarter = || part.strip_prefix('Q').and_then(|rest| Some(1 + digits(rest, 1)?));
    let week = || part.strip_prefix('W').and_then(|rest| Some(1 + digits(rest, 2)?));
    if let Some(length) = quarter().or_else(week) {
        return Some(year + 1 + length);
    }
    let month = year + 1 + digits(part, 2)?;
    let day = text.get(month..)?.strip_prefix('-').and_then(|day| digits(day, 2));
    Some(day.map_or(month, |day| month + 1 + day))
}

/// `12 June` or `12 June 2025`.
fn spoken(text: &str) -> Option<usize> {
    let day = digits(text, 2).or_else(|| digits(text, 1))?;
    let rest = text.get(day..)?.strip_prefix(' ')?;
    let month = MONTHS.iter().find(|month| rest.starts_with(**month))?;
    let length = day + 1 + month.len();
    let year = text.get(length..)?.strip_prefix(' ').and_then(|year| digits(year, 4));
    Some(year.map_or(length, |year| length + 1 + year))
}

/// So many digits, and no more.
fn digits(text: &str, count: usize) -> Option<usize> {
    (text.bytes().take_while(u8::is_ascii_digit).count() == count).then_some(count)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_kept_whole_and_nothing_else_is() {
        let dates = [
            "2026-06-12",
            "2026-06",
            "2026-Q2",
            "2026-W24",
            "12 June",
            "1 May 2025",
            "31 December",
        ];
        for date in dates {
            let kept = format!("<span class=\"date\">{date}</span>");
            for (before, after) in [("", ""), ("on ", "."), ("(", ")"), ("ü", " ü"), ("A, ", ", ")]
            {
                let before = if before == "ü" { "ü " } else { before };
                let whole = whole_dates(&format!("{before}{date}{after}")).into_owned();
                assert_eq!(whole, format!("{before}{kept}{after}"));
            }
            let twice = format!("{date} and {date}");
            assert_eq!(whole_dates(&twice), format!("{kept} and {kept}"));
        }
        let others = [
            "2RWB-XCB4-GDEA-7",
            "2024-1234",
            "2024-12-1",
            "8 months",
            "4 Mayflies",
            "LP-17",
            "A2026-06",
            "9/16-18",
            "&#34;",
            "2026-06-12T10",
            "",
            "7",
            "12 Junes",
            "1234567-12",
            "12 \u{fc}",
        ];
        for other in others {
            assert_eq!(whole_dates(other), other);
        }
    }
}
