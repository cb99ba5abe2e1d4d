//! The words beside the curves of how long hoses last: how sure they are.

use super::counted;

/// How the curves are read.
pub const READING: &str = "Every curve has the same scale. The solid line is the share of these \
    hoses that last, the shaded band around it its 95 % band, the dashed line all hoses together. \
    If the bands of two groups overlap widely, they may well last alike.";
/// Over the groups without a curve.
pub const TOO_FEW: &str = "Too few to tell";

/// Said of a group in place of a curve.
#[must_use]
pub fn too_few(hoses: u32, needed: u32) -> String {
    format!("{TOO_FEW}: {} of the {needed} that a curve needs.", hose_count(hoses))
}

/// Said before the groups without a curve.
#[must_use]
pub fn needed(needed: u32) -> String {
    format!("A curve needs {needed} hoses; these groups have fewer.")
}

/// A group without a curve.
#[must_use]
pub fn group(group: &str, hoses: u32) -> String {
    format!("{group} ({})", hose_count(hoses))
}

/// Said of groups that are in the table alone.
#[must_use]
pub fn more(groups: usize) -> String {
    let groups = counted(i64::try_from(groups).unwrap_or(i64::MAX), "more group");
    format!("{groups} in the table.")
}

/// What the lines of a picture are.
#[must_use]
pub fn caption(group: &str, hoses: u32, beside_all: bool) -> String {
    let dashed = if beside_all { "; dashed: all hoses" } else { "" };
    format!("{group} ({}): % that last, by years in service{dashed}", hose_count(hoses))
}

/// How long a group lasts, and how sure that is: after so many years, the share that lasts
/// and its band.
#[must_use]
pub fn sure(years: u32, share: f64, band: (f64, f64)) -> String {
    let after = counted(years.into(), "year");
    format!("After {after} {} last; the band is {}.", percent(share), range(band))
}

/// The same where none has failed: there is no band then.
#[must_use]
pub fn none_failed(years: u32, hoses: u32) -> String {
    let after = counted(years.into(), "year");
    format!("None of {} failed within {after}; how sure that is can't be told.", hose_count(hoses))
}

/// Said where none was followed for a year.
pub const NOT_A_YEAR: &str = "None was followed for a year yet.";

/// A band.
#[must_use]
pub fn range((lower, upper): (f64, f64)) -> String {
    format!("{:.0} to {}", lower * 100.0, percent(upper))
}

/// The same where there is little room.
#[must_use]
pub fn range_briefly((lower, upper): (f64, f64)) -> String {
    format!("{:.0}-{}", lower * 100.0, percent(upper))
}

/// A share.
#[must_use]
pub fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

fn hose_count(hoses: u32) -> String {
    counted(hoses.into(), "hose")
}
