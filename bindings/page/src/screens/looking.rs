//! The findings of a hose as boxes to tick, checkpoint by checkpoint. Which
//! there are, and what each is called, is the core's one table.

use hosewright_core::LogbookError;
use hosewright_core::answer::LastLook;
use hosewright_core::hose::Specification;
use hosewright_core::hose_picture;
use hosewright_core::inspection::{
    self, Checkpoint, FINDINGS, FindingRule, Graded, InspectionKind, Known, Observation, Place,
};
use hosewright_core::photograph::{Photograph, PhotographName};
use hosewright_core::tag::Code;
use hosewright_core::words::{self, damage};
use maud::{Markup, PreEscaped, html};

use crate::fields::Fields;
use crate::form::{Field, Form};
use crate::labels as l;
use crate::parts::{class, sign};
use crate::refusal::Refusal;
use crate::state::State;

/// The place that a checkpoint looks at; none for the sleeves, under which any
/// place may be.
const fn place(checkpoint: Checkpoint) -> Option<Place> {
    match checkpoint {
        Checkpoint::Protector => None,
        Checkpoint::Run => Some(Place::Run),
        Checkpoint::EndA => Some(Place::EndA),
        Checkpoint::EndB => Some(Place::EndB),
        Checkpoint::SealA => Some(Place::SealA),
        Checkpoint::SealB => Some(Place::SealB),
    }
}

/// The name of the box for a checkpoint that was looked at and is clear.
pub fn clear(checkpoint: Checkpoint) -> String {
    format!("clear-{checkpoint}")
}

/// Every checkpoint of a hose. `of` stands before the names of the boxes where
/// a form is about several hoses; one about a single hose takes photos too.
pub fn checkpoints(
    form: &Form<'_>,
    hose: &Specification,
    kind: InspectionKind,
    last: Option<(Code, &LastLook)>,
    of: &str,
) -> Markup {
    answering(form, hose, kind, last, of, &[])
}

/// The same, with what is on record and wants an answer.
pub fn answering(
    form: &Form<'_>,
    hose: &Specification,
    kind: InspectionKind,
    last: Option<(Code, &LastLook)>,
    of: &str,
    known: &[Known],
) -> Markup {
    html! {
        @for checkpoint in Checkpoint::of(hose) {
            @let full = kind == InspectionKind::Full;
            @let place = place(checkpoint);
            @if full || place.is_some() {
                fieldset.checkpoint {
                    legend { (checkpoint.todo(hose)) }
                    // A form about several hoses has no room for pictures.
                    @if full || of.is_empty() {
                        figure.where { (PreEscaped(hose_picture::svg(hose, checkpoint))) }
                    }
                    @if let Some((code, last)) = last { (last_time(code, last, place)) }
                    @for known in known.iter().filter(|known| Some(known.seen.place()) == place) {
                        (on_record(form, known, of))
                    }
                    @if full {
                        (form.tick(&clear(checkpoint), l::NOTHING_FOUND, false))
                    }
                    @if let Some(place) = place {
                        (form.fold(l::FOUND_HERE, || html! {
                            (findings(form, hose, place, of))
                            @if of.is_empty() { (photo_field(form, place)) }
                        }))
                    }
                }
            }
        }
    }
}

/// Something on record, and how it is now.
fn on_record(form: &Form<'_>, known: &Known, of: &str) -> Markup {
    let choices =
        [("same", damage::SAME), ("otherwise", damage::OTHERWISE), ("gone", damage::NOT_THERE)];
    html! {
        @match known.damage() {
            Some(what) => fieldset.choice.known {
                legend { (damage::on_record(known)) " " (damage::NOW) }
                @for (value, words) in choices {
                    (form.radio(&format!("{of}open:{what}"), value, false, words))
                }
            },
            None => p.known { (damage::on_record(known)) " " (damage::FROM_WHERE) },
        }
    }
}

/// Asked once, where damage is on record: why something is not there.
pub fn why_gone(form: &Form<'_>, known: &[Known], of: &str) -> Markup {
    html! {
        @if known.iter().any(|known| known.damage().is_some()) {
            (form.field(&Field::new(&format!("{of}gone-why"), damage::WHY_NOT_THERE).hint(damage::WHY_HINT)))
        }
    }
}

/// Puts into a form what was answered about damage on record.
pub fn answer(
    form: &mut inspection::Form<'_>,
    known: &[Known],
    found: &[Observation],
    (fields, of): (&Fields, &str),
) -> Result<(), Refusal> {
    for known in known {
        let Some(what) = known.damage() else { continue };
        match fields.get(&format!("{of}open:{what}")) {
            "same" if !found.contains(&known.seen) => form.found(known.seen)?,
            "gone" => form.gone(what),
            _ => {}
        }
    }
    if let Some(why) = fields.label(&format!("{of}gone-why"), "a reason")? {
        form.why(why);
    }
    Ok(())
}

/// The name of the field for a photo of a place.
fn photo_name(place: Place) -> String {
    format!("photo-{place}")
}

/// The photos that were sent of places, as the record keeps them.
pub fn photos(state: &State<'_>) -> Result<Vec<(Place, Photograph)>, Refusal> {
    let made = |(name, bytes): &(String, Vec<u8>)| {
        let place = Place::ALL.iter().find(|place| photo_name(**place) == *name);
        let place = place.ok_or_else(|| Refusal::bad("the form is not one of this page"))?;
        Ok((*place, Photograph::make(bytes).map_err(LogbookError::from)?))
    };
    state.request.pictures.iter().map(made).collect()
}

fn photo_field(form: &Form<'_>, place: Place) -> Markup {
    let id = photo_name(place);
    html! {
        p.field {
            label for=(id) { (l::PHOTO_OF_IT) }
            input type="file" id=(id) name=(id) accept="image/jpeg,image/png"
                capture="environment" aria-describedby={ (id) "-hint" };
            (form.file_again(&id))
            span.hint id={ (id) "-hint" } { (l::PHOTO_HINT) }
        }
    }
}

/// The photographs that an inspection has, small, each leading to itself.
pub fn photographs(hose: Code, look: &LastLook, place: Option<Place>) -> Markup {
    let mut shown: Vec<(Place, PhotographName)> = look
        .findings
        .iter()
        .filter(|seen| place.is_none_or(|place| seen.seen.place() == place))
        .filter_map(|seen| Some((seen.seen.place(), seen.photograph?)))
        .collect();
    shown.dedup();
    html! {
        @for (place, name) in shown { (photograph(hose, name, &words::photograph_of(place))) }
    }
}

/// A photograph, small, leading to itself.
pub fn photograph(hose: Code, name: PhotographName, words: &str) -> Markup {
    let at = format!("/hose/{hose}/photo/{name}");
    html! { a.photograph href=(at) { img src=(at) alt=(words) loading="lazy"; } }
}

/// What was seen at a place last time.
fn last_time(hose: Code, last: &LastLook, place: Option<Place>) -> Markup {
    let there = last.findings.iter().filter(|seen| Some(seen.seen.place()) == place);
    let there: Vec<String> =
        there.map(|seen| words::observation(&seen.seen, &seen.words)).collect();
    html! {
        @if !there.is_empty() { p.last { (l::LAST_TIME) " (" (last.on) "): " (there.join("; ")) } (photographs(hose, last, place)) }
        @else if place.is_some() { p.last { (l::LAST_TIME_NOTHING) " (" (last.on) ")" } }
    }
}

/// Every finding that this hose can have at a place.
fn findings(form: &Form<'_>, hose: &Specification, place: Place, of: &str) -> Markup {
    let here = FINDINGS.iter().filter(|rule| rule.at.has(place) && rule.on.has(Some(hose)));
    let (counted, ticked): (Vec<&FindingRule>, Vec<&FindingRule>) =
        here.partition(|rule| matches!(rule.grade, Graded::Count(..)));
    html! {
        @for rule in ticked {
            label.pick.finding.(class(rule.verdict)) {
                @let (name, value) = (format!("{of}finding"), written(place, rule));
                input type="checkbox" name=(name) value=(value) checked[form.is_chosen(&name, &value, false)];
                (sign(rule.verdict))
                span { (rule.seen) span.spoken { ", " (rule.verdict) } }
            }
        }
        @if let Some(rule) = counted.iter().max_by_key(|rule| rule.verdict) {
            @let name = format!("{of}count:{place}:{}", rule.finding);
            @let broken = counted.iter().find(|r| r.seen.starts_with("broken"));
            @let label = format!("{}: {}", l::COUNT, broken.map_or(rule.seen, |r| r.seen));
            (form.field(&Field::number(&name, &label, 9999)))
        }
    }
}

/// A finding as it is written on the command line and in the record.
fn written(place: Place, rule: &FindingRule) -> String {
    match rule.grade {
        Graded::Word(word) => format!("{place}:{}:{word}", rule.finding),
        _ => format!("{place}:{}", rule.finding),
    }
}

/// What was ticked and counted.
pub fn seen(fields: &Fields, of: &str) -> Result<Vec<Observation>, Refusal> {
    let ticked = fields.all(&format!("{of}finding"));
    let head = format!("{of}count:");
    let counted = fields.pairs().iter().filter_map(|(name, text)| {
        let what = name.strip_prefix(&head)?;
        (!text.trim().is_empty()).then(|| format!("{what}:{}", text.trim()))
    });
    let all = ticked.into_iter().chain(counted);
    all.map(|text| text.parse().map_err(Refusal::from)).collect()
}
