//! Inspections, and the photographs that are kept with what they found.

use chrono::NaiveDate;
use rusqlite::Connection;
use uom::si::pressure::bar;

use super::checks::{check_day, described, not_after_incident};
use super::moves::named;
use super::slips::of_strands;
use super::{Logbook, LogbookError, PlaceError, believed};
use crate::event::{EntryId, Event};
use crate::hose::{Label, Pressure, Specification};
use crate::inspection::{FindingError, Form, InspectionKind, Known, Look, Place};
use crate::journal::{Draft, Moment};
use crate::photograph::{Photograph, PhotographName};
use crate::record::{FleetRecord, HoseRecord, SetRecord};
use crate::tag::Code;
use crate::words;

/// A photograph in a hose's record, with all that is known of it.
#[derive(Debug, Clone, PartialEq)]
pub struct ShownPhotograph {
    /// Its name.
    pub name: PhotographName,
    /// When it was taken.
    pub on: NaiveDate,
    /// By whom.
    pub by: Label,
    /// The place that it shows.
    pub place: Place,
    /// What it shows, in words.
    pub words: String,
    /// The picture.
    pub photograph: Photograph,
}

impl Logbook {
    /// Records a finished inspection.
    ///
    /// # Errors
    /// [`LogbookError`] if this hose cannot have what was seen, or a leak
    /// test is of a hose in no set.
    pub fn inspect(
        &mut self,
        hose: Code,
        look: Look,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        self.inspect_with(hose, look, Vec::new(), on, moment)
    }

    /// Records a finished inspection and photographs, at most one of each place,
    /// of what it found or of how the hose looked.
    ///
    /// # Errors
    /// As [`Logbook::inspect`], and if there are two photographs of one place.
    pub fn inspect_with(
        &mut self,
        hose: Code,
        look: Look,
        photographs: Vec<(Place, Photograph)>,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let on = on.unwrap_or(moment.today);
        let known = believed::record_of(&self.connection, hose, moment.today)?;
        self.ask(of_strands(&known, &look.findings, on))?;
        let (_, tag) = self.write(moment, |work, _| {
            let record = believed::record_of(work, hose, moment.today)?;
            let drafts = drafts(work, &record, look, photographs, on, moment)?;
            Ok((drafts, record.tag()))
        })?;
        Ok(tag)
    }

    /// What a full inspection of a hose has to answer for: damage on record, and
    /// bubbles at an end that nobody said where from.
    ///
    /// # Errors
    /// [`LogbookError`] if the hose is unknown.
    pub fn wants_answers(
        &self,
        hose: Code,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Vec<Known>, LogbookError> {
        let record = believed::record_of(&self.connection, hose, moment.today)?;
        Ok(record.wants_answers(on.unwrap_or(moment.today)))
    }

    /// Every photograph in the record of a hose, in the order in which they
    /// were taken.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn photographs(&self, hose: Code) -> Result<Vec<ShownPhotograph>, LogbookError> {
        let shown = self.history(hose)?.into_iter().filter_map(|line| match line.event {
            Some(Event::Photographed { place, photograph, .. }) if line.counts() => {
                Some(ShownPhotograph {
                    name: photograph.name(),
                    on: line.entry.on,
                    by: line.entry.by,
                    place,
                    words: words::photograph_of(place),
                    photograph,
                })
            }
            _ => None,
        });
        Ok(shown.collect())
    }

    /// One photograph in the record of a hose.
    ///
    /// # Errors
    /// [`LogbookError::NoSuchPhotograph`] if there is none of that name.
    pub fn photograph(
        &self,
        hose: Code,
        name: PhotographName,
    ) -> Result<ShownPhotograph, LogbookError> {
        let all = self.photographs(hose)?;
        let found = all.into_iter().find(|shown| shown.name == name);
        found.ok_or(LogbookError::NoSuchPhotograph { hose, name })
    }
}

/// What is written of a finished inspection of a hose.
pub(super) fn drafts(
    work: &Connection,
    record: &HoseRecord,
    look: Look,
    photographs: Vec<(Place, Photograph)>,
    on: NaiveDate,
    moment: &Moment,
) -> Result<Vec<Draft>, LogbookError> {
    check_day(record, on, moment)?;
    if look.kind != InspectionKind::Quick {
        not_after_incident(work, record, moment)?;
    }
    let mut at = None;
    if look.kind == InspectionKind::LeakTest {
        at = Some(record.seat.ok_or(LogbookError::Place(PlaceError::NotFitted(record.tag())))?);
    }
    let described = described(record)?;
    let look = checked(look, &described, record.wants_answers(on))?;
    let look = judged(look, &believed::fleet_on(work, moment.today)?, &described)?;
    check_shown(&photographs)?;
    let in_sets = believed::sets_in(work, record, moment.today)?;
    let answers = answers_of(record, &look, on, &in_sets);
    let (hose, inspection) = (record.hose, look.kind);
    let mut drafts = vec![Draft { on, event: Event::Inspected { hose, look, at, answers } }];
    drafts.extend(photographed(hose, inspection, photographs).map(|event| Draft { on, event }));
    Ok(drafts)
}

/// Photographs of what an inspection found, each of its place.
pub(super) fn photographed(
    hose: Code,
    inspection: InspectionKind,
    photographs: Vec<(Place, Photograph)>,
) -> impl Iterator<Item = Event> {
    let event =
        move |(place, photograph)| Event::Photographed { hose, inspection, place, photograph };
    photographs.into_iter().map(event)
}

/// What an inspection judges: all that its form shows, of days not after its own.
pub(super) fn answers_of(
    record: &HoseRecord,
    look: &Look,
    on: NaiveDate,
    sets: &[SetRecord],
) -> Vec<EntryId> {
    let own = record.judged_by(look.kind, on);
    if look.kind != InspectionKind::Full {
        return own;
    }
    let of_sets = sets.iter().flat_map(|set| &set.corrections);
    let of_sets = of_sets.filter(|correction| correction.when.0 <= on);
    named(own.into_iter().chain(of_sets.map(|correction| correction.entry)))
}

/// A leak test with what the owner asks for now: a pass needs a pressure, and one
/// that would not count is refused, since it never comes to count.
pub(super) fn judged(
    mut look: Look,
    fleet: &FleetRecord,
    hose: &Specification,
) -> Result<Look, LogbookError> {
    if let Some(test) = &mut look.test {
        let least = fleet.least_pressure();
        let needed = match hose.service().pressure() {
            Pressure::High => least.high_bar,
            Pressure::Low => least.low_bar,
        };
        let typed = test.pressure.as_ref();
        if test.passed && typed.is_none() {
            return Err(LogbookError::Finding(FindingError::NoPressure { least: needed }));
        }
        let in_bar = typed.map_or(0.0, |pressure| pressure.quantity().get::<bar>());
        if test.passed && in_bar + 1e-9 < f64::from(needed) {
            let typed = typed.map(ToString::to_string).unwrap_or_default();
            return Err(LogbookError::Finding(FindingError::LowPressure { typed, least: needed }));
        }
        test.least = Some(least);
    }
    Ok(look)
}

/// The inspection as this hose can have it, with an answer for all that is known.
pub(super) fn checked(
    look: Look,
    hose: &Specification,
    known: Vec<Known>,
) -> Result<Look, LogbookError> {
    let mut form = Form::new(look.kind, hose).with_known(known);
    form.clear_rest();
    for seen in &look.findings {
        form.found(*seen)?;
    }
    if let Some(test) = look.test {
        form.tested(test);
    }
    if let Some(note) = look.note {
        form.note(note);
    }
    look.gone.unwrap_or_default().into_iter().for_each(|damage| form.gone(damage));
    if let Some(why) = look.why {
        form.why(why);
    }
    Ok(form.finish()?)
}

/// One photograph of each place is enough.
pub(super) fn check_shown(photographs: &[(Place, Photograph)]) -> Result<(), FindingError> {
    for (at, (place, _)) in photographs.iter().enumerate() {
        if photographs.iter().take(at).any(|(earlier, _)| earlier == place) {
            return Err(FindingError::TwoPhotos(*place));
        }
    }
    Ok(())
}
