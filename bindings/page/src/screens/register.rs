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
use crate::frame::Screen;
use crate::labels as l;
use crate::parts::{Field, choice, save, token};
use crate::refusal::Refusal;
use crate::response::{Shown, redirect, redirect_saved};
use crate::state::State;

/// The form for a hose that is not on record yet.
pub fn form(state: &State<'_>) -> Shown {
    let body = html! {
        h1 { (l::REGISTER_TITLE) }
        p.lead { (l::REGISTER_LEAD) }
        form action="/register" method="post" {
            (token(state.request))
            (fields(None, &Origin::default()))
            (Field::new("tag", l::BLANK_TAG).value(state.request.query.get("tag")).drawn())
            (save(l::REGISTER_GO))
        }
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
    let code = state.parameter("code");
    let (answer, record) = state.read(|logbook, moment| {
        let found = logbook.find_typed(code)?;
        let answer = logbook.answer_found(Found { tag: None, ..found }, moment)?;
        Ok((answer, logbook.record(found.hose)?))
    })?;
    let body = html! {
        (inspect::head(&answer, l::DESCRIBE))
        form action={ "/hose/" (answer.code) "/describe" } method="post" {
            (token(state.request))
            (fields(record.specification.as_ref(), &record.origin))
            (Field::new("why", l::DESCRIBE_WHY).hint(l::DESCRIBE_WHY_HINT).drawn())
            (save(l::SAVE))
        }
        p { a.button href={ "/hose/" (answer.code) } { (l::CANCEL) } }
    };
    Ok(Screen::new(format!("{} · {}", l::DESCRIBE, answer.code), body).shown(state))
}

/// Puts right what is written down about a hose.
pub fn describe(state: &State<'_>) -> Shown {
    let code = state.parameter("code");
    let fields = &state.request.form;
    let described = described(fields)?;
    let why = fields.label("why", "a reason")?;
    let tag = state.write(|logbook, moment| {
        let hose = logbook.find_typed(code)?.hose;
        Ok(logbook.describe(hose, described, why, moment)?)
    })?;
    Ok(redirect_saved(tag))
}

/// What a hose is and where it came from, with what is known of it.
fn fields(hose: Option<&Specification>, origin: &Origin) -> Markup {
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
        (choice("service", l::SERVICE, service, &services))
        (choice("construction", l::CONSTRUCTION, construction, &constructions))
        (Field::new("length", l::LENGTH).hint(l::LENGTH_HINT).value(&length).needed().drawn())
        (choice("end_a", l::FITTING_A, if wide { WIDE } else { "usual" }, &threads))
        (choice("end_b", l::FITTING_B, end_b, &far))
        (Field::new("own", l::FITTING_B_OWN).hint(l::NOTE_HINT).value(&own).drawn())
        (Field::new("made", l::MADE).hint(l::DATE_HINT).value(&date(origin.made)).drawn())
        (Field::new("bought", l::BOUGHT).hint(l::DATE_HINT).value(&date(origin.bought)).drawn())
        (Field::new("in_service", l::IN_SERVICE).hint(l::DATE_HINT).value(&date(origin.in_service)).drawn())
        (Field::new("maker", l::MAKER).value(&label(&origin.maker)).drawn())
        (Field::new("lot", l::LOT).value(&label(&origin.lot)).drawn())
        (Field::new("model", l::MODEL).value(&label(&origin.model)).drawn())
        (Field::new("number", l::OWN_NUMBER).hint(l::OWN_NUMBER_HINT).value(&label(&origin.own.number)).drawn())
        (Field::new("note", l::OWN_NOTE).value(&label(&origin.own.note)).drawn())
        (Field::new("ticket", l::TICKET_OF_CUSTOMER).hint(l::TICKET_OF_CUSTOMER_HINT).value(&ticket).drawn())
        label.pick {
            input type="checkbox" name="protector" value="yes" checked[hose.is_some_and(Specification::protector)];
            span { (l::PROTECTOR) }
        }
        label.pick {
            input type="checkbox" name="oxygen" value="yes" checked[hose.is_some_and(Specification::oxygen)];
            span { (l::OXYGEN) }
        }
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
