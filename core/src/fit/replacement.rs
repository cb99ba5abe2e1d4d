//! Which hose goes in the place of another: section 6 of the trade's rules
//! (common practice, no source). The service and the threads of both ends must
//! be the same; length and construction are a choice, and the difference is said.

use serde::Serialize;
use uom::si::length::centimeter;

use super::{DEPRESSURISE, OXYGEN, TECHNICIAN};
use crate::hose::{Construction, End, Fitting, Label, Pressure, Service, Specification};
use crate::measure::HoseLength;

/// What must be the same for one hose to go in the place of another. Two
/// hoses with equal interfaces fit each other's place, and no others do.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Interface {
    service: Service,
    ends: [String; 2],
}

impl Interface {
    /// The interface of a hose. A proprietary fitting is told by its text,
    /// whatever its capitals.
    #[must_use]
    pub fn of(hose: &Specification) -> Self {
        let end = |end| hose.fitting(end).to_string().to_lowercase();
        Self { service: hose.service(), ends: [end(End::A), end(End::B)] }
    }
}

/// Why a hose does not go in the place of another; nothing if it does.
#[must_use]
pub fn mismatches(place: &Specification, other: &Specification) -> Vec<String> {
    let mut said = Vec::new();
    let (needs, is) = (place.service(), other.service());
    if needs.pressure() != is.pressure() {
        said.push(format!(
            "it is {}, and this place is {}: never mix the two",
            pressured(is.pressure()),
            pressured(needs.pressure())
        ));
    } else if needs != is {
        said.push(format!("it is for {}, and this place is for {}", purpose(is), purpose(needs)));
    }
    let same = |end| {
        let text = |hose: &Specification| hose.fitting(end).to_string().to_lowercase();
        text(place) == text(other)
    };
    if !same(End::A) {
        let (is, port) = (other.fitting(End::A), place.fitting(End::A));
        said.push(format!("{is} will not go into a {port} port"));
    }
    if !same(End::B) {
        said.push(far_end(place.fitting(End::B), other.fitting(End::B)));
    }
    if place.oxygen() && !other.oxygen() {
        said.push(
            "it is not on record as cleaned for oxygen, and this place is for oxygen".to_owned(),
        );
    }
    said
}

const fn pressured(pressure: Pressure) -> &'static str {
    match pressure {
        Pressure::High => "a high-pressure hose",
        Pressure::Low => "a low-pressure hose",
    }
}

const fn purpose(service: Service) -> &'static str {
    match service {
        Service::SecondStage => "a second stage",
        Service::Inflator => "an inflator",
        Service::Gauge => "a gauge",
    }
}

fn far_end(place: &Fitting, is: &Fitting) -> String {
    match (place, is) {
        (Fitting::Proprietary(wanted), Fitting::Proprietary(own)) => {
            format!("its far end is the maker's own “{own}”, and only “{wanted}” fits here")
        }
        (Fitting::Proprietary(wanted), _) => {
            format!("its far end is {is}, and only the maker's own “{wanted}” fits here")
        }
        (_, Fitting::Proprietary(own)) => {
            format!("its far end is the maker's own “{own}”, which does not go on a {place}")
        }
        _ => format!("its far end, {is}, does not go on a {place}"),
    }
}

/// How a hose that fits differs from the one whose place it takes: length, to a
/// millimetre, and construction.
#[must_use]
pub fn differences(place: &Specification, other: &Specification) -> Vec<String> {
    let mut said = Vec::new();
    let longer = centimetres(other) - centimetres(place);
    if longer.abs() >= 0.05 {
        let word = if longer > 0.0 { "longer" } else { "shorter" };
        let (is, was) = (other.length(), place.length());
        said.push(format!("{} {word} ({is}, in place of {was})", was.apart(is)));
    }
    if other.construction() != place.construction() {
        said.push(format!("{}, in place of {}", other.construction(), place.construction()));
    }
    said
}

/// How far the lengths of two hoses are apart, in centimetres.
#[must_use]
pub fn length_apart(one: &Specification, other: &Specification) -> f64 {
    length_between(one.length(), other.length())
}

/// How far two lengths are apart, in centimetres.
#[must_use]
pub fn length_between(one: &HoseLength, other: &HoseLength) -> f64 {
    (one.quantity() - other.quantity()).get::<centimeter>().abs()
}

fn centimetres(hose: &Specification) -> f64 {
    hose.length().quantity().get::<centimeter>()
}

/// A hose that could take a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate<T> {
    /// By what it is known.
    pub code: T,
    /// The shop's own number for it.
    pub number: Option<Label>,
    /// What it is; none if nobody has said it.
    pub hose: Option<Specification>,
    /// What else speaks against it: out of service, held, out.
    pub against: Vec<String>,
    /// What is to be known before it is fitted.
    pub watch: Vec<String>,
}

/// A hose that fits.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GoodFit<T> {
    /// By what it is known.
    pub code: T,
    /// The shop's own number for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<Label>,
    /// What it is, how it differs and what is to be known, in words.
    pub words: String,
    /// How it differs; nothing if it is the same in all.
    pub differences: Vec<String>,
    /// What is to be known before it is fitted.
    pub watch: Vec<String>,
}

/// A hose that does not fit, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Not<T> {
    /// By what it is known.
    pub code: T,
    /// The shop's own number for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<Label>,
    /// Every reason, in words.
    pub words: String,
}

/// What to order for a place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ToOrder {
    /// Whether there is need to: nothing in stock fits.
    pub needed: bool,
    /// The service.
    pub service: Service,
    /// The construction that is there now.
    pub construction: Construction,
    /// The length that is there now.
    pub length: HoseLength,
    /// The end at the first stage.
    pub end_a: Fitting,
    /// The far end.
    pub end_b: Fitting,
    /// The same in words.
    pub words: String,
}

/// Which hoses take a place, which do not, and what to order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Replacement<T> {
    /// Those that fit: the most alike first.
    pub fits: Vec<T>,
    /// The same, with how each differs.
    pub fitting: Vec<GoodFit<T>>,
    /// Those that do not, each with every reason.
    pub not: Vec<Not<T>>,
    /// What to order.
    pub order: ToOrder,
    /// What to say beside the answer.
    pub cautions: &'static [&'static str],
}

/// What to say beside every answer about replacements.
pub const REPLACEMENT_CAUTIONS: &[&str] = &[
    "Hold both ends against the old hose's before a thread is started: the record may be wrong.",
    "Another length pulls or snags where it is worn: try it on the set before it is dived.",
    DEPRESSURISE,
    OXYGEN,
    "After fitting, a leak test under pressure, and its result on record.",
    TECHNICIAN,
];

/// Sorts out which candidates take a place.
#[must_use]
pub fn replacement<T: Clone + Ord>(
    place: &Specification,
    candidates: impl IntoIterator<Item = Candidate<T>>,
) -> Replacement<T> {
    let mut good: Vec<((bool, f64), GoodFit<T>)> = Vec::new();
    let mut not = Vec::new();
    for Candidate { code, number, hose, against, watch } in candidates {
        let why = match &hose {
            Some(hose) => mismatches(place, hose),
            None => vec!["nobody has said what kind of hose it is".to_owned()],
        };
        let why: Vec<String> = why.into_iter().chain(against).collect();
        match hose {
            Some(hose) if why.is_empty() => {
                let likeness =
                    (hose.construction() != place.construction(), length_apart(place, &hose));
                good.push((likeness, fitting((code, number), place, &hose, watch)));
            }
            _ => not.push(Not { code, number, words: why.join("; ") }),
        }
    }
    good.sort_by(|(a, x), (b, y)| {
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then_with(|| x.code.cmp(&y.code))
    });
    not.sort_by(|a, b| a.code.cmp(&b.code));
    let fitting: Vec<GoodFit<T>> = good.into_iter().map(|(_, fit)| fit).collect();
    let fits: Vec<T> = fitting.iter().map(|fit| fit.code.clone()).collect();
    let order = to_order(place, fits.is_empty());
    Replacement { fits, fitting, not, order, cautions: REPLACEMENT_CAUTIONS }
}

fn fitting<T>(
    (code, number): (T, Option<Label>),
    place: &Specification,
    hose: &Specification,
    watch: Vec<String>,
) -> GoodFit<T> {
    let differences = differences(place, hose);
    let how = if differences.is_empty() {
        "the same length and construction".to_owned()
    } else {
        differences.join("; ")
    };
    let known = watch.iter().map(|w| format!(". {w}")).collect::<String>();
    GoodFit { code, number, words: format!("{hose}: {how}{known}"), differences, watch }
}

fn to_order(place: &Specification, needed: bool) -> ToOrder {
    let (end_a, end_b) = (place.fitting(End::A).clone(), place.fitting(End::B).clone());
    let whence = match &end_b {
        Fitting::Proprietary(text) => format!(
            "the far end is a maker's own, and no standard hose fits it: order it by “{text}” from that maker"
        ),
        _ => {
            "the service and both threads must be these; another length or construction is a choice"
                .to_owned()
        }
    };
    let oxygen = if place.oxygen() { ", cleaned for oxygen" } else { "" };
    let why = if needed { "Nothing in stock fits. Order" } else { "Of the same kind" };
    ToOrder {
        needed,
        service: place.service(),
        construction: place.construction(),
        length: place.length().clone(),
        end_a,
        end_b,
        words: format!("{why}: {place}{oxygen} ({whence})."),
    }
}

#[cfg(test)]
mod tests;
