//! Five years of the invented centre, written day by day as they went.

use chrono::{Datelike, Days, NaiveDate, NaiveTime};
use hosewright_core::hose::{Fitting, Label, Origin, Particulars, Service, Specification};
use hosewright_core::inspection::{Form, InspectionKind, LeakTest, Look};
use hosewright_core::journal::Moment;
use hosewright_core::measure::{HoseLength, PartialDate, TestPressure};
use hosewright_core::tag::Code;
use hosewright_core::{Logbook, Registration};
use rand_chacha::ChaCha20Rng;
use rand_chacha::rand_core::Rng;

use crate::error::StoryError;
use crate::scenario::{HARMLESS, HOSES, HosePlan, RECALL, SETS, SetPlan, TALES, TODAY, Tale};

/// The months in which people dive.
const SEASON: std::ops::RangeInclusive<u32> = 4..=10;
/// The day of the month on which sets are looked over.
const ROUND: u32 = 20;

/// One thing to record, in the order in which a day brings them.
#[derive(Clone, Copy)]
enum Step {
    Assemble(&'static SetPlan),
    Register(&'static HosePlan),
    Fit(&'static HosePlan),
    /// The full inspection of a set.
    Round(&'static SetPlan),
    Tale(&'static str, &'static Tale),
    /// The dives of a set in a month, and on return a quick look.
    Dives(&'static SetPlan),
    Recall,
}

impl Step {
    /// When in the day, and who does it.
    const fn hour_and_name(self) -> (u32, &'static str) {
        match self {
            Self::Recall => (7, "manager"),
            Self::Assemble(_) => (8, "bench"),
            Self::Register(_) => (9, "bench"),
            Self::Tale(_, Tale::Retire(_)) => (10, "bench"),
            Self::Fit(_) => (11, "bench"),
            Self::Round(_) => (12, "bench"),
            Self::Tale(_, Tale::Quick(_)) => (13, "boat"),
            Self::Tale(..) => (14, "bench"),
            Self::Dives(_) => (17, "rental desk"),
        }
    }
}

/// What was written.
pub struct Written {
    hoses: Vec<(&'static str, Code)>,
}

impl Written {
    /// The code of a hose that the scenario names.
    pub fn code(&self, name: &str) -> Result<Code, StoryError> {
        let known = self.hoses.iter().find(|(known, _)| *known == name);
        known.map(|(_, code)| *code).ok_or_else(|| StoryError::Slip(name.to_owned()))
    }

    fn name(&self, code: Code) -> Option<&'static str> {
        self.hoses.iter().find(|(_, known)| *known == code).map(|(name, _)| *name)
    }
}

/// Writes it all; `progress` is told each year as it begins.
pub fn write(
    logbook: &mut Logbook,
    chance: ChaCha20Rng,
    mut progress: impl FnMut(i32) -> Result<(), StoryError>,
) -> Result<Written, StoryError> {
    let mut scribe = Scribe { logbook, chance, written: Written { hoses: Vec::new() } };
    let mut year = 0;
    for (day, step) in plan()? {
        if day.year() > year {
            year = day.year();
            progress(year)?;
        }
        scribe.write(day, step)?;
    }
    Ok(scribe.written)
}

/// Every step with its day, in order.
fn plan() -> Result<Vec<(NaiveDate, Step)>, StoryError> {
    let mut steps = vec![(day(RECALL.0)?, Step::Recall)];
    for set in SETS {
        steps.push((day(set.since)?, Step::Assemble(set)));
        rhythm(set, &mut steps)?;
    }
    for hose in HOSES {
        steps.push((day(hose.on)?, Step::Register(hose)));
        if hose.seat.is_some() {
            steps.push((day(hose.on)?, Step::Fit(hose)));
        }
    }
    for (on, whom, tale) in TALES {
        steps.push((day(on)?, Step::Tale(whom, tale)));
    }
    steps.sort_by_key(|(day, step)| (*day, step.hour_and_name().0));
    Ok(steps)
}

/// A set's dives and full inspections, month by month.
fn rhythm(set: &'static SetPlan, steps: &mut Vec<(NaiveDate, Step)>) -> Result<(), StoryError> {
    let (since, until, today) = (day(set.since)?, day(set.full_until)?, day(TODAY)?);
    steps.push((since, Step::Round(set)));
    // The sets come back on different days.
    let back_on = 2 + set.name.bytes().map(u32::from).sum::<u32>() % 11;
    let months = (since.year()..=today.year()).flat_map(|y| (1..=12).map(move |m| (y, m)));
    for (year, month) in months {
        let on = |day: u32, last: NaiveDate| {
            let date = NaiveDate::from_ymd_opt(year, month, day);
            date.filter(|date| *date > since && *date <= last)
        };
        let dived = on(back_on, today).filter(|_| SEASON.contains(&month));
        steps.extend(dived.map(|day| (day, Step::Dives(set))));
        let looked = on(ROUND, until).filter(|_| set.full_in.contains(&month));
        steps.extend(looked.map(|day| (day, Step::Round(set))));
    }
    Ok(())
}

fn day(text: &str) -> Result<NaiveDate, StoryError> {
    text.parse().map_err(|_| StoryError::Slip(text.to_owned()))
}

fn label(text: &str) -> Result<Label, StoryError> {
    Label::new("a text", text).map_err(|error| StoryError::Logbook(error.into()))
}

/// Who writes it all down.
struct Scribe<'l> {
    logbook: &'l mut Logbook,
    chance: ChaCha20Rng,
    written: Written,
}

impl Scribe<'_> {
    fn write(&mut self, day: NaiveDate, step: Step) -> Result<(), StoryError> {
        let moment = moment(day, step)?;
        match step {
            Step::Assemble(set) => self.assemble(set, &moment),
            Step::Register(hose) => self.register(hose, &moment),
            Step::Fit(hose) => self.fit(hose, &moment),
            Step::Round(set) => self.round(set, &moment),
            Step::Dives(set) => self.dives(set, &moment),
            Step::Tale(whom, tale) => self.tale(whom, tale, &moment),
            Step::Recall => {
                let (_, lot, maker, why) = RECALL;
                let (lot, maker, why) = (label(lot)?, label(maker)?, label(why)?.into());
                Ok(self.logbook.recall(lot, Some(maker), why, None, &moment)?)
            }
        }
    }

    fn assemble(&mut self, set: &SetPlan, moment: &Moment) -> Result<(), StoryError> {
        let ports: Result<Vec<_>, _> = set.ports.iter().map(|ports| ports.parse()).collect();
        self.logbook.assemble(label(set.name)?, set.in_use, &ports?, None, moment)?;
        Ok(())
    }

    fn register(&mut self, plan: &'static HosePlan, moment: &Moment) -> Result<(), StoryError> {
        let code = self.logbook.register(registration(plan)?, None, moment)?;
        self.written.hoses.push((plan.name, code));
        Ok(())
    }

    /// Into its port, looked over, and tested.
    fn fit(&mut self, plan: &HosePlan, moment: &Moment) -> Result<(), StoryError> {
        let Some((set, port)) = plan.seat else { return Ok(()) };
        let hose = self.written.code(plan.name)?;
        let port = port.parse().map_err(StoryError::Slip)?;
        self.logbook.fit(hose, &label(set)?, port, None, moment)?;
        self.look(hose, InspectionKind::Full, &[], moment)?;
        self.leak_test(hose, true, moment)
    }

    /// Every hose of a set looked over fully; one that the tales tell of on
    /// this day is left to them, and one just fitted was looked over.
    fn round(&mut self, set: &SetPlan, moment: &Moment) -> Result<(), StoryError> {
        for hose in self.hoses_of(set)? {
            let last = self.logbook.record(hose)?.last(InspectionKind::Full).map(|seen| seen.on);
            let name = self.written.name(hose);
            let told = TALES.iter().any(|(on, whom, tale)| {
                let full = matches!(tale, Tale::Full(_));
                full && Some(*whom) == name && day(on).is_ok_and(|on| on == moment.today)
            });
            if told || last.is_some_and(|on| on + Days::new(14) > moment.today) {
                continue;
            }
            let noted = self.harmless();
            self.look(hose, InspectionKind::Full, noted, moment)?;
        }
        Ok(())
    }

    /// One look in six notes something harmless.
    fn harmless(&mut self) -> &'static [&'static str] {
        let at = usize::try_from(self.below(6 * 4)).unwrap_or(usize::MAX);
        HARMLESS.get(at..=at).unwrap_or_default()
    }

    fn dives(&mut self, set: &SetPlan, moment: &Moment) -> Result<(), StoryError> {
        let hoses = self.hoses_of(set)?;
        let (least, most) = set.dives;
        let dives = least + self.below(most - least + 1);
        self.logbook.dived(&hoses, dives, None, moment)?;
        // One hose is looked at on return, so that the record is not endless.
        let at = self.below(u32::try_from(hoses.len()).unwrap_or(1));
        let looked_at = usize::try_from(at).ok().and_then(|at| hoses.get(at).copied());
        looked_at.map_or(Ok(()), |hose| self.look(hose, InspectionKind::Quick, &[], moment))
    }

    fn tale(&mut self, whom: &str, tale: &Tale, moment: &Moment) -> Result<(), StoryError> {
        let hose = self.written.code(whom)?;
        match tale {
            Tale::Quick(seen) => return self.look(hose, InspectionKind::Quick, seen, moment),
            Tale::Full(seen) => return self.look(hose, InspectionKind::Full, seen, moment),
            Tale::LeakTest(passed) => return self.leak_test(hose, *passed, moment),
            Tale::Reseal(end) => {
                let end = end.parse().map_err(hosewright_core::LogbookError::from)?;
                self.logbook.reseal(hose, end, None, None, moment)?
            }
            Tale::Clean => self.logbook.clean(hose, None, moment)?,
            Tale::Retag => self.logbook.retag(hose, None, None, moment)?,
            Tale::Retire(why) => self.logbook.retire(hose, label(why)?.into(), None, moment)?,
        };
        Ok(())
    }

    fn look(
        &mut self,
        hose: Code,
        kind: InspectionKind,
        seen: &[&str],
        moment: &Moment,
    ) -> Result<(), StoryError> {
        let specification = self.logbook.specification(hose)?;
        let mut form = Form::new(kind, &specification);
        for text in seen {
            form.found(text.parse().map_err(hosewright_core::LogbookError::from)?)
                .map_err(hosewright_core::LogbookError::from)?;
        }
        form.clear_rest();
        let look = form.finish().map_err(hosewright_core::LogbookError::from)?;
        self.logbook.inspect(hose, look, None, moment)?;
        Ok(())
    }

    fn leak_test(&mut self, hose: Code, passed: bool, moment: &Moment) -> Result<(), StoryError> {
        let pressure = TestPressure::parse("200 bar").ok();
        let kind = InspectionKind::LeakTest;
        let test = Some(LeakTest::new(passed, pressure));
        let look = Look { test, ..Look::of(kind, Vec::new()) };
        self.logbook.inspect(hose, look, None, moment)?;
        Ok(())
    }

    fn hoses_of(&self, set: &SetPlan) -> Result<Vec<Code>, StoryError> {
        Ok(self.logbook.set(&label(set.name)?)?.hoses.values().copied().collect())
    }

    /// A number below another, which is far below 2^32.
    fn below(&mut self, most: u32) -> u32 {
        self.chance.next_u32() % most.max(1)
    }
}

/// The time at which a step is recorded.
fn moment(today: NaiveDate, step: Step) -> Result<Moment, StoryError> {
    let (hour, by) = step.hour_and_name();
    let time = NaiveTime::from_hms_opt(hour, 0, 0).unwrap_or_default();
    Ok(Moment { today, time: today.and_time(time).and_utc(), by: label(by)? })
}

fn registration(plan: &HosePlan) -> Result<Registration, StoryError> {
    let slip = |text: &str| StoryError::Slip(text.to_owned());
    let fitting = |text: &str| text.parse::<Fitting>().map_err(|_| slip(text));
    let far = match plan.service {
        Service::SecondStage => "9/16-18",
        Service::Inflator => "quick-disconnect",
        Service::Gauge => "7/16-20",
    };
    let length = HoseLength::parse(plan.length).map_err(|_| slip(plan.length))?;
    let (thread, far) = (fitting(plan.thread)?, fitting(far)?);
    let protector = plan.service == Service::Gauge;
    let specification =
        Specification::new(plan.service, plan.construction, length, thread, far, protector)
            .map_err(hosewright_core::LogbookError::from)?;
    let origin = Origin {
        made: PartialDate::parse(plan.made).ok(),
        bought: None,
        in_service: PartialDate::parse(plan.in_service).ok(),
        maker: label(plan.maker).ok(),
        lot: label(plan.lot).ok(),
        own: Particulars { number: label(&plan.number()).ok(), ..Particulars::default() },
        ..Origin::default()
    };
    Ok(Registration { specification, origin, tag: None })
}
