//! The form of an inspection: each checkpoint with what can be found there, what
//! was found last time, and damage on record that wants an answer.

use super::{Choice, Field, FieldRefused, Filled, Form, Group, Kind, More, PhotographShown};
use crate::answer::{Answer, LastLook, lines};
use crate::hose::Specification;
use crate::inspection::{
    self, Checkpoint, Choice as Finding, Damage, FindingError, InspectionKind, Known,
    LEAK_TEST_LEAD, LeakTest, Look, Observation, Place, TestMethod,
};
use crate::photograph::PhotographName;
use crate::words::damage::{self, on_record};
use crate::words::inspection as say;
use crate::words::notices::UNTICKED_IS_LOOKED_AT;
use crate::words::{self, form::SAVE};

/// What is inspected, and how.
#[derive(Debug, Clone, Copy)]
pub struct Inspected<'i> {
    /// The hose.
    pub hose: &'i Specification,
    /// How thoroughly.
    pub kind: InspectionKind,
    /// What is on record and wants an answer, of a full inspection.
    pub known: &'i [Known],
    /// What its fields' names begin with, in a form that asks more than this.
    pub of: &'i str,
}

impl<'i> Inspected<'i> {
    fn named(&self, name: &str) -> String {
        format!("{}{name}", self.of)
    }

    fn is_full(&self) -> bool {
        self.kind == InspectionKind::Full
    }

    /// Damage on record that wants an answer.
    fn damages(&self) -> impl Iterator<Item = (&'i Known, Damage)> {
        let known = if self.is_full() { self.known } else { &[] };
        known.iter().filter_map(|known| Some((known, known.damage()?)))
    }
}

/// The form of an inspection by itself, as far as it is filled in.
#[must_use]
pub fn draw(filled: &Filled, of: Inspected<'_>, answer: &Answer) -> Form {
    let lead = match of.kind {
        InspectionKind::Full => say::FULL_LEAD,
        InspectionKind::Quick => UNTICKED_IS_LOOKED_AT,
        InspectionKind::LeakTest => LEAK_TEST_LEAD,
    };
    let mut first = vec![Field::fixed("kind", of.kind)];
    if of.kind == InspectionKind::LeakTest {
        first.extend(result());
    }
    let mut form = Form::new(say::title(of.kind), SAVE, first).lead(lead).about(answer);
    form.groups.extend(groups(of, Some(answer)));
    let mut last = Vec::from_iter(why_gone(of));
    last.push(Field::prose("note", say::NOTE).hint(say::OPTIONAL));
    last.push(Field::new("on", say::ON_DAY, Kind::Date));
    form.groups.push(Group { fields: last, ..Group::default() });
    form.filled(filled).checked(&read(filled, of))
}

/// What a leak test came to.
#[must_use]
pub fn result() -> [Field; 3] {
    let methods = TestMethod::ALL.iter().map(|method| (method.word(), method.in_words()));
    [
        Field::choice("result", say::RESULT, [("passed", say::PASSED), ("failed", say::FAILED)])
            .needed(),
        Field::text("pressure", say::PRESSURE).hint(say::PRESSURE_HINT),
        Field::choice("method", say::METHOD, methods),
    ]
}

/// Asked once, if damage is on record: why something is not there.
pub(super) fn why_gone(of: Inspected<'_>) -> Option<Field> {
    of.damages().next()?;
    Some(Field::prose(of.named("gone-why"), damage::WHY_NOT_THERE).hint(damage::WHY_HINT))
}

/// Every checkpoint that is asked about; with what was found there last time, if
/// there is an answer.
pub(super) fn groups(of: Inspected<'_>, answer: Option<&Answer>) -> Vec<Group> {
    let last = answer.and_then(last);
    let asked = |at: &Checkpoint| of.is_full() || at.place().is_some();
    let checkpoints = Checkpoint::of(of.hose).into_iter().filter(asked);
    checkpoints.map(|checkpoint| group(of, checkpoint, last)).collect()
}

/// The last time that someone looked the whole hose over, and the record knows what was
/// found.
fn last(answer: &Answer) -> Option<&LastLook> {
    let seen = |look: &&LastLook| look.kind != InspectionKind::LeakTest && look.list.is_none();
    let looks = answer.inspections.iter().filter(seen);
    looks.max_by_key(|look| (look.on, look.kind == InspectionKind::Full))
}

fn group(of: Inspected<'_>, checkpoint: Checkpoint, last: Option<&LastLook>) -> Group {
    let place = checkpoint.place();
    let known =
        || of.known.iter().filter(|known| of.is_full() && Some(known.seen.place()) == place);
    let from_where = known().filter(|known| known.damage().is_none());
    let notes = last.zip(place).map(|(last, place)| last_time(last, place)).into_iter();
    let mut fields: Vec<Field> = known().filter_map(|known| open(of, known)).collect();
    if of.is_full() {
        fields.push(Field::tick(of.named(&clear(checkpoint)), say::NOTHING_FOUND));
    }
    // A form about several hoses has no room for pictures.
    let picture = of.is_full() || of.of.is_empty();
    Group {
        title: checkpoint.todo(of.hose).to_owned(),
        picture: picture.then(|| (of.hose.clone(), checkpoint)),
        notes: notes
            .chain(from_where.map(|known| format!("{} {}", on_record(known), damage::FROM_WHERE)))
            .collect(),
        photographs: last
            .zip(place)
            .map(|(last, place)| photographs(last, place))
            .unwrap_or_default(),
        fields,
        more: place.map(|place| findings(of, checkpoint, place)),
    }
}

fn last_time(last: &LastLook, place: Place) -> String {
    let there = last.findings.iter().filter(|seen| seen.seen.place() == place);
    let there: Vec<String> =
        there.map(|seen| words::observation(&seen.seen, &seen.words)).collect();
    say::last_time(last.on, &there)
}

fn photographs(last: &LastLook, place: Place) -> Vec<PhotographShown> {
    let there = last.findings.iter().filter(|seen| seen.seen.place() == place);
    let mut names: Vec<PhotographName> = there.filter_map(|seen| seen.photograph).collect();
    names.dedup();
    let shown = |name| PhotographShown { name, words: words::photograph_of(place) };
    names.into_iter().map(shown).collect()
}

/// Damage on record, and how it is now.
fn open(of: Inspected<'_>, known: &Known) -> Option<Field> {
    let what = known.damage()?;
    let choices =
        [("same", damage::SAME), ("otherwise", damage::OTHERWISE), ("gone", damage::NOT_THERE)];
    let asked = format!("{} {}", on_record(known), damage::NOW);
    Some(Field::choice(of.named(&format!("open:{what}")), asked, choices).needed())
}

/// Everything that this hose can have at a place.
fn findings(of: Inspected<'_>, checkpoint: Checkpoint, place: Place) -> More {
    let (mut ticked, mut fields) = (Vec::new(), Vec::new());
    for choice in checkpoint.choices(of.hose) {
        match choice {
            Finding::Seen { seen, words, verdict } => ticked
                .push(Choice { verdict: Some(verdict), ..Choice::new(seen.to_string(), words) }),
            Finding::Counted { place, finding, words } => {
                let name = of.named(&format!("{COUNT}{place}:{finding}"));
                fields.push(Field::number(name, say::how_many(words), 9_999));
            }
        }
    }
    fields.insert(0, Field::new(of.named(FINDING), "", Kind::Many(ticked)));
    if of.of.is_empty() {
        fields.push(photo_field("", place));
    }
    let groups = vec![Group { fields, ..Group::default() }];
    More { title: say::FOUND_HERE.to_owned(), groups }
}

const FINDING: &str = "finding";
const COUNT: &str = "count:";

/// The name of the box for a checkpoint that was looked at and is clear.
fn clear(checkpoint: Checkpoint) -> String {
    format!("clear-{checkpoint}")
}

/// The field for a photo of a place, whose name begins with what its hose's do.
pub(super) fn photo_field(of: &str, place: Place) -> Field {
    let name = format!("{of}{}", photo(place));
    Field::new(name, say::PHOTO, Kind::Photo).hint(say::PHOTO_HINT)
}

/// The name of the field for a photo of a place.
#[must_use]
pub fn photo(place: Place) -> String {
    format!("photo-{place}")
}

/// A checkpoint is clear or has findings: what was tapped last is true.
pub fn settle(filled: &mut Filled, tapped: &str) {
    let name = tapped.rsplit('|').next().unwrap_or(tapped);
    let of = tapped.strip_suffix(name).unwrap_or_default().to_owned();
    let (finding, count) = (format!("{of}{FINDING}"), format!("{of}{COUNT}"));
    let at = |place: &str, head: &str| head.starts_with(&format!("{place}:"));
    if let Some(place) = name.strip_prefix("clear-") {
        filled.take_back(&finding, |seen| at(place, seen));
        let counts: Vec<String> =
            filled.beginning(&count).map(|(what, _)| what.to_owned()).collect();
        for what in counts.iter().filter(|what| at(place, what)) {
            filled.set(&format!("{count}{what}"), "");
        }
    } else if name == FINDING || name.starts_with(COUNT) {
        for checkpoint in Checkpoint::ALL {
            let found = filled.all(&finding).any(|seen| at(checkpoint.word(), seen));
            if found || filled.beginning(&count).any(|(what, _)| at(checkpoint.word(), what)) {
                filled.set(&format!("{of}{}", clear(*checkpoint)), "");
            }
        }
    }
}

/// The inspection that a form describes.
///
/// # Errors
/// [`FieldRefused`] with what is missing, or does not go together.
pub fn read(filled: &Filled, of: Inspected<'_>) -> Result<Look, FieldRefused> {
    let mut form = inspection::Form::new(of.kind, of.hose).with_known(of.known.to_vec());
    for checkpoint in Checkpoint::of(of.hose) {
        if filled.ticked(&of.named(&clear(checkpoint))) {
            form.clear(checkpoint);
        }
    }
    let seen = seen(filled, of.of)?;
    let at_findings = |error: FindingError| FieldRefused::new(of.named(FINDING), error);
    for found in &seen {
        form.found(*found).map_err(at_findings)?;
    }
    for (known, what) in of.damages() {
        match filled.get(&of.named(&format!("open:{what}"))) {
            "same" if !seen.contains(&known.seen) => form.found(known.seen).map_err(at_findings)?,
            "gone" => form.gone(what),
            _ => {}
        }
    }
    if let Some(why) = filled.prose(&of.named("gone-why"), "a reason")? {
        form.why(why);
    }
    // A form about several hoses asks these once, and by other names.
    if of.of.is_empty() {
        if let Some(test) = tested(filled)? {
            form.tested(test);
        }
        if let Some(note) = filled.prose("note", "a note")? {
            form.note(note);
        }
    }
    let open = form.open().first().map(|checkpoint| of.named(&clear(*checkpoint)));
    form.finish().map_err(|error| FieldRefused::new(field_of(&error, open, of), error))
}

/// What a leak test came to, if that is said.
fn tested(filled: &Filled) -> Result<Option<LeakTest>, FieldRefused> {
    let (pressure, method) = (filled.parsed("pressure")?, filled.parsed("method")?);
    let test = |passed| LeakTest::new(passed, pressure).done(method);
    Ok(match filled.get("result") {
        "passed" => Some(test(true)),
        "failed" => Some(test(false)),
        _ => None,
    })
}

fn field_of(error: &FindingError, open: Option<String>, of: Inspected<'_>) -> String {
    match error {
        FindingError::Unanswered(_) => open.unwrap_or_default(),
        FindingError::NoResult => "result".to_owned(),
        FindingError::GoneAndWhy => of.named("gone-why"),
        _ => String::new(),
    }
}

/// What was ticked and counted.
///
/// # Errors
/// [`FieldRefused`] if it is no finding.
pub fn seen(filled: &Filled, of: &str) -> Result<Vec<Observation>, FieldRefused> {
    let (finding, count) = (format!("{of}{FINDING}"), format!("{of}{COUNT}"));
    let ticked = filled.all(&finding).map(|text| (finding.clone(), text.to_owned()));
    let counted = filled
        .beginning(&count)
        .map(|(what, number)| (format!("{count}{what}"), format!("{what}:{number}")));
    let read = |(name, text): (String, String)| {
        text.parse().map_err(|error: FindingError| FieldRefused::new(name, error))
    };
    ticked.chain(counted).map(read).collect()
}

/// What was done the last time, a line each kind.
#[must_use]
pub fn last_looks(answer: &Answer) -> Vec<String> {
    answer.inspections.iter().map(lines::last_look).collect()
}
