//! Whom an entry of any kind, known or not, is about.

use serde_json::Value;

use super::SetId;
use crate::device::Warrant;
use crate::tag::Code;

/// Kinds that say something of every hose.
const OF_THE_FLEET: [&str; 7] =
    ["limited", "recalled", "recall-ended", "gap-lost", "staffed", "staff-left", Warrant::KIND];

/// Kinds whose first version names a set by its name.
const BY_NAME: [&str; 6] = ["assembled", "fitted", "removed", "swapped", "handed-out", "returned"];

/// Whom an entry is about.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Touched {
    /// Hoses.
    pub hoses: Vec<Code>,
    /// Sets.
    pub sets: Vec<SetId>,
    /// Limits or recalls, which are every hose's, or nobody that is known.
    pub fleet: bool,
}

/// Whom an entry of a kind and version is about. One that names no hose and no
/// set counts for the fleet.
#[must_use]
pub fn touched(kind: &str, version: u32, body: &Value) -> Touched {
    let listed = |one: &str, many: &str| {
        let one = body.get(one).into_iter();
        let many = body.get(many).and_then(Value::as_array).into_iter().flatten();
        one.chain(many).filter_map(Value::as_str).collect::<Vec<_>>()
    };
    let by_name = version == 1 && BY_NAME.contains(&kind);
    let set = |text: &str| match Code::parse(text) {
        Ok(code) if !by_name => SetId::new(code),
        _ => SetId::of_name(text),
    };
    let place = |key: &str| body.get(key).and_then(|seat| seat.get("set")?.as_str());
    let places = place("from").into_iter().chain(place("at"));
    let sets = listed("set", "sets").into_iter().chain(places).map(set);
    let hoses = listed("hose", "hoses").into_iter().filter_map(|text| Code::parse(text).ok());
    let (hoses, sets) = (once(hoses), once(sets));
    let fleet = OF_THE_FLEET.contains(&kind)
        || body.get("fleet").and_then(Value::as_bool) == Some(true)
        || hoses.is_empty() && sets.is_empty();
    Touched { hoses, sets, fleet }
}

fn once<T: Ord>(all: impl Iterator<Item = T>) -> Vec<T> {
    let mut all: Vec<T> = all.collect();
    all.sort_unstable();
    all.dedup();
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_unknown_kind_still_says_whom_it_is_about() {
        let hose = (0..).find_map(Code::from_bits);
        let Some(hose) = hose else { unreachable!("some bits are a code") };
        let body = serde_json::json!({"hose": hose.to_string(), "set": "A1", "from": {"set": "B2"}, "x": 1});
        let whom = touched("polished", 1, &body);
        assert_eq!(whom.hoses, [hose]);
        let mut sets = [SetId::of_name("A1"), SetId::of_name("B2")];
        sets.sort_unstable();
        assert_eq!((whom.sets.as_slice(), whom.fleet), (&sets[..], false));
        assert!(touched("polished", 1, &serde_json::json!({"x": 1})).fleet);
    }

    #[test]
    fn a_set_is_named_by_name_before_and_by_its_code_since() {
        let set = SetId::of_name("A1");
        let body = serde_json::json!({"set": set.to_string()});
        assert_eq!(touched("fitted", 2, &body).sets, [set]);
        assert_eq!(touched("fitted", 1, &body).sets, [SetId::of_name(&set.to_string())]);
    }
}
