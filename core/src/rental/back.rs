//! What is brought back, and what was seen on it.

use crate::inspection::{Observation, Place, SaidOn};
use crate::photograph::Photograph;

/// What someone says of a set that comes back: every hose that is out is scanned,
/// or named missing. Hoses are named by whatever names them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BroughtBack {
    /// The dives that were made with each hose; none if nobody knows.
    pub dives: Option<u32>,
    /// The hoses that were scanned.
    pub scanned: Vec<String>,
    /// The hoses that did not come back.
    pub missing: Vec<String>,
    /// The hoses that were looked at, with nothing found. One that came back and is
    /// neither here nor in `seen` was not looked at.
    pub clear: Vec<String>,
    /// What was seen on hoses that came back: a hose that is named here is in
    /// someone's hand, so it counts as scanned.
    pub seen: Vec<(String, Observation)>,
    /// Photos of what was seen, each with its hose and the place that it shows.
    pub photographs: Vec<(String, Place, Photograph)>,
}

/// Something seen on one hose of a set that comes back, as it is typed:
/// `CODE:run:cut:cover`.
pub type SeenOn = SaidOn<Observation>;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_finding_names_its_hose_first() {
        for (typed, hose, seen) in [
            ("7K2M9:run:scuff", "7K2M9", "run:scuff"),
            ("7K2M9:run:cut:cover", "7K2M9", "run:cut:cover"),
            (" 7K2M9 : run : strands : 2", "7K2M9", "run:strands:2"),
            ("HW1:7K2M9ABCDEFGH.12345:end-a:salt", "HW1:7K2M9ABCDEFGH.12345", "end-a:salt"),
            ("HTTPS://A.EXAMPLE/HW1:7K2:run:kink:set", "HTTPS://A.EXAMPLE/HW1:7K2", "run:kink:set"),
        ] {
            let read: Result<SeenOn, _> = typed.parse();
            let read = read.map(|s| (s.hose, s.seen.to_string()));
            assert_eq!(read, Ok((hose.to_owned(), seen.to_owned())), "{typed}");
        }
        for (typed, why) in [
            ("", "is not a finding"),
            ("7K2M9", "is not a finding"),
            ("run:scuff", "is not a finding"),
            (":run:scuff", "is not a finding"),
            ("7K2M9:run:cut", "needs"),
            ("7K2M9:leg:cut", "place"),
            ("7K2M9:seal-a:scuff", "is not found at"),
        ] {
            let said = typed.parse::<SeenOn>().err().map(|e| e.to_string()).unwrap_or_default();
            assert!(said.contains(why), "{typed}: {said}");
        }
    }
}
