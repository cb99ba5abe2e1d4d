//! Inspections, and the photographs that are kept with what they found.

use chrono::NaiveDate;

use super::hoses::described;
use super::{Logbook, LogbookError, answering, check_day};
use crate::event::Event;
use crate::hose::{Label, Specification};
use crate::inspection::{FindingError, Form, InspectionKind, Look, Place};
use crate::journal::{Draft, Moment};
use crate::photograph::{Photograph, PhotographName};
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
    /// Writes down a finished inspection.
    ///
    /// # Errors
    /// [`LogbookError`] where this hose cannot have what was seen, or a leak
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

    /// Writes down a finished inspection and photographs of what it found, at
    /// most one of each place.
    ///
    /// # Errors
    /// As [`Logbook::inspect`], and where a photograph shows a place at which
    /// nothing was found.
    pub fn inspect_with(
        &mut self,
        hose: Code,
        look: Look,
        photographs: Vec<(Place, Photograph)>,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let on = on.unwrap_or(moment.today);
        let (_, tag) = self.write(moment, |work, _| {
            let record = answering::record_of(work, hose)?;
            check_day(&record, on, moment)?;
            if look.kind == InspectionKind::LeakTest && record.seat.is_none() {
                return Err(LogbookError::NotFitted(record.tag()));
            }
            let look = checked(look, &described(&record)?)?;
            check_shown(&look, &photographs)?;
            let (hose, inspection) = (record.hose, look.kind);
            let mut drafts = vec![Draft { on, event: Event::Inspected { hose, look } }];
            drafts.extend(photographs.into_iter().map(|(place, photograph)| Draft {
                on,
                event: Event::Photographed { hose, inspection, place, photograph },
            }));
            Ok((drafts, record.tag()))
        })?;
        Ok(tag)
    }

    /// Every photograph in the record of a hose, in the order in which they
    /// were taken.
    ///
    /// # Errors
    /// [`LogbookError`] where the store cannot be read.
    pub fn photographs(&self, hose: Code) -> Result<Vec<ShownPhotograph>, LogbookError> {
        let shown = self.history(hose)?.into_iter().filter_map(|entry| match entry.event() {
            Some(Event::Photographed { place, photograph, .. }) => Some(ShownPhotograph {
                name: photograph.name(),
                on: entry.on,
                by: entry.by,
                place,
                words: words::photograph_of(place),
                photograph,
            }),
            _ => None,
        });
        Ok(shown.collect())
    }

    /// One photograph in the record of a hose.
    ///
    /// # Errors
    /// [`LogbookError::NoSuchPhotograph`] where there is none of that name.
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

/// The inspection as this hose can have it.
fn checked(look: Look, hose: &Specification) -> Result<Look, LogbookError> {
    let mut form = Form::new(look.kind, hose);
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
    Ok(form.finish()?)
}

/// A photograph is of something found, and one of each place is enough.
fn check_shown(look: &Look, photographs: &[(Place, Photograph)]) -> Result<(), FindingError> {
    for (at, (place, _)) in photographs.iter().enumerate() {
        if !look.findings.iter().any(|seen| seen.place() == *place) {
            return Err(FindingError::PhotoOfNothing(*place));
        }
        if photographs.iter().take(at).any(|(earlier, _)| earlier == place) {
            return Err(FindingError::TwoPhotos(*place));
        }
    }
    Ok(())
}
