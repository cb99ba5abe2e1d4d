//! What a hose is and which tag it carries: `register`, `describe`, `retag`, `bind`.

use clap::Args;
use hosewright_core::Registration;
use hosewright_core::hose::{
    Construction, End, Fitting, Label, Origin, Owner, Particulars, Prose, Service, Specification,
};
use hosewright_core::inspection::{Damage, Form, InspectionKind, Observation};
use hosewright_core::measure::{HoseLength, PartialDate};
use hosewright_core::tag::Code;

use super::which::Which;
use crate::desk::{Desk, Outcome, Status};
use crate::output::aside;
use crate::show;
use crate::values::{self, Given, On};

/// Puts a hose on record.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright register --service second-stage --construction braided --length 22in \\\n      \
    --end-a 3/8-24 --end-b 9/16-18 --made 2023-05 --maker Kelpline --lot B17\n\n\
    Fittings: 3/8-24 or 1/2-20 (low pressure) and 7/16-20 (high pressure) at the first stage;\n\
    9/16-18 (second stage), quick-disconnect (inflator), 7/16-20 (gauge) or proprietary:TEXT at the far end.\n\
    Dates are a year, a month or a day: 2023, 2023-05, 2023-05-20."
)]
pub struct Register {
    /// What it does: second-stage, inflator or gauge
    #[arg(long, value_parser = values::word(Service::ALL, Service::word), hide_possible_values = true)]
    service: Service,
    /// How it is built: rubber or braided
    #[arg(long, value_parser = values::word(Construction::ALL, Construction::word), hide_possible_values = true)]
    construction: Construction,
    /// Its length with its unit, as 22in or 56cm
    #[arg(long)]
    length: HoseLength,
    /// The fitting at the first stage
    #[arg(long, value_name = "FITTING")]
    end_a: Fitting,
    /// The fitting at the far end
    #[arg(long, value_name = "FITTING")]
    end_b: Fitting,
    /// When it was made, as far as its mark says
    #[arg(long, value_name = "DATE")]
    made: Option<PartialDate>,
    /// When it was bought
    #[arg(long, value_name = "DATE")]
    bought: Option<PartialDate>,
    /// In service since this day, before it had a record
    #[arg(long, value_name = "DATE")]
    in_service: Option<PartialDate>,
    /// The maker's name as printed on it
    #[arg(long, value_parser = values::maker)]
    maker: Option<Label>,
    /// The lot as printed on it
    #[arg(long, value_parser = values::lot)]
    lot: Option<Label>,
    /// The model as printed on it
    #[arg(long, value_parser = values::model)]
    model: Option<Label>,
    /// Your own number for it, as LP-17
    #[arg(long, value_name = "TEXT", value_parser = values::own_number)]
    number: Option<Label>,
    /// A note
    #[arg(long, value_name = "TEXT", value_parser = values::note)]
    note: Option<Prose>,
    /// The branch that it belongs to, if you have several
    #[arg(long, value_name = "NAME", value_parser = values::branch)]
    branch: Option<Label>,
    /// It is a customer's, in for service under this ticket: a number, never a name
    #[arg(long, value_parser = values::ticket)]
    ticket: Option<Label>,
    /// A sleeve covers an end
    #[arg(long)]
    protector: bool,
    /// It is cleaned for oxygen
    #[arg(long)]
    oxygen: bool,
    /// The code of a tag that was printed blank
    #[arg(long, value_name = "CODE")]
    tag: Option<Code>,
    #[command(flatten)]
    when: On,
}

impl Register {
    /// Registers it and prints the code.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let hose = Registration {
            specification: Specification::new(
                self.service,
                self.construction,
                self.length,
                self.end_a,
                self.end_b,
                self.protector,
            )?
            .cleaned_for_oxygen(self.oxygen),
            origin: Origin {
                made: self.made,
                bought: self.bought,
                in_service: self.in_service,
                maker: self.maker,
                lot: self.lot,
                model: self.model,
                own: Particulars {
                    number: self.number,
                    note: self.note,
                    branch: self.branch,
                    owner: self.ticket.map(Owner::Ticket),
                },
            },
            tag: self.tag,
        };
        let mut logbook = desk.open()?;
        let code = logbook.register(hose, self.when.on, &desk.moment)?;
        code_shown(desk, code)?;
        if !desk.json && self.tag.is_none() {
            aside(&format!("Next: hosewright tag {code} --out tag.pdf"));
        }
        Ok(Status::Done)
    }
}

/// The code alone on the first line, so that a script can take it.
fn code_shown(desk: &mut Desk, code: Code) -> Result<(), crate::failure::Failure> {
    if desk.json {
        return desk.json(&serde_json::json!({ "code": code }));
    }
    Ok(desk.out.line(code.to_string())?)
}

/// Puts right what is recorded; what is not given stays.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright describe 7K2M9 --made 2022-11 --why \"read off the hose\"\n  hosewright describe 7K2M9 --lot unknown\n\n\
    Only what is given changes. A date, a maker, a lot or a model can be put right to “unknown”."
)]
pub struct Describe {
    #[command(flatten)]
    which: Which,
    /// What it does
    #[arg(long, value_parser = values::word(Service::ALL, Service::word), hide_possible_values = true)]
    service: Option<Service>,
    /// How it is built
    #[arg(long, value_parser = values::word(Construction::ALL, Construction::word), hide_possible_values = true)]
    construction: Option<Construction>,
    /// Its length with its unit
    #[arg(long)]
    length: Option<HoseLength>,
    /// The fitting at the first stage
    #[arg(long, value_name = "FITTING")]
    end_a: Option<Fitting>,
    /// The fitting at the far end
    #[arg(long, value_name = "FITTING")]
    end_b: Option<Fitting>,
    /// When it was made
    #[arg(long, value_name = "DATE", value_parser = values::date_or_unknown)]
    made: Option<Given<PartialDate>>,
    /// When it was bought
    #[arg(long, value_name = "DATE", value_parser = values::date_or_unknown)]
    bought: Option<Given<PartialDate>>,
    /// In service since this day, before it had a record
    #[arg(long, value_name = "DATE", value_parser = values::date_or_unknown)]
    in_service: Option<Given<PartialDate>>,
    /// The maker's name
    #[arg(long, value_parser = values::maker_or_unknown)]
    maker: Option<Given<Label>>,
    /// The lot
    #[arg(long, value_parser = values::lot_or_unknown)]
    lot: Option<Given<Label>>,
    /// The model
    #[arg(long, value_parser = values::model_or_unknown)]
    model: Option<Given<Label>>,
    /// Your own number for it, or “none”
    #[arg(long, value_name = "TEXT", value_parser = values::own_number_or_none)]
    number: Option<Given<Label>>,
    /// A note, or “none”
    #[arg(long, value_name = "TEXT", value_parser = values::note_or_none)]
    note: Option<Given<Prose>>,
    /// The branch that it belongs to, or “none”
    #[arg(long, value_name = "NAME", value_parser = values::branch_or_none)]
    branch: Option<Given<Label>>,
    /// The customer's ticket, or “none” if it is the centre's own
    #[arg(long, value_parser = values::ticket_or_none)]
    ticket: Option<Given<Label>>,
    /// Whether a sleeve covers an end: yes or no
    #[arg(long, value_name = "YES|NO", value_parser = values::yes_or_no)]
    protector: Option<bool>,
    /// Whether it is cleaned for oxygen: yes or no
    #[arg(long, value_name = "YES|NO", value_parser = values::yes_or_no)]
    oxygen: Option<bool>,
    /// Why what was recorded before is wrong: then this replaces it; without
    /// a reason both are judged, and the worse counts
    #[arg(long, value_name = "TEXT", value_parser = values::why)]
    why: Option<Prose>,
}

impl Describe {
    /// Writes the description again with what was given.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let hose = self.which.hose(&logbook)?;
        let was = logbook.specification(hose)?;
        let mut origin = logbook.record(hose)?.origin;
        let specification = self.over(&was)?;
        let before = origin.clone();
        Given::put(self.made, &mut origin.made);
        Given::put(self.bought, &mut origin.bought);
        Given::put(self.in_service, &mut origin.in_service);
        Given::put(self.maker, &mut origin.maker);
        Given::put(self.lot, &mut origin.lot);
        Given::put(self.model, &mut origin.model);
        Given::put(self.number, &mut origin.own.number);
        Given::put(self.note, &mut origin.own.note);
        Given::put(self.branch, &mut origin.own.branch);
        match self.ticket {
            Some(Given::Known(ticket)) => origin.own.owner = Some(Owner::Ticket(ticket)),
            Some(Given::Unknown) => origin.own.owner = None,
            None => {}
        }
        // With a reason it settles what is beside it, also if it says the same.
        if self.why.is_none() && (&specification, &origin) == (&was, &before) {
            return Err(hosewright_core::LogbookError::Nothing(
                "that is what is written down already; name what to change, as --made 2022-11",
            )
            .into());
        }
        logbook.describe(hose, (specification, origin), self.why, &desk.moment)?;
        show::brief::after(desk, &logbook, hose)
    }

    fn over(&self, was: &Specification) -> Result<Specification, crate::failure::Failure> {
        Ok(Specification::new(
            self.service.unwrap_or(was.service()),
            self.construction.unwrap_or(was.construction()),
            self.length.clone().unwrap_or_else(|| was.length().clone()),
            self.end_a.clone().unwrap_or_else(|| was.fitting(End::A).clone()),
            self.end_b.clone().unwrap_or_else(|| was.fitting(End::B).clone()),
            self.protector.unwrap_or(was.protector()),
        )?
        .cleaned_for_oxygen(self.oxygen.unwrap_or(was.oxygen())))
    }
}

/// Gives a hose a new tag.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright retag 7K2M9ABCDEFGH --yes\n\n\
    From then on the old tag answers “hold”: take it off the hose.\n\
    If one tag names two hoses, say which of its registrations (history CODE --json) is the\n\
    hose in your hand, and what a full inspection of it found.")]
pub struct Retag {
    #[command(flatten)]
    which: Which,
    /// The code of a tag that was printed blank
    #[arg(long, value_name = "CODE")]
    tag: Option<Code>,
    /// Of two hoses of one tag, the registration of the one in your hand
    #[arg(long, value_name = "ENTRY")]
    of: Option<String>,
    /// What a full inspection of it found
    #[arg(long = "finding", value_name = "PLACE:FINDING[:GRADE]", requires = "of", value_parser = values::finding::<Observation>)]
    findings: Vec<Observation>,
    /// Damage on record that is not on it, as of the other hose; may be given again
    #[arg(long = "gone", value_name = "PLACE:FINDING", requires = "of", value_parser = values::finding::<Damage>)]
    gone: Vec<Damage>,
    /// Why it is not there
    #[arg(long, value_name = "TEXT", value_parser = values::why, requires = "of")]
    why: Option<Prose>,
    #[command(flatten)]
    when: On,
}

impl Retag {
    /// Records the new tag and prints its code.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let hose = self.which.whole(&logbook)?;
        let code = match &self.of {
            Some(registration) => {
                let registration = logbook.find_entry(registration)?;
                let specification = logbook.specification(hose)?;
                let known = logbook.wants_answers(hose, self.when.on, &desk.moment)?;
                let mut form = Form::new(InspectionKind::Full, &specification).with_known(known);
                form.clear_rest();
                for seen in &self.findings {
                    form.found(*seen)?;
                }
                self.gone.iter().for_each(|damage| form.gone(*damage));
                if let Some(why) = self.why {
                    form.why(why);
                }
                let look = form.finish()?;
                let on = self.when.on;
                logbook.identify(hose, registration, look, self.tag, on, &desk.moment)?
            }
            None => logbook.retag(hose, self.tag, self.when.on, &desk.moment)?,
        };
        code_shown(desk, code)?;
        if !desk.json && self.tag.is_none() {
            aside(&format!("Next: hosewright tag {code} --out tag.pdf"));
        }
        Ok(Status::Done)
    }
}

/// Binds a maker's own barcode.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright bind 7K2M9 4006381333931\n\n\
    “hosewright read PHOTO” says what a barcode says.")]
pub struct Bind {
    #[command(flatten)]
    which: Which,
    /// What the barcode says
    #[arg(value_parser = values::barcode)]
    text: Label,
}

impl Bind {
    /// Writes it down.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let hose = self.which.hose(&logbook)?;
        logbook.bind(hose, self.text, &desk.moment)?;
        show::brief::after(desk, &logbook, hose)
    }
}
