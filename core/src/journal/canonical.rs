//! One text for one value: keys sorted, no spaces, whole numbers only.

use serde_json::Value;

/// The canonical JSON of a value, as RFC 8785 writes it for values without
/// fractions; nothing if there is a fraction or an exponent, which two
/// programs may round differently.
#[must_use]
pub fn canonical_json(value: &Value) -> Option<String> {
    let mut text = String::new();
    write(value, &mut text)?;
    Some(text)
}

fn write(value: &Value, text: &mut String) -> Option<()> {
    match value {
        Value::Number(number) if !(number.is_i64() || number.is_u64()) => return None,
        Value::Array(items) => {
            text.push('[');
            for (at, item) in items.iter().enumerate() {
                if at > 0 {
                    text.push(',');
                }
                write(item, text)?;
            }
            text.push(']');
        }
        Value::Object(fields) => {
            let mut sorted: Vec<_> = fields.iter().collect();
            sorted.sort_unstable_by(|(a, _), (b, _)| a.encode_utf16().cmp(b.encode_utf16()));
            text.push('{');
            for (at, (key, item)) in sorted.into_iter().enumerate() {
                if at > 0 {
                    text.push(',');
                }
                quoted(key, text);
                text.push(':');
                write(item, text)?;
            }
            text.push('}');
        }
        Value::String(string) => quoted(string, text),
        plain => text.push_str(&plain.to_string()),
    }
    Some(())
}

/// A text as JSON writes it.
pub(super) fn quoted(plain: &str, text: &mut String) {
    // Nothing in most texts has to be escaped, and then they are copied whole.
    if plain.bytes().all(|byte| byte >= 0x20 && byte != b'"' && byte != b'\\') {
        text.push('"');
        text.push_str(plain);
        text.push('"');
    } else {
        text.push_str(&Value::from(plain).to_string());
    }
}

#[cfg(test)]
mod tests {
    use super::canonical_json;

    #[test]
    fn one_text_for_one_value() {
        let table = [
            (
                r#"{ "b": 1, "a": [true, null, "x\u0041\n"] }"#,
                Some(r#"{"a":[true,null,"xA\n"],"b":1}"#),
            ),
            (r#"{"é":-3,"z":{}}"#, Some(r#"{"z":{},"é":-3}"#)),
            ("1.5", None),
            ("[1e3]", None),
            ("18446744073709551616", None),
        ];
        for (typed, expected) in table {
            let value = serde_json::from_str(typed).unwrap_or_default();
            assert_eq!(canonical_json(&value).as_deref(), expected, "{typed}");
        }
    }
}
