//! Whether one hose can take the place of another (section 6 of the trade's
//! rules: common practice, no source).

use crate::hose::{End, Fitting, Specification};

/// Why a hose cannot take the place of another, each reason in words; empty
/// where it can. Length and construction are a choice and no reason.
#[must_use]
pub fn mismatches(place: &Specification, candidate: &Specification) -> Vec<String> {
    let mut reasons = Vec::new();
    if place.service() != candidate.service() {
        reasons.push(format!(
            "it is {}, and the place needs {}",
            candidate.service(),
            place.service()
        ));
    }
    for end in [End::A, End::B] {
        reasons.extend(mismatch(end, place.fitting(end), candidate.fitting(end)));
    }
    reasons
}

fn mismatch(end: End, place: &Fitting, candidate: &Fitting) -> Option<String> {
    if place == candidate {
        return None;
    }
    Some(match (end, candidate, place) {
        (End::A, Fitting::Thread(own), Fitting::Thread(port)) => {
            format!("{own} will not go into a {port} port")
        }
        (_, Fitting::Proprietary(own), Fitting::Proprietary(wanted)) => format!(
            "at end {end} the fittings are makers' own and differ: “{own}” is not “{wanted}”"
        ),
        (_, _, Fitting::Proprietary(wanted)) => {
            format!("end {end} needs the maker's own fitting “{wanted}”; no standard hose has it")
        }
        (_, own, wanted) => format!("{own} does not go on {wanted} at end {end}"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hose::{Construction, Service};
    use crate::measure::HoseLength;

    fn hose(service: &str, a: &str, b: &str) -> Specification {
        let length = HoseLength::parse("75 cm").unwrap_or_else(|e| unreachable!("{e}"));
        let service: Service = service.parse().unwrap_or_else(|e| unreachable!("{e}"));
        let end = |text: &str| text.parse().unwrap_or_else(|e| unreachable!("{e}"));
        Specification::new(service, Construction::Rubber, length, end(a), end(b), false)
            .unwrap_or_else(|e| unreachable!("{e}"))
    }

    #[test]
    fn every_mismatch_is_said() {
        let lp = hose("second-stage", "3/8-24", "9/16-18");
        let own = hose("second-stage", "3/8-24", "proprietary:Otter swivel");
        let rows = [
            (&lp, hose("second-stage", "3/8-24", "9/16-18"), vec![]),
            (
                &lp,
                hose("second-stage", "1/2-20", "9/16-18"),
                vec!["1/2-20 will not go into a 3/8-24 port"],
            ),
            (
                &lp,
                hose("inflator", "3/8-24", "quick-disconnect"),
                vec![
                    "it is inflator, and the place needs second-stage",
                    "quick-disconnect does not go on 9/16-18 at end b",
                ],
            ),
            (
                &own,
                hose("second-stage", "3/8-24", "9/16-18"),
                vec!["end b needs the maker's own fitting “Otter swivel”; no standard hose has it"],
            ),
            (
                &own,
                hose("second-stage", "3/8-24", "proprietary:Seal swivel"),
                vec![
                    "at end b the fittings are makers' own and differ: “Seal swivel” is not “Otter \
                     swivel”",
                ],
            ),
            (&own, own.clone(), vec![]),
        ];
        for (place, candidate, expected) in rows {
            assert_eq!(mismatches(place, &candidate), expected);
        }
    }
}
