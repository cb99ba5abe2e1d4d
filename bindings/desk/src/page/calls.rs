//! The page meets others over a network, for the person at the desk.

use hosewright_core::journal::Moment;
use hosewright_core::words::{branches, counters, meeting as meeting_words};
use hosewright_core::{CounterError, Logbook, LogbookError};
use hosewright_page::{Meeting, Met, Refusal, Said, Work};
use zeroize::Zeroizing;

use super::records::Record;
use crate::calling::{self, Place};

/// What is done to meet where it is named, or every counter that is known.
pub fn work(
    record: &Record,
    place: &str,
    pass_word: Option<&str>,
    moment: &Moment,
) -> Result<Work, Refusal> {
    let moment = moment.clone();
    if place.trim().is_empty() {
        let none = record.read(|logbook| Ok::<_, Refusal>(logbook.met_counters()?.is_empty()))?;
        if none {
            return Err(Refusal::at("place", counters::NO_COUNTER));
        }
        return Ok(Box::new(move |logbook, meeting| known(logbook, &moment, meeting)));
    }
    let typed = Place::typed(place).map_err(|error| Refusal::at("place", error))?;
    let place = typed.ok_or_else(|| Refusal::at("place", counters::NO_PLACE))?;
    let pass_word = pass_word.map(|word| Zeroizing::new(word.to_owned()));
    Ok(Box::new(move |logbook, meeting| {
        let word = pass_word.as_ref().map(|word| word.as_str());
        let lines = met(logbook, (&place, word), &moment, meeting)?;
        meeting.say(Said::all(lines));
        Ok(Met::Done)
    }))
}

fn met(
    logbook: &mut Logbook,
    (place, pass_word): (&Place, Option<&str>),
    moment: &Moment,
    meeting: &Meeting,
) -> Result<Vec<String>, LogbookError> {
    let (stop, progress) = (meeting.stop(), &mut |far| meeting.tell(far));
    Ok(match place {
        Place::Server(address) => {
            let (at, all) = ((address.as_str(), pass_word), (&[] as &[_], false));
            let met = calling::server(logbook, at, all, moment, stop, progress)?;
            let came = meeting_words::merge_at_the_counter(&met.merge);
            branches::met_and(&met, came, moment.today)
        }
        Place::Counter(invited, addresses) => {
            let named = (addresses.as_slice(), invited.as_ref());
            let met = hosewright_calling::meet(logbook, named, moment, stop, progress)?;
            counters::met_and(&met, meeting_words::merge_at_the_counter(&met.merge))
        }
    })
}

/// Every counter that is known; one that does not answer is said, and keeps out no other.
fn known(logbook: &mut Logbook, moment: &Moment, meeting: &Meeting) -> Result<Met, Refusal> {
    for known in logbook.met_counters()? {
        let device = known.device;
        match met(logbook, (&Place::Counter(None, known.addresses), None), moment, meeting) {
            Ok(lines) => meeting.say(Said::all(lines)),
            Err(LogbookError::Counter(error @ CounterError::Unreachable(_))) => {
                meeting.say(Said::all(vec![counters::not_met(&device, &error.to_string())]));
            }
            Err(error) => return Err(error.into()),
        }
    }
    Ok(Met::Done)
}
