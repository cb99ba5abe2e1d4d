//! The number in front of a unit: `56`, `56,5`, `22 1/2`, `9/16`.

/// Splits `22 1/2 in` into 22.5 and `in`; `None` if no number leads.
pub(super) fn split_number(typed: &str) -> Option<(f64, &str)> {
    let typed = typed.trim();
    let end =
        typed.char_indices().find(|(_, c)| !is_number_char(*c)).map_or(typed.len(), |(at, _)| at);
    let (number, unit) = typed.split_at(end);
    Some((value(number.trim())?, unit.trim()))
}

fn is_number_char(c: char) -> bool {
    c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | ' ' | '-' | '+')
}

fn value(number: &str) -> Option<f64> {
    let parts: Vec<&str> = number.split_whitespace().collect();
    match parts.as_slice() {
        [one] if one.contains('/') => fraction(one),
        [one] => decimal(one),
        [whole, part] if part.contains('/') && !whole.contains(['.', ',', '/']) => {
            Some(decimal(whole)? + fraction(part)?)
        }
        _ => None,
    }
}

fn fraction(text: &str) -> Option<f64> {
    let (above, below) = text.split_once('/')?;
    let (above, below): (u32, u32) = (above.parse().ok()?, below.parse().ok()?);
    (below != 0).then(|| f64::from(above) / f64::from(below))
}

/// A decimal with a point or a comma; never a thousands separator, since
/// `1,200` would then mean two things.
fn decimal(text: &str) -> Option<f64> {
    let plain = text.replacen(',', ".", 1);
    let digits = plain.strip_prefix(['-', '+']).unwrap_or(&plain);
    let shaped = digits.chars().any(|c| c.is_ascii_digit())
        && digits.chars().all(|c| c.is_ascii_digit() || c == '.');
    shaped.then(|| plain.parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::split_number;

    #[test]
    fn numbers_as_people_write_them() {
        let table: &[(&str, Option<(f64, &str)>)] = &[
            ("56 cm", Some((56.0, "cm"))),
            ("56,5cm", Some((56.5, "cm"))),
            ("22 1/2 in", Some((22.5, "in"))),
            ("9/16\"", Some((0.5625, "\""))),
            ("-3 cm", Some((-3.0, "cm"))),
            ("1.2.3 cm", None),
            ("1/0 in", None),
            ("cm", None),
            ("", None),
            ("1 2 cm", None),
        ];
        for (typed, expected) in table {
            assert_eq!(split_number(typed), *expected, "{typed}");
        }
    }
}
