//! The form with which a set is handed out; and the one with which it is taken back:
//! each hose here or missing, a quick look at it, and the dives.

use super::inspection::{self, Inspected};
use super::{ANSWER, Choice, Field, FieldRefused, Filled, Form, Group, Kind, More};
use crate::event::PortName;
use crate::hose::{Label, Prose, Specification};
use crate::inspection::{Checkpoint, InspectionKind, Observation, Place};
use crate::record::HandOut;
use crate::tag::Code;
use crate::words::{self, care, inspection as say, packing, returns, sets};

/// A hose that is out.
#[derive(Debug, Clone, PartialEq)]
pub struct Away {
    /// Its tag.
    pub code: Code,
    /// The port of the set that it is in on record; none if it is in no port of it.
    pub port: Option<PortName>,
    /// The shop's own number for it.
    pub number: Option<Label>,
    /// What it is, if that is known.
    pub hose: Option<Specification>,
}

impl Away {
    /// It in a few words: by its own number, else by its port, else by its code.
    fn briefly(&self) -> String {
        let number = self.number.as_ref().map(ToString::to_string);
        let port = self.port.map(|port| port.to_string());
        number.or(port).unwrap_or_else(|| self.code.to_string())
    }
}

/// What a form for a return says.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Returned {
    /// Dives since the set was handed out; none if that is not known.
    pub dives: Option<u32>,
    /// The hoses that came back.
    pub here: Vec<Code>,
    /// Those that did not.
    pub missing: Vec<Code>,
    /// The hoses that came back, were looked at, and on which nothing was found.
    pub clear: Vec<Code>,
    /// What was found on them.
    pub seen: Vec<(Code, Observation)>,
}

/// The field with the hirer's ticket.
pub const TICKET: &str = "ticket";
/// The field with the name of who overrides what stops a hand-out.
pub const NAME: &str = "name";

/// More scans than any set has hoses.
const MOST: usize = 64;

/// What was scanned so far, each once.
#[must_use]
pub fn scanned(filled: &Filled) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for text in filled.all(SCANNED) {
        if all.len() < MOST && all.iter().all(|known| known != text) {
            all.push(text.to_owned());
        }
    }
    all
}

/// The form for a set that goes out with the hoses that were scanned; over
/// what stops it, if it is `stopped`, in someone's name.
#[must_use]
pub fn hand_out(filled: &Filled, stopped: bool) -> Form {
    let mut fields: Vec<Field> =
        scanned(filled).iter().map(|text| Field::fixed(SCANNED, text)).collect();
    let ticket = Field::text(TICKET, say::TICKET).hint(say::TICKET_HINT).needed();
    if !stopped {
        fields.push(ticket.goes_on());
        return Form::new(say::HAND_OUT, say::HAND_OUT, fields).filled(filled);
    }
    fields.push(ticket);
    fields.extend(over());
    Form::new(say::HAND_OUT_OVER, say::HAND_OUT_OVER, fields)
        .lead(sets::OVERRIDE_LIFTS)
        .filled(filled)
}

/// What the button of a form says that packs the set instead of handing it out.
pub const PACK: &str = "pack";

/// The same form, with which the set can be packed instead.
#[must_use]
pub fn or_packed(form: Form) -> Form {
    let answers = vec![Choice::new("out", &*form.submit), Choice::new(PACK, packing::PACK)];
    Form { answers, ..form }
}

/// The form with which a packed set goes out: a button alone if it is ready, else over
/// what stops it, if that can be lifted.
#[must_use]
pub fn hand_out_packed(ready: bool, can_be_lifted: bool) -> Form {
    match (ready, can_be_lifted) {
        (true, _) => Form::new(packing::GO, packing::GO, Vec::new()),
        (false, true) => {
            let form = Form::new(say::HAND_OUT_OVER, say::HAND_OUT_OVER, over());
            form.lead(sets::OVERRIDE_LIFTS)
        }
        (false, false) => stays_here(),
    }
}

/// The fields of who hands a set out over what stops it, and why.
fn over() -> Vec<Field> {
    vec![Field::text(NAME, say::OWN_NAME).needed(), Field::prose("why", care::WHY).needed()]
}

/// The same for a set that no reason lets out.
#[must_use]
pub fn stays_here() -> Form {
    Form::new(say::HAND_OUT_OVER, "", Vec::new()).lead(sets::OVERRIDE_DOES_NOT_LIFT)
}

/// What a form for a hand-out says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Handing {
    /// The hirer's ticket.
    pub ticket: Label,
    /// Who overrides what stops it, and why.
    pub over: Option<(Label, Prose)>,
}

/// What a form for a hand-out says.
///
/// # Errors
/// [`FieldRefused`] with what is missing or wrong.
pub fn read_hand_out(filled: &Filled) -> Result<Handing, FieldRefused> {
    let ticket = filled.needed_ticket(TICKET)?;
    Ok(Handing { ticket, over: read_over(filled)? })
}

/// Who overrides what stops a hand-out, and why, if the form says so.
///
/// # Errors
/// [`FieldRefused`] if a reason has no name, or either is wrong.
pub fn read_over(filled: &Filled) -> Result<Option<(Label, Prose)>, FieldRefused> {
    let name = filled.label(NAME, "a name")?;
    match (filled.prose("why", "a reason")?, name) {
        (Some(why), Some(name)) => Ok(Some((name, why))),
        (Some(_), None) => Err(FieldRefused::new(NAME, say::NO_NAME)),
        (None, _) => Ok(None),
    }
}

/// The form for a set that comes back, as far as it is filled in. `a_day` dives are
/// counted if how many is not known.
#[must_use]
pub fn draw(filled: &Filled, set: &Label, out: &HandOut, away: &[Away], a_day: u32) -> Form {
    let scans = vec![Field::new(SCANNED, say::SCAN_RETURN, Kind::Scans)];
    let title = format!("{}: Set {set}", say::TAKE_BACK);
    let mut form =
        Form::new(title, say::TAKE_BACK, scans).lead(sets::set_out(out)).lead(returns::RETURN_LEAD);
    form.groups.extend(away.iter().map(|away| group(away, filled)));
    let dives = Field::number("dives", say::DIVES, 200).hint(returns::dives_unknown(a_day));
    let told = away.iter().all(|away| filled.given(&at(away.code)).is_some());
    let dives = if told { dives.goes_on() } else { dives };
    let mut last = vec![dives, Field::tick("dives_unknown", say::DIVES_UNKNOWN)];
    last.push(Field::new("on", say::ON_DAY, Kind::Date));
    last.extend(scanned(filled).iter().map(|text| Field::fixed(SCANNED, text)));
    form.groups.push(Group { fields: last, ..Group::default() });
    form.answers = answers(filled, away);
    form.filled(filled).checked(&read(filled, away))
}

fn group(away: &Away, filled: &Filled) -> Group {
    let Away { code, port, number, hose } = away;
    let choices = [("here", say::HERE), ("missing", say::MISSING)];
    let known = [port.map(|port| port.to_string()), number.as_ref().map(ToString::to_string)];
    let what = [code.to_string(), words::hose_briefly(hose.as_ref())];
    let title = known.into_iter().flatten().chain(what).collect::<Vec<_>>().join(" ");
    let more = hose.as_ref().map(|hose| {
        let (kind, known, of) = (InspectionKind::Quick, &[][..], format!("{code}|"));
        let groups = inspection::groups(Inspected { hose, kind, known, of: &of }, None);
        More { title: say::REPORT.to_owned(), groups }
    });
    let clear = Field::tick(clear(*code), say::NOTHING_FOUND);
    let asked = filled.get(&at(*code)) != "missing";
    let fields = vec![Field::choice(at(*code), "", choices).needed(), Field { asked, ..clear }];
    Group { title, fields, more, ..Group::default() }
}

/// Adds a field for a photo of each place of a hose, where what is found there is said.
pub fn with_photographs(form: &mut Form, away: &Away) {
    let of = format!("{}|", away.code);
    let own =
        form.groups.iter_mut().find(|group| group.fields.iter().any(|f| f.name == at(away.code)));
    let (Some(hose), Some(more)) = (&away.hose, own.and_then(|group| group.more.as_mut())) else {
        return;
    };
    let seen = Checkpoint::of(hose).into_iter().filter_map(Checkpoint::place);
    for (place, group) in seen.zip(&mut more.groups) {
        let first = group.more.as_mut().and_then(|more| more.groups.first_mut());
        first.into_iter().for_each(|first| first.fields.push(inspection::photo_field(&of, place)));
    }
}

/// The hose and the place of which a form has a photo, by the name of its field.
#[must_use]
pub fn photo_of(name: &str) -> Option<(Code, Place)> {
    let (code, photo) = name.split_once('|')?;
    let place = Place::ALL.iter().find(|place| inspection::photo(**place) == photo)?;
    Some((Code::parse(code).ok()?, *place))
}

/// The two ways to submit a return while there are hoses here of which nothing is said
/// yet: the first says of these, by name, that nothing was found on them.
fn answers(filled: &Filled, away: &[Away]) -> Vec<Choice> {
    let here = away.iter().filter(|away| filled.get(&at(away.code)) == "here");
    let (told, open): (Vec<&Away>, Vec<&Away>) =
        here.partition(|away| filled.ticked(&clear(away.code)) || is_found(filled, away.code));
    if open.is_empty() {
        return Vec::new();
    }
    let names: Vec<String> = open.iter().map(|away| away.briefly()).collect();
    let codes: Vec<String> = open.iter().map(|away| away.code.to_string()).collect();
    let nothing = returns::nothing_found_on(&names, !told.is_empty());
    vec![
        Choice::new(format!("{CLEAR}{}", codes.join(" ")), nothing),
        Choice::new("ticked", returns::TAKE_BACK_AS_TICKED),
    ]
}

/// What the answer begins with that says of some hoses that nothing was found on them.
const CLEAR: &str = "clear ";

fn is_found(filled: &Filled, code: Code) -> bool {
    inspection::seen(filled, &format!("{code}|")).is_ok_and(|seen| !seen.is_empty())
}

/// What a tag that is scanned into the form fills in.
pub const SCANNED: &str = "scanned";

/// The name of the field that says whether a hose came back.
fn at(code: Code) -> String {
    format!("{code}|at")
}

/// The name of the box for a hose that was looked at, with nothing found.
fn clear(code: Code) -> String {
    format!("{code}|clear")
}

/// A hose was scanned: it is here.
pub fn is_here(filled: &mut Filled, code: Code) {
    filled.set(&at(code), "here");
}

/// Dives since the set was handed out; none if that is not known.
///
/// # Errors
/// [`FieldRefused`] if neither is said.
pub fn dives(filled: &Filled) -> Result<Option<u32>, FieldRefused> {
    if filled.ticked("dives_unknown") {
        return Ok(None);
    }
    filled.needed("dives", say::NO_DIVES).map(Some)
}

/// What a form says. A hose of which nothing is said is neither here nor missing; one
/// counts as looked at if something was found on it, or somebody said that nothing was.
///
/// # Errors
/// [`FieldRefused`] with what is missing or wrong.
pub fn read(filled: &Filled, away: &[Away]) -> Result<Returned, FieldRefused> {
    let mut returned = Returned { dives: dives(filled)?, ..Returned::default() };
    let answered = filled.get(ANSWER).strip_prefix(CLEAR).unwrap_or_default();
    let answered: Vec<&str> = answered.split(' ').collect();
    for Away { code, .. } in away {
        match filled.get(&at(*code)) {
            "here" => returned.here.push(*code),
            "missing" => returned.missing.push(*code),
            _ => {}
        }
        let seen = inspection::seen(filled, &format!("{code}|"))?;
        let ticked = filled.ticked(&clear(*code));
        if seen.is_empty() && (ticked || answered.contains(&code.to_string().as_str())) {
            returned.clear.push(*code);
        }
        returned.seen.extend(seen.into_iter().map(|seen| (*code, seen)));
    }
    Ok(returned)
}
