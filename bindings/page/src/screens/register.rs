//! Putting a hose on record, and putting right what is written down about it.

use hosewright_core::hose::{
    Construction, End, FITTINGS, Fitting, HoseError, Label, Origin, Owner, Particulars, Service,
    Specification, Thread,
};
use hosewright_core::measure::{HoseLength, PartialDate};
use hosewright_core::{Found, Registration};
use maud::{Markup, html};

use super::inspect;
use crate::fields::Fields;
use crate::form::{Field, Form, save};
use crate::frame::Screen;
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::state::State;

/// The form for a hose that is not on record yet.
pub fn form(state: &State<'_>) -> Shown {
    let body = html! {
        h1 { (l::REGISTER_TITLE) }
        p.lead { (l::REGISTER_LEAD) }
        @let form = state.form("/register");
        (form.drawn(html! {
            (fields(&form, None, &Origin::default()))
            (form.field(&Field::new("tag", l::BLANK_TAG).value(state.request.query.get("tag"))))
            (save(l::REGISTER_GO))
        }))
    };
    Ok(Screen::new(l::REGISTER_TITLE, body).shown(state))
}

/// Puts it on record, and shows it.
pub fn write(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let (specification, origin) = described(fields)?;
    let new = Registration { specification, origin, tag: fields.parsed("tag")? };
    let code = state.write(|logbook, moment| Ok(logbook.register(new, None, moment)?))?;
    Ok(redirect(&format!("/hose/{code}?registered=yes")))
}

/// The same form for a hose that is on record, with what is written down.
pub fn again(state: &State<'_>) -> Shown {
    let (answer, record) = state.read(|logbook, moment| {
        let found = logbook.find_typed(state.parameter("code"))?;
        let answer = logbook.answer_found(Found { tag: None, ..found }, moment)?;
        Ok((answer, logbook.record(found.hose)?))
    })?;
    let body = html! {
        (inspect::head(&answer, l::DESCRIBE))
        @let form = state.form(format!("/hose/{}/describe", answer.code));
        (form.drawn(html! {
            (fields(&form, record.specification.as_ref(), &record.origin))
            (form.field(&Field::new("why", l::DESCRIBE_WHY).hint(l::DESCRIBE_WHY_HINT)))
            (save(l::SAVE))
        }))
        p { a.button href={ "/hose/" (answer.code) } { (l::CANCEL) } }
    };
    Ok(Screen::new(format!("{} · {}", l::DESCRIBE, answer.code), body).shown(state))
}

/// Puts right what is written down about a hose.
pub fn describe(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let described = described(fields)?;
    let why = fields.label("why", "a reason")?;
    state.save_hose(|logbook, hose, moment| Ok(logbook.describe(hose, described, why, moment)?))
}

/// What a hose is and where it came from, with what is known of it.
fn fields(form: &Form<'_>, hose: Option<&Specification>, origin: &Origin) -> Markup {
    let services = [
        ("second-stage", l::SERVICE_SECOND),
        ("inflator", l::SERVICE_INFLATOR),
        ("gauge", l::SERVICE_GAUGE),
    ];
    let constructions = [("rubber", l::RUBBER), ("braided", l::BRAIDED)];
    let threads = [("usual", l::FITTING_A_USUAL), (WIDE, l::FITTING_A_WIDE)];
    let far = [("usual", l::FITTING_B_USUAL), ("own", l::FITTING_B_OWN)];
    let service = hose.map(|hose| hose.service().word()).unwrap_or_default();
    let construction = hose.map(|hose| hose.construction().word()).unwrap_or_default();
    let length = hose.map(|hose| hose.length().to_string()).unwrap_or_default();
    let wide = hose.is_some_and(|hose| hose.fitting(End::A).to_string() == WIDE);
    let own = match hose.map(|hose| hose.fitting(End::B)) {
        Some(Fitting::Proprietary(own)) => own.to_string(),
        _ => String::new(),
    };
    let end_b = if own.is_empty() { "usual" } else { "own" };
    let date = |date: Option<PartialDate>| date.map(|date| date.to_string()).unwrap_or_default();
    let label = |label: &Option<Label>| label.as_ref().map(ToString::to_string).unwrap_or_default();
    let ticket = origin.own.owner.as_ref().and_then(Owner::ticket).map(ToString::to_string);
    let ticket = ticket.unwrap_or_default();
    html! {
        (form.choice("service", l::SERVICE, service, &services))
        (form.choice("construction", l::CONSTRUCTION, construction, &constructions))
        (form.field(&Field::new("length", l::LENGTH).hint(l::LENGTH_HINT).value(&length).needed()))
        (form.choice("end_a", l::FITTING_A, if wide { WIDE } else { "usual" }, &threads))
        (form.choice("end_b", l::FITTING_B, end_b, &far))
        (form.field(&Field::new("own", l::FITTING_B_OWN).hint(l::NOTE_HINT).value(&own)))
        (form.field(&Field::new("made", l::MADE).hint(l::DATE_HINT).value(&date(origin.made))))
        (form.field(&Field::new("bought", l::BOUGHT).hint(l::DATE_HINT).value(&date(origin.bought))))
        (form.field(&Field::new("in_service", l::IN_SERVICE).hint(l::DATE_HINT).value(&date(origin.in_service))))
        (form.field(&Field::new("maker", l::MAKER).value(&label(&origin.maker))))
        (form.field(&Field::new("lot", l::LOT).value(&label(&origin.lot))))
        (form.field(&Field::new("model", l::MODEL).value(&label(&origin.model))))
        (form.field(&Field::new("number", l::OWN_NUMBER).hint(l::OWN_NUMBER_HINT).value(&label(&origin.own.number))))
        (form.field(&Field::new("note", l::OWN_NOTE).value(&label(&origin.own.note))))
        (form.field(&Field::new("ticket", l::TICKET_OF_CUSTOMER).hint(l::TICKET_OF_CUSTOMER_HINT).value(&ticket)))
        (form.tick("protector", l::PROTECTOR, hose.is_some_and(Specification::protector)))
        (form.tick("oxygen", l::OXYGEN, hose.is_some_and(Specification::oxygen)))
    }
}

/// The thread of a few designs.
const WIDE: &str = "1/2-20";

fn described(fields: &Fields) -> Result<(Specification, Origin), Refusal> {
    let service: Service = fields.needed("service", "what the hose does")?;
    let construction: Construction = fields.needed("construction", "how the hose is built")?;
    let length: HoseLength = fields.needed("length", "the length")?;
    let end_a = match fields.get("end_a") {
        "usual" | "" => usual(service, End::A)?,
        other => other.parse()?,
    };
    let end_b = match fields.get("end_b") {
        "usual" | "" => usual(service, End::B)?,
        _ => Fitting::Proprietary(
            fields.label("own", "the maker's own fitting")?.ok_or(HoseError::UnnamedProprietary)?,
        ),
    };
    let protector = fields.ticked("protector");
    let label = |name, what| -> Result<Option<Label>, Refusal> { fields.label(name, what) };
    let specification = Specification::new(service, construction, length, end_a, end_b, protector)?
        .cleaned_for_oxygen(fields.ticked("oxygen"));
    let origin = Origin {
        made: fields.parsed("made")?,
        bought: fields.parsed("bought")?,
        in_service: fields.parsed("in_service")?,
        maker: label("maker", "a maker's name")?,
        lot: label("lot", "a lot")?,
        model: label("model", "a model")?,
        own: Particulars {
            number: fields
                .given("number")
                .map(|text| Particulars::own_number(text).map_err(|e| Refusal::at("number", e)))
                .transpose()?,
            note: label("note", "a note")?,
            owner: label("ticket", "a ticket")?.map(Owner::Ticket),
        },
    };
    Ok((specification, origin))
}

/// The first fitting that the core's table has for an end.
fn usual(service: Service, end: End) -> Result<Fitting, Refusal> {
    let row = FITTINGS.iter().find(|(s, e, ..)| *s == service && *e == end);
    let first = row.and_then(|(_, _, fittings, _)| fittings.first()).cloned();
    Ok(first.unwrap_or(Fitting::Thread(Thread::Unf3_8x24)))
}
