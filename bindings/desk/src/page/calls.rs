//! The page meets others over a network, for the person at the desk.

use hosewright_core::journal::{Moment, Stop};
use hosewright_core::words::{branches, counters};
use hosewright_core::{CounterError, Logbook, LogbookError};
use hosewright_page::Refusal;

use super::records::Record;
use crate::calling::{self, Place};

/// Meets where it is named, or every counter that is known, and says what came of it.
pub fn met(
    record: &Record,
    place: &str,
    pass_word: Option<&str>,
    moment: &Moment,
) -> Result<Vec<String>, Refusal> {
    let mut logbook = record.another()?;
    if place.trim().is_empty() {
        return known(&mut logbook, moment);
    }
    let typed = Place::typed(place).map_err(|error| Refusal::at("place", error))?;
    match typed.ok_or_else(|| Refusal::at("place", counters::NO_PLACE))? {
        Place::Server(address) => {
            let at = (address.as_str(), pass_word);
            let met = calling::server(
                &mut logbook,
                at,
                (&[], false),
                moment,
                &Stop::default(),
                &mut |_| (),
            )?;
            Ok(branches::met(&met, moment.today))
        }
        Place::Counter(invited, addresses) => {
            let named = (invited.as_ref(), addresses.as_slice());
            Ok(counters::met(&calling::counter(
                &mut logbook,
                named,
                moment,
                &Stop::default(),
                &mut |_| (),
            )?))
        }
    }
}

/// Every counter that is known; one that does not answer is said, and keeps out no other.
fn known(logbook: &mut Logbook, moment: &Moment) -> Result<Vec<String>, Refusal> {
    let all = logbook.met_counters()?;
    if all.is_empty() {
        return Err(Refusal::at("place", counters::NO_COUNTER));
    }
    let mut said = Vec::new();
    for known in all {
        let met = calling::counter(
            logbook,
            (None, &known.addresses),
            moment,
            &Stop::default(),
            &mut |_| (),
        );
        match met {
            Ok(met) => said.extend(counters::met(&met)),
            Err(LogbookError::Counter(error @ CounterError::Unreachable(_))) => {
                said.push(format!("{}: {error}.", known.device.short()));
            }
            Err(error) => return Err(error.into()),
        }
    }
    Ok(said)
}
