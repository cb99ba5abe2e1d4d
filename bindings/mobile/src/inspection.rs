//! Looking a hose over: the form, what was seen before beside it, and what is
//! filled in so far.

use hosewright_core::answer::lines;
use hosewright_core::hose::{Label, Specification};
use hosewright_core::inspection::{
    Checkpoint, Choice, Damage, Form, Known, LEAK_TEST_LEAD, LeakTest, Observation,
};
use hosewright_core::measure::TestPressure;
use hosewright_core::tag::Code;
use hosewright_core::words::damage;
use hosewright_core::{Found, Logbook as Core, answer};
use serde::{Deserialize, Serialize};

use crate::logbook::stands;
use crate::{Answer, Inspection, Logbook, Moment, RefusedError, Verdict, Words};

/// A checkpoint that was looked at.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, uniffi::Record)]
pub struct Ticked {
    /// Its name.
    pub checkpoint: String,
    /// What was found there, as [`FindingChoice::seen`]; none is nothing found.
    /// Damage on record that is not there is chosen likewise, and the note says
    /// why.
    pub findings: Vec<String>,
}

/// What is filled in so far.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, uniffi::Record)]
pub struct FilledIn {
    /// The checkpoints that were looked at.
    pub ticked: Vec<Ticked>,
    /// The result of a leak test: whether nothing leaked.
    pub passed: Option<bool>,
    /// The pressure of a leak test, as people write it: `200 bar`.
    pub pressure: Option<String>,
    /// A note.
    pub note: Option<String>,
}

/// Something that can be found at a checkpoint.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct FindingChoice {
    /// What goes into [`Ticked::findings`]; where it is counted, the number
    /// that was counted is put behind it.
    pub seen: String,
    /// The same in words.
    pub words: Words,
    /// Whether it is counted.
    pub counted: bool,
    /// What it means for the hose; none where that depends on the count.
    pub verdict: Option<Verdict>,
}

/// A checkpoint with what can be found there, and what was found before.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct CheckpointShown {
    /// Its name.
    pub name: String,
    /// What to do there.
    pub todo: Words,
    /// What can be found there.
    pub choices: Vec<FindingChoice>,
    /// What was seen there last time, in a line each.
    pub before: Vec<Words>,
    /// Whether it was looked at.
    pub ticked: bool,
    /// What was found there now, as [`FindingChoice::seen`].
    pub found: Vec<String>,
}

/// The form of an inspection, as far as it is filled in.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct InspectionForm {
    /// The hose's tag.
    pub code: String,
    /// What the hose is.
    pub hose: Words,
    /// How thoroughly it is looked over.
    pub kind: Inspection,
    /// What was done the last time, in a line each kind.
    pub last: Vec<Words>,
    /// The checkpoints, in the order of the hands.
    pub checkpoints: Vec<CheckpointShown>,
    /// Whether it needs a result: passed or failed.
    pub needs_result: bool,
    /// What is filled in.
    pub filled: FilledIn,
    /// Whether it can be written down as it is.
    pub complete: bool,
    /// What is still missing, or does not go together, in words.
    pub missing: Option<Words>,
    /// The caution that goes with it.
    pub caution: Words,
}

#[uniffi::export]
impl Logbook {
    /// The form for looking a hose over, with what was filled in before the
    /// phone was put away.
    ///
    /// # Errors
    /// [`RefusedError`] where no hose is found or nobody has described it, or
    /// the store cannot be read.
    pub fn inspection(
        &self,
        typed: String,
        kind: Inspection,
        moment: Moment,
    ) -> Result<InspectionForm, RefusedError> {
        let core = self.core();
        let hose = core.find_typed(&typed)?.hose;
        form_shown(&core, hose, kind, self.drafts.find(&name(hose, kind)), &moment)
    }

    /// Fills the form in. It is kept until it is finished or dropped.
    ///
    /// # Errors
    /// [`RefusedError`] where this hose cannot have what was found, or it
    /// cannot be kept.
    pub fn fill_in(
        &self,
        typed: String,
        kind: Inspection,
        filled: FilledIn,
        moment: Moment,
    ) -> Result<InspectionForm, RefusedError> {
        let core = self.core();
        let hose = core.find_typed(&typed)?.hose;
        filled_form(kind, &core.specification(hose)?, &filled, Vec::new())?;
        self.drafts.keep(&name(hose, kind), &filled)?;
        form_shown(&core, hose, kind, filled, &moment)
    }

    /// Writes the inspection down, and answers for the hose as it stands then.
    ///
    /// # Errors
    /// [`RefusedError`] where something is missing or does not go together, or
    /// the store cannot be written; what is filled in stays.
    pub fn finish_inspection(
        &self,
        typed: String,
        kind: Inspection,
        moment: Moment,
    ) -> Result<Answer, RefusedError> {
        let (mut core, now) = (self.core(), moment.core()?);
        let hose = core.find_typed(&typed)?.hose;
        let filled: FilledIn = self.drafts.find(&name(hose, kind));
        let specification = core.specification(hose)?;
        let known = core.wants_answers(hose, None, &now)?;
        let look = filled_form(kind, &specification, &filled, known)?.finish()?;
        core.inspect(hose, look, None, &now)?;
        self.drafts.forget(&name(hose, kind));
        stands(&core, hose, &now)
    }

    /// Drops what is filled in.
    ///
    /// # Errors
    /// [`RefusedError`] where no hose is found.
    pub fn drop_inspection(&self, typed: String, kind: Inspection) -> Result<(), RefusedError> {
        let hose = self.core().find_typed(&typed)?.hose;
        self.drafts.forget(&name(hose, kind));
        Ok(())
    }
}

fn name(hose: Code, kind: Inspection) -> String {
    format!("inspection {hose} {}", kind.core())
}

fn filled_form<'h>(
    kind: Inspection,
    hose: &'h Specification,
    filled: &FilledIn,
    known: Vec<Known>,
) -> Result<Form<'h>, RefusedError> {
    let mut form = Form::new(kind.core(), hose).with_known(known);
    let mut some_gone = false;
    for ticked in &filled.ticked {
        let checkpoint: Checkpoint = ticked.checkpoint.parse()?;
        form.clear(checkpoint);
        for seen in &ticked.findings {
            match seen.strip_prefix(GONE) {
                Some(damage) => {
                    form.gone(damage.parse::<Damage>()?);
                    some_gone = true;
                }
                None => form.found(seen.parse::<Observation>()?)?,
            }
        }
    }
    let pressure = filled.pressure.as_deref().map(str::trim).filter(|text| !text.is_empty());
    let pressure = pressure.map(TestPressure::parse).transpose();
    let pressure = pressure.map_err(|e| RefusedError::Input { words: e.to_string().into() })?;
    if let Some(passed) = filled.passed {
        form.tested(LeakTest::new(passed, pressure));
    }
    let note = filled.note.as_deref().map(str::trim).filter(|text| !text.is_empty());
    if let Some(note) = note {
        let note = Label::new("a note", note)?;
        if some_gone {
            form.why(note.clone());
        }
        form.note(note);
    }
    Ok(form)
}

fn form_shown(
    core: &Core,
    hose: Code,
    kind: Inspection,
    filled: FilledIn,
    moment: &Moment,
) -> Result<InspectionForm, RefusedError> {
    let specification = core.specification(hose)?;
    let answer = core.answer_found(Found { hose, tag: None }, &moment.core()?)?;
    let known = match kind {
        Inspection::Full => core.wants_answers(hose, None, &moment.core()?)?,
        Inspection::Quick | Inspection::LeakTest => Vec::new(),
    };
    let finished = filled_form(kind, &specification, &filled, known.clone())
        .and_then(|form| form.finish().map_err(RefusedError::from));
    let checkpoints = Checkpoint::of(&specification);
    Ok(InspectionForm {
        code: answer.code.to_string(),
        hose: answer.hose.words.as_str().into(),
        kind,
        last: Words::all(answer.inspections.iter().map(lines::last_look)),
        checkpoints: checkpoints
            .into_iter()
            .map(|checkpoint| {
                let mut shown = checkpoint_shown(checkpoint, &specification, &answer, &filled);
                on_record(&mut shown, checkpoint, &known);
                shown
            })
            .collect(),
        needs_result: kind == Inspection::LeakTest,
        complete: finished.is_ok(),
        missing: finished.err().map(|error| error.to_string().into()),
        filled,
        caution: match kind {
            Inspection::LeakTest => format!("{LEAK_TEST_LEAD} {}", answer.caution).into(),
            Inspection::Full | Inspection::Quick => answer.caution.into(),
        },
    })
}

/// What stands before damage that is said to be gone.
const GONE: &str = "gone:";

/// What is on record at a checkpoint and wants an answer: said, with the choice
/// that it is not there. That it is as it was, or worse, is chosen as ever.
fn on_record(shown: &mut CheckpointShown, checkpoint: Checkpoint, known: &[Known]) {
    for known in known.iter().filter(|known| Some(known.seen.place()) == checkpoint.place()) {
        let asked = if known.damage().is_some() { damage::NOW } else { damage::FROM_WHERE };
        shown.before.push(format!("{} {asked}", damage::on_record(known)).into());
        shown.choices.extend(known.damage().map(|what| FindingChoice {
            seen: format!("{GONE}{what}"),
            words: damage::not_there(known).into(),
            counted: false,
            verdict: Some(Verdict::Ready),
        }));
    }
}

fn checkpoint_shown(
    checkpoint: Checkpoint,
    hose: &Specification,
    answer: &answer::Answer,
    filled: &FilledIn,
) -> CheckpointShown {
    let ticked = filled.ticked.iter().find(|ticked| ticked.checkpoint == checkpoint.word());
    let before = checkpoint.place().map(|place| lines::seen_before(answer, place));
    CheckpointShown {
        name: checkpoint.word().to_owned(),
        todo: checkpoint.todo(hose).into(),
        choices: checkpoint.choices(hose).into_iter().map(choice_shown).collect(),
        before: Words::all(before.unwrap_or_default()),
        ticked: ticked.is_some(),
        found: ticked.map(|ticked| ticked.findings.clone()).unwrap_or_default(),
    }
}

fn choice_shown(choice: Choice) -> FindingChoice {
    match choice {
        Choice::Seen { seen, words, verdict } => FindingChoice {
            seen: seen.to_string(),
            words: words.into(),
            counted: false,
            verdict: Some(verdict.into()),
        },
        Choice::Counted { place, finding, words } => FindingChoice {
            seen: format!("{place}:{finding}:"),
            words: words.into(),
            counted: true,
            verdict: None,
        },
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test")]
mod tests {
    use super::*;
    use crate::{HoseSubject, Place};

    fn moment() -> Moment {
        Moment { today: "2026-06-15".into(), by: "phone".into() }
    }

    fn filled(at: &[(&str, &[&str])], note: Option<&str>) -> FilledIn {
        let ticked = at.iter().map(|(checkpoint, findings)| Ticked {
            checkpoint: (*checkpoint).to_owned(),
            findings: findings.iter().map(ToString::to_string).collect(),
        });
        FilledIn { ticked: ticked.collect(), note: note.map(Into::into), ..FilledIn::default() }
    }

    /// Damage on record is answered for with what the form has already, and a
    /// coupling is put right as a seal is.
    #[test]
    fn open_damage_is_answered_for_on_a_phone() {
        let folder = tempfile::tempdir().unwrap();
        let path = |name: &str| folder.path().join(name).to_string_lossy().into_owned();
        let book = Logbook::open(Place { store: path("record"), keys: path("keys") }).unwrap();
        let of = || HoseSubject::New { tag: None };
        for (field, value) in [
            ("service", "inflator"),
            ("construction", "rubber"),
            ("length", "60 cm"),
            ("end-a", "3/8-24"),
            ("end-b", "quick-disconnect"),
            ("made", "2025-06"),
        ] {
            book.fill_in_hose(of(), field.into(), value.into(), moment()).unwrap();
        }
        let code = book.finish_hose(of(), moment()).unwrap().answer.code;
        let all: [(&str, &[&str]); 5] =
            [("run", &[]), ("end-a", &[]), ("end-b", &[]), ("seal-a", &[]), ("seal-b", &[])];
        let look = |kind, filled| {
            book.fill_in(code.clone(), kind, filled, moment()).unwrap();
            book.finish_inspection(code.clone(), kind, moment())
        };
        look(Inspection::Full, filled(&all, None)).unwrap();
        let seen: [(&str, &[&str]); 1] = [("run", &["run:cut:cover"])];
        assert_eq!(look(Inspection::Quick, filled(&seen, None)).unwrap().verdict, Verdict::Watch);
        let form = book.inspection(code.clone(), Inspection::Full, moment()).unwrap();
        let run = form.checkpoints.iter().find(|at| at.name == "run").unwrap();
        assert!(run.choices.iter().any(|choice| choice.seen == "gone:run:cut"));
        assert!(run.before.iter().any(|line| line.to_string().contains("How is it now?")));
        assert!(look(Inspection::Full, filled(&all, None)).is_err());
        let mut gone = all;
        gone[0] = ("run", &["gone:run:cut"]);
        assert!(look(Inspection::Full, filled(&gone, None)).is_err(), "why?");
        let ended = look(Inspection::Full, filled(&gone, Some("it was tape"))).unwrap();
        assert_eq!(ended.verdict, Verdict::Ready);
        let sticks: [(&str, &[&str]); 1] = [("end-b", &["end-b:coupling-sticks"])];
        let held = look(Inspection::Quick, filled(&sticks, None)).unwrap();
        let crate::NextStep::Reseal { end, .. } = held.next else { unreachable!("{held:?}") };
        assert_eq!(end, "coupling");
        assert_eq!(book.reseal(code.clone(), end, moment()).unwrap().verdict, Verdict::Hold);
    }
}
