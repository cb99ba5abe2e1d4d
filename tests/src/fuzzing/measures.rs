use std::fmt::{Debug, Display};
use std::str::FromStr;

use hosewright_core::event::PortName;
use hosewright_core::fit::seal::{DashSize, Joint};
use hosewright_core::fit::thread::{Gender, Pitch, Reading};
use hosewright_core::fit::tool::{Nut, Socket};
use hosewright_core::fit::torque::{Crowfoot, JointTorque, parse_angle};
use hosewright_core::fleet::Horizon;
use hosewright_core::hose::{Construction, End, Fitting, Label, Pressure, Service, Thread};
use hosewright_core::inspection::Observation;
use hosewright_core::measure::{
    HoseLength, MeasureError, PartialDate, Period, TestPressure, add_months, parse_length,
    parse_pressure, parse_torque,
};
use hosewright_core::tag::sheet::HoseDiameter;
use hosewright_core::tag::{Grid, Level, Paper, PrinterDpi, TagSize};
use uom::si::{length::meter, pressure::pascal, torque::newton_meter};

use super::{TODAY, Taken, round, said};

/// Everything that people type as a measure, a date or a word of the trade:
/// whatever takes the text must take its own print of it for the same.
pub fn measures(bytes: &[u8]) -> Taken {
    let Ok(text) = std::str::from_utf8(bytes) else { return Taken::Refused };
    let read = [quantities(text), dates(text), words(text), printing(text), fit(text)];
    read.into_iter().max().unwrap_or(Taken::Refused)
}

fn same<T: FromStr<Err = E> + Display + PartialEq + Debug, E: Display>(text: &str) -> Taken {
    round(text, str::parse::<T>, T::to_string)
}

fn quantities(text: &str) -> Taken {
    same::<HoseLength, _>(text)
        .max(same::<TestPressure, _>(text))
        .max(quantity(text, |t| parse_length(t).map(|q| q.get::<meter>()), "m"))
        .max(quantity(text, |t| parse_pressure(t).map(|q| q.get::<pascal>()), "Pa"))
        .max(quantity(text, |t| parse_torque(t).map(|q| q.get::<newton_meter>()), "N·m"))
}

/// A quantity as a number of the base unit; one that is too large to be typed
/// in it is still a number.
fn quantity(
    text: &str,
    parse: impl Fn(&str) -> Result<f64, MeasureError>,
    unit: &'static str,
) -> Taken {
    match said(parse(text)) {
        Some(value) if value.abs() > 1e9 => {
            assert!(value.is_finite(), "{text:?}");
            Taken::Read
        }
        _ => round(text, parse, |value| format!("{value} {unit}")),
    }
}

fn dates(text: &str) -> Taken {
    for date in PartialDate::parse(text).into_iter().chain(PartialDate::parse_loosely(text)) {
        let (first, last) = (date.earliest(), date.latest());
        assert!(first <= last, "{date}");
        let age = date.age(TODAY);
        for (from, age) in [(first, age.oldest), (last, age.youngest)] {
            let months = add_months(from, age.years * 12 + age.months);
            let end = months + chrono::Days::new(age.days.into());
            assert_eq!(end, TODAY.max(from), "{date}");
            assert_eq!(age, Period::between(from, TODAY));
            assert!(!age.in_words().is_empty());
        }
    }
    same::<PartialDate, _>(text)
        .max(round(text, PartialDate::parse_loosely, PartialDate::to_string))
        .max(same::<Horizon, _>(text))
}

fn words(text: &str) -> Taken {
    // Nearly any text is a label, so that says nothing of whether it was understood.
    round(text, |typed| Label::new("a text", typed), Label::to_string);
    same::<PortName, _>(text)
        .max(same::<Thread, _>(text))
        .max(same::<Fitting, _>(text))
        .max(same::<Service, _>(text))
        .max(same::<Construction, _>(text))
        .max(same::<End, _>(text))
        .max(same::<Pressure, _>(text))
        .max(same::<Observation, _>(text))
        .max(same::<DashSize, _>(text))
        .max(same::<Joint, _>(text))
}

fn printing(text: &str) -> Taken {
    if let Some(size) = said(text.parse::<TagSize>()) {
        // It is printed to a tenth of a millimetre.
        let again = said(size.to_string().parse::<TagSize>()).map(|size| size.to_string());
        assert_eq!(again, Some(size.to_string()));
    }
    same::<Grid, _>(text).max(same::<Paper, _>(text)).max(same::<PrinterDpi, _>(text)).max(same::<
        Level,
        _,
    >(
        text
    ))
}

/// What is measured at a joint has no print of its own: it is only read.
fn fit(text: &str) -> Taken {
    let (one, other) = text.split_once('@').unwrap_or((text, "200 mm"));
    let pitch = said(Pitch::parse(other));
    let read = [
        said(Reading::parse(Gender::Male, one, pitch)).is_some(),
        said(Reading::parse(Gender::Female, one, pitch)).is_some(),
        said(JointTorque::parse(one)).is_some(),
        said(Crowfoot::parse(one, other, said(parse_angle(other)))).is_some(),
        said(Nut::parse(one)).is_some(),
        said(one.parse::<HoseDiameter>()).is_some(),
        said(Socket::parse(one)).is_some(),
    ];
    if read.contains(&true) { Taken::Read } else { Taken::Refused }
}
