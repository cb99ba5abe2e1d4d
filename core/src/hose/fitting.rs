//! What is at the ends of a hose, and what each service has there.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::label::Label;
use super::{End, HoseError, Service, Thread};

/// What is at one end of a hose.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Fitting {
    /// A standard thread.
    Thread(Thread),
    /// The quick-disconnect of an inflator.
    QuickDisconnect,
    /// A maker's own fitting or a built-in swivel, told apart by its text.
    Proprietary(Label),
}

impl fmt::Display for Fitting {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Thread(thread) => f.pad(thread.word()),
            Self::QuickDisconnect => f.pad("quick-disconnect"),
            Self::Proprietary(text) => write!(f, "proprietary:{text}"),
        }
    }
}

impl From<Fitting> for String {
    fn from(fitting: Fitting) -> Self {
        fitting.to_string()
    }
}

impl TryFrom<String> for Fitting {
    type Error = HoseError;

    fn try_from(typed: String) -> Result<Self, HoseError> {
        typed.parse()
    }
}

/// What a maker's own fitting begins with.
const PROPRIETARY: &str = "proprietary";

impl FromStr for Fitting {
    type Err = HoseError;

    fn from_str(typed: &str) -> Result<Self, HoseError> {
        let text = typed.trim();
        if let Some((word, described)) = text.split_at_checked(PROPRIETARY.len())
            && word.eq_ignore_ascii_case(PROPRIETARY)
        {
            let described = described.trim_start_matches(|c: char| c == ':' || c.is_whitespace());
            return Label::new("a proprietary fitting", described)
                .map(Self::Proprietary)
                .map_err(|_| HoseError::UnnamedProprietary);
        }
        let folded = text.to_lowercase();
        match folded.replace([' ', '_'], "-").as_str() {
            "quick-disconnect" | "qd" | "quick-release" => Ok(Self::QuickDisconnect),
            _ => text.parse().map(Self::Thread).map_err(|_| HoseError::UnknownWord {
                typed: text.to_owned(),
                what: "fitting",
                choices: "3/8-24, 1/2-20, 7/16-20, 9/16-18, quick-disconnect, proprietary:TEXT"
                    .to_owned(),
            }),
        }
    }
}

/// What each service may have at each end: the one table of section 2 of the
/// trade's rules (common practice, no source). A proprietary fitting may stand
/// at any far end.
pub const FITTINGS: &[(Service, End, &[Fitting], &str)] = &[
    (
        Service::SecondStage,
        End::A,
        &[Fitting::Thread(Thread::Unf3_8x24), Fitting::Thread(Thread::Unf1_2x20)],
        "3/8-24 or 1/2-20",
    ),
    (
        Service::SecondStage,
        End::B,
        &[Fitting::Thread(Thread::Unf9_16x18)],
        "9/16-18 or proprietary:TEXT",
    ),
    (
        Service::Inflator,
        End::A,
        &[Fitting::Thread(Thread::Unf3_8x24), Fitting::Thread(Thread::Unf1_2x20)],
        "3/8-24 or 1/2-20",
    ),
    (
        Service::Inflator,
        End::B,
        &[Fitting::QuickDisconnect],
        "quick-disconnect or proprietary:TEXT",
    ),
    (Service::Gauge, End::A, &[Fitting::Thread(Thread::Unf7_16x20)], "7/16-20"),
    (Service::Gauge, End::B, &[Fitting::Thread(Thread::Unf7_16x20)], "7/16-20 or proprietary:TEXT"),
];

/// Whether a service has a fitting at an end.
pub(super) fn check_fitting(
    service: Service,
    end: End,
    fitting: &Fitting,
) -> Result<(), HoseError> {
    let row = FITTINGS.iter().find(|(s, e, _, _)| *s == service && *e == end);
    let (known, choices) = row.map_or((&[][..], ""), |(_, _, known, choices)| (*known, *choices));
    let own = end == End::B && matches!(fitting, Fitting::Proprietary(_));
    if own || known.contains(fitting) {
        return Ok(());
    }
    Err(HoseError::ImpossibleFitting { service, fitting: fitting.to_string(), end, choices })
}
