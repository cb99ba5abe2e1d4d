//! What came of branches that met at a table on a server.

use chrono::NaiveDate;

use super::{counted, day, meeting};
use crate::journal::{BranchDevice, BranchMeeting};

/// What the meeting did, a sentence a line.
#[must_use]
pub fn met(meeting: &BranchMeeting, today: NaiveDate) -> Vec<String> {
    met_and(meeting, meeting::merge(&meeting.merge), today)
}

/// The same, where another face says in its own words what came in ([`meeting::merge_and`]).
#[must_use]
pub fn met_and(meeting: &BranchMeeting, came: Vec<String>, today: NaiveDate) -> Vec<String> {
    let mut said = Vec::new();
    if meeting.from_the_start {
        said.push(
            "The server does not have the rows that were read before: it was restored, or is \
             another. It was read from its beginning."
                .to_owned(),
        );
    }
    said.push(format!(
        "{} read, {} sent",
        counted(of(meeting.read), "row"),
        counted(of(meeting.sent), "new row")
    ));
    said.extend(came);
    said.extend(meeting.devices.iter().map(|device| of_device(device, today)));
    said
}

fn of(count: u64) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX)
}

/// A device: how fresh what it wrote is here, and what is missing of it here and there.
#[must_use]
pub fn of_device(device: &BranchDevice, today: NaiveDate) -> String {
    let mut said = vec![match (device.own, device.newest_on) {
        (true, None) if device.entries == 0 => "it wrote nothing yet".to_owned(),
        (_, None) => "nothing of it is believed here".to_owned(),
        (true, Some(on)) => format!("its newest entry is of {}", day(on, today)),
        (false, Some(on)) => format!("its newest entry here is of {}", day(on, today)),
    }];
    if !device.missing.is_empty() {
        said.push(format!(
            "missing here: {}; whoever has them sends them with `exchange … --again`",
            numbers(&device.missing)
        ));
    }
    if device.lacks > 0 {
        said.push(format!(
            "the server says that it lacks {} of those that are here, though they were sent",
            device.lacks
        ));
    }
    let own = if device.own { ", this one" } else { "" };
    let name = meeting::named(&device.device, device.name.as_ref());
    format!("Device {name}{own}: {}", said.join("; "))
}

/// The most runs of numbers that are told one by one.
const MOST_RUNS: usize = 5;

/// Runs of numbers: `entry 4`, `entries 4 to 6 and 9`.
fn numbers(runs: &[(u64, u64)]) -> String {
    let told = runs.iter().take(MOST_RUNS).map(|(first, last)| match first == last {
        true => first.to_string(),
        false => format!("{first} to {last}"),
    });
    let told: Vec<String> = told.collect();
    let one = matches!(runs, [(first, last)] if first == last);
    let word = if one { "entry" } else { "entries" };
    match runs.len().saturating_sub(MOST_RUNS) {
        0 => format!("{word} {}", told.join(", ")),
        more => format!("{word} {}, and {more} more runs", told.join(", ")),
    }
}
