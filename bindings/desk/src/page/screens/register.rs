//! Putting a hose on record.

use hosewright_core::Registration;
use hosewright_core::hose::{
    Construction, End, FITTINGS, Fitting, HoseError, Label, Origin, Service, Specification, Thread,
};
use hosewright_core::measure::HoseLength;
use maud::html;

use super::{Shown, see};
use crate::page::ask::{Ask, Posted};
use crate::page::fields::Fields;
use crate::page::frame::Screen;
use crate::page::labels as l;
use crate::page::parts::{Field, choice, save, token};
use crate::page::refusal::Refusal;

/// The form.
pub async fn form(ask: Ask) -> Shown {
    let services = [
        ("second-stage", l::SERVICE_SECOND),
        ("inflator", l::SERVICE_INFLATOR),
        ("gauge", l::SERVICE_GAUGE),
    ];
    let constructions = [("rubber", l::RUBBER), ("braided", l::BRAIDED)];
    let threads = [("usual", l::FITTING_A_USUAL), ("1/2-20", l::FITTING_A_WIDE)];
    let body = html! {
        h1 { (l::REGISTER_TITLE) }
        p.lead { (l::REGISTER_LEAD) }
        form action="/register" method="post" {
            (token(&ask.token))
            (choice("service", l::SERVICE, "", &services))
            (choice("construction", l::CONSTRUCTION, "", &constructions))
            (Field::new("length", l::LENGTH).hint(l::LENGTH_HINT).needed().drawn())
            (choice("end_a", l::FITTING_A, "usual", &threads))
            (choice("end_b", l::FITTING_B, "usual", &[("usual", l::FITTING_B_USUAL), ("own", l::FITTING_B_OWN)]))
            (Field::new("own", l::FITTING_B_OWN).hint(l::NOTE_HINT).drawn())
            (Field::new("made", l::MADE).hint(l::DATE_HINT).drawn())
            (Field::new("bought", l::BOUGHT).hint(l::DATE_HINT).drawn())
            (Field::new("in_service", l::IN_SERVICE).hint(l::DATE_HINT).drawn())
            (Field::new("maker", l::MAKER).drawn())
            (Field::new("lot", l::LOT).drawn())
            label.pick { input type="checkbox" name="protector" value="yes"; span { (l::PROTECTOR) } }
            (Field::new("tag", l::BLANK_TAG).value(ask.query.get("tag")).drawn())
            (save(l::REGISTER_GO))
        }
    };
    Ok(Screen::new(l::REGISTER_TITLE, body).shown(&ask))
}

/// Puts it on record, and shows it.
pub async fn write(Posted { ask, fields }: Posted) -> Shown {
    let registration = registration(&fields)?;
    let code =
        ask.write(move |logbook, moment| Ok(logbook.register(registration, None, moment)?)).await?;
    Ok(see(&format!("/hose/{code}?registered=yes")))
}

fn registration(fields: &Fields) -> Result<Registration, Refusal> {
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
    Ok(Registration {
        specification: Specification::new(service, construction, length, end_a, end_b, protector)?,
        origin: Origin {
            made: fields.parsed("made")?,
            bought: fields.parsed("bought")?,
            in_service: fields.parsed("in_service")?,
            maker: label("maker", "a maker's name")?,
            lot: label("lot", "a lot")?,
        },
        tag: fields.parsed("tag")?,
    })
}

/// The first fitting that the core's table has for an end.
fn usual(service: Service, end: End) -> Result<Fitting, Refusal> {
    let row = FITTINGS.iter().find(|(s, e, ..)| *s == service && *e == end);
    let first = row.and_then(|(_, _, fittings, _)| fittings.first()).cloned();
    Ok(first.unwrap_or(Fitting::Thread(Thread::Unf3_8x24)))
}
