//! Tags to print, as a PDF to share: those of a set, or of every hose.

use hosewright_core::event::SetId;
use hosewright_core::hose::Label;
use hosewright_core::tag::sheet::{Printed, TYING, roll, sheet};
use hosewright_core::tag::{DrawError, LABEL_SHEETS, Paper, SheetOptions, TagLabel};
use hosewright_core::view::form::{Choice, Field, FieldRefused, Filled, Form, Kind};
use hosewright_core::words::{labels, screens, sentence, tags as say};
use hosewright_core::{Logbook as Core, LogbookError};

use super::saved::{FileMade, FormSaved};
use crate::{RefusedError, Words};

/// What they are printed on.
const FORM: &str = "form";
/// How wide each is.
const SIZE: &str = "size";
/// The most hoses whose tags are printed at once.
const MOST: u32 = 500;

/// What it begins with.
pub(super) fn begin() -> Filled {
    let mut filled = Filled::default();
    filled.set(FORM, "a4");
    filled.set(SIZE, "20 mm");
    filled
}

/// What can be chosen.
pub(super) fn draw(core: &Core, set: Option<SetId>, filled: &Filled) -> Result<Form, LogbookError> {
    let of = set.map(|set| core.set(&Label::from(set))).transpose()?;
    let of = of.map_or_else(|| say::TAGS_ALL.to_owned(), |set| labels::set(&set.name));
    let fields = vec![
        Field::new(FORM, say::TAGS_FORM, Kind::Choice(forms())),
        Field::text(SIZE, say::TAGS_SIZE),
    ];
    Ok(Form::new(say::TAGS_TITLE, say::TAGS_TITLE, fields).lead(of).filled(filled))
}

fn forms() -> Vec<Choice> {
    let known =
        [("a4", say::TAGS_SHEET_A4), ("letter", say::TAGS_SHEET_LETTER), ("roll", say::TAGS_ROLL)];
    let labels = LABEL_SHEETS
        .iter()
        .map(|labels| Choice::new(labels.name, format!("{} {labels}", say::TAGS_LABELS)));
    known.map(|(name, label)| Choice::new(name, label)).into_iter().chain(labels).collect()
}

/// Makes the PDF.
pub(super) fn made(
    core: &Core,
    set: Option<SetId>,
    filled: &Filled,
) -> Result<FormSaved, RefusedError> {
    let tags = tags(core, set)?;
    let mut bytes = Vec::new();
    let printed = printed(&mut bytes, tags, filled)?;
    let advice = printed.advice.iter().map(|advice| sentence(advice));
    let notes = advice.chain([TYING.join(" ")]);
    Ok(FormSaved {
        notes: Words::all(notes),
        made: Some(FileMade { bytes, file: "tags.pdf".to_owned() }),
        ..FormSaved::said(say::printed(printed.tags, printed.pages))
    })
}

fn printed(
    out: &mut Vec<u8>,
    tags: Vec<TagLabel>,
    filled: &Filled,
) -> Result<Printed, RefusedError> {
    let size = filled.parsed(SIZE)?.unwrap_or_default();
    let options = SheetOptions { size, ..SheetOptions::default() };
    let on = filled.get(FORM);
    let labels = LABEL_SHEETS.iter().find(|labels| labels.name == on).copied();
    let made = match (on, labels) {
        ("roll", _) => roll(out, tags, &options),
        (_, Some(labels)) => {
            let paper = labels.paper;
            sheet(out, tags, &SheetOptions { paper, labels: Some(labels), ..options })
        }
        ("letter", None) => sheet(out, tags, &SheetOptions { paper: Paper::Letter, ..options }),
        _ => sheet(out, tags, &options),
    };
    // What does not fit is put right by another size.
    let refused = |why: DrawError| FieldRefused::new(SIZE, sentence(&why.to_string()));
    Ok(made.map_err(refused)?)
}

fn tags(core: &Core, set: Option<SetId>) -> Result<Vec<TagLabel>, RefusedError> {
    let (hoses, sets) = match set {
        Some(set) => {
            let set = core.set(&Label::from(set))?;
            (set.hoses.values().copied().collect(), vec![set])
        }
        None => {
            let all = core.hose_page(None, None, MOST + 1)?;
            if all.len() > MOST as usize {
                return Err(RefusedError::Input { words: say::too_many(MOST).into() });
            }
            let mut serving = Vec::new();
            for hose in all {
                if core.record(hose)?.retired.is_none() {
                    serving.push(hose);
                }
            }
            (serving, core.sets()?)
        }
    };
    let tags = core.tag_labels(&hoses, &sets)?;
    if tags.is_empty() {
        return Err(LogbookError::Nothing(screens::TAGS_NONE).into());
    }
    Ok(tags)
}
