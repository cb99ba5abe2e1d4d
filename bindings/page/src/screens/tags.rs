//! Printing tags: which hoses, how large, on what; seen before it is printed.

use std::io::Write;

use hosewright_core::hose::Label;
use hosewright_core::tag::draw;
use hosewright_core::tag::sheet::{Printed, TYING, roll, sheet, svg_sheet};
use hosewright_core::tag::strips::strips;
use hosewright_core::tag::{
    Code, Grid, HoseDiameter, LABEL_SHEETS, LabelSheet, Paper, Payload, PrinterDpi, RollLabel,
    SheetOptions, TagLabel, TagSize, TagText,
};
use hosewright_core::{Logbook, LogbookError, NamingError, words};
use maud::{Markup, html};

use crate::csv;
use crate::fields::{Fields, query};
use crate::form::plain;
use crate::frame::{Scan, Screen};
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::{Response, Shown};
use crate::state::State;
use hosewright_core::view::form::Field;
use hosewright_core::words::sentence;

/// The most blank tags at once.
const MOST_BLANK: u16 = 1000;
/// The most hoses that are chosen by their codes.
const MOST_CODES: usize = 500;
/// The largest fleet whose tags are printed at once.
const MOST_OF_ALL: u32 = 2000;
/// How many tags are previewed.
const PREVIEWED: usize = 6;

/// How tags are printed.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Form {
    Sheet(Paper),
    Labels(LabelSheet),
    Roll,
    Wrap(Paper),
}

/// The forms, as they are chosen.
const FORMS: &[(&str, &str, Form)] = &[
    ("a4", l::TAGS_SHEET_A4, Form::Sheet(Paper::A4)),
    ("letter", l::TAGS_SHEET_LETTER, Form::Sheet(Paper::Letter)),
    ("roll", l::TAGS_ROLL, Form::Roll),
    ("wrap-a4", l::TAGS_WRAP_A4, Form::Wrap(Paper::A4)),
    ("wrap-letter", l::TAGS_WRAP_LETTER, Form::Wrap(Paper::Letter)),
];

impl Form {
    fn named(name: &str) -> Option<Self> {
        let known = FORMS.iter().find(|(known, ..)| *known == name).map(|(_, _, form)| *form);
        let labels = || LABEL_SHEETS.iter().find(|labels| labels.name == name);
        known.or_else(|| labels().copied().map(Self::Labels))
    }
}

/// What is to be printed.
struct Job {
    form: Form,
    diameter: HoseDiameter,
    options: SheetOptions,
    set: Option<Label>,
    codes: Vec<String>,
    /// Those that were imported together with a hose.
    with: Option<String>,
    all: bool,
    blank: u16,
}

impl Job {
    fn of(fields: &Fields) -> Result<Self, Refusal> {
        let form = fields.given("form").unwrap_or("a4");
        let form =
            Form::named(form).ok_or_else(|| Refusal::bad("there is no such form of tags"))?;
        let size: TagSize = fields.parsed("size")?.unwrap_or_default();
        let dpi: PrinterDpi = fields.parsed("dpi")?.unwrap_or_default();
        let grid: Option<Grid> = fields.parsed("grid")?;
        let blank: u16 = fields.parsed("blank")?.unwrap_or(0);
        if blank > MOST_BLANK {
            return Err(Refusal::bad(format!("at most {MOST_BLANK} blank tags at once")));
        }
        // What the box at the top scanned is one more code.
        let typed = fields.all("codes").into_iter().chain(fields.all("text"));
        let codes: Vec<String> = typed
            .flat_map(|text| text.split([' ', ',']).map(ToOwned::to_owned).collect::<Vec<_>>())
            .filter(|code| !code.is_empty())
            .collect();
        if codes.len() > MOST_CODES {
            return Err(Refusal::bad(format!("at most {MOST_CODES} codes at once")));
        }
        let (paper, labels) = match form {
            Form::Sheet(paper) | Form::Wrap(paper) => (paper, None),
            Form::Labels(labels) => (labels.paper, Some(labels)),
            Form::Roll => (Paper::default(), None),
        };
        let roll: Option<RollLabel> = fields.parsed("label")?;
        let diameter =
            fields.given("diameter").unwrap_or(DIAMETER).parse().map_err(Refusal::bad)?;
        Ok(Self {
            form,
            diameter,
            options: SheetOptions {
                paper,
                grid,
                labels,
                roll,
                size,
                dpi,
                ..SheetOptions::default()
            },
            set: fields.label("set", "the name of a set")?,
            codes,
            with: fields.given("with").map(ToOwned::to_owned),
            all: fields.ticked("all"),
            blank,
        })
    }

    /// The tags of the chosen hoses and sets with their words, in the order in which they
    /// are tied on. Blank ones are drawn when they are printed. A strip goes round a
    /// hose, so sets have none.
    fn labels(&self, logbook: &Logbook) -> Result<Vec<TagLabel>, Refusal> {
        let mut sets = match &self.set {
            _ if self.all => logbook.sets()?,
            Some(set) => vec![logbook.set(set)?],
            None => Vec::new(),
        };
        let mut hoses = if self.all { every_hose(logbook)? } else { Vec::new() };
        if let Some(set) = &self.set {
            hoses.extend(logbook.set(set)?.hoses.into_values());
        }
        if let Some(with) = &self.with {
            let (with, made) = logbook.registered_together(logbook.find_typed(with)?.hose)?;
            hoses.extend(with);
            sets.extend(made);
        }
        for code in &self.codes {
            hoses.push(logbook.find_typed(code)?.hose);
        }
        if matches!(self.form, Form::Wrap(_)) {
            sets.clear();
        }
        Ok(logbook.tag_labels(&hoses, &sets)?)
    }

    fn printed(&self, out: impl Write, tags: Vec<TagLabel>) -> Result<Printed, Refusal> {
        Ok(match self.form {
            Form::Sheet(_) | Form::Labels(_) => sheet(out, tags, &self.options)?,
            Form::Roll => roll(out, tags, &self.options)?,
            Form::Wrap(_) => strips(out, tags, self.diameter, &self.options)?,
        })
    }

    fn plan(&self, tag: &TagText) -> Result<draw::Plan, Refusal> {
        let SheetOptions { size, dpi, level, .. } = self.options;
        Ok(draw::plan(size, dpi, level, tag)?)
    }
}

/// Every hose that is not out of service.
fn every_hose(logbook: &Logbook) -> Result<Vec<Code>, Refusal> {
    let all = logbook.hose_page(None, None, MOST_OF_ALL + 1)?;
    if all.len() > MOST_OF_ALL as usize {
        return Err(Refusal::bad(format!(
            "there are more than {MOST_OF_ALL} hoses; print them set by set, or with hosewright tags"
        )));
    }
    let mut serving = Vec::new();
    for hose in all {
        if logbook.record(hose)?.retired.is_none() {
            serving.push(hose);
        }
    }
    Ok(serving)
}

/// A hose of the usual thickness (common practice, no source).
const DIAMETER: &str = "12 mm";

/// The form, with a preview of what it would print.
pub fn choose(state: &State<'_>) -> Shown {
    let job = Job::of(&state.request.query)?;
    let (job, tags, printed) = state.read(|logbook, _| {
        let tags = job.labels(logbook)?;
        // Printed for what it says: a size that does not read is refused here.
        let printed = match tags.is_empty() {
            true => None,
            false => {
                let first = tags.first().map(|tag| job.plan(&tag.text)).transpose()?;
                Some((job.printed(std::io::sink(), tags.clone())?, first))
            }
        };
        Ok((job, tags, printed))
    })?;
    let codes: Vec<String> = tags
        .iter()
        .filter(|_| job.set.is_none() && !job.all && job.with.is_none())
        .map(|tag| tag.text.code().to_string())
        .collect();
    let body = html! {
        h1 { (l::TAGS_TITLE) }
        p.lead { (l::TAGS_LEAD) }
        (form(state, &job, &codes.join(" ")))
        @if tags.is_empty() && job.blank == 0 { p { (l::TAGS_NONE) } }
        @if let Some((printed, plan)) = &printed { (preview(state, &tags, printed, plan.as_ref())) }
        @if !tags.is_empty() || job.blank > 0 {
            p.thumb { a.button.main target="_blank" href={ "/tags/sheet.pdf?" (this(state, &codes)) } { (l::TAGS_PDF) } }
            @let csv = if job.blank > 0 { l::TAGS_CODES_CSV } else { l::TAGS_PICK };
            p.under {
                a.button href={ "/tags/tags.csv?" (this(state, &codes)) } { (csv) }
                a.button href={ "/tags/tags.svg?" (this(state, &codes)) } { (l::TAGS_SYMBOLS) }
            }
            @if job.blank > 0 { p { (l::TAGS_BLANK_NEW) } }
        }
        section.card {
            h2 { (l::TAGS_TYING) }
            p { (TYING.join(" ")) }
        }
        section.card {
            h2 { (l::TAGS_RULER) }
            p { (l::TAGS_RULER_LEAD) }
            p { a.button target="_blank" href={ "/tags/ruler.pdf?" (this(state, &codes)) } { (l::TAGS_RULER) } }
        }
    };
    let kept =
        state.request.query.pairs().iter().filter(|(name, _)| name != "codes" && name != "text");
    let kept = kept.cloned().chain(codes.iter().map(|code| ("codes".to_owned(), code.clone())));
    let scan = Scan {
        kept: kept.collect(),
        several: true,
        ..Scan::into("/tags".to_owned(), "text", l::SCAN_FOR_TAGS)
    };
    Ok(Screen::new(l::TAGS_TITLE, body).scan(scan).shown(state))
}

/// The same choice for another address, with every code in full.
fn this(state: &State<'_>, codes: &[String]) -> String {
    let kept =
        state.request.query.pairs().iter().filter(|(name, _)| name != "codes" && name != "text");
    let kept = kept.map(|(name, text)| (name.as_str(), text.as_str()));
    query(kept.chain(codes.iter().map(|code| ("codes", code.as_str()))))
}

fn form(state: &State<'_>, job: &Job, codes: &str) -> Markup {
    let given = |name: &str| state.request.query.get(name).to_owned();
    let or = |name: &str, other: &str| state.request.query.given(name).unwrap_or(other).to_owned();
    let chosen = or("form", "a4");
    let set = job.set.as_ref().map(ToString::to_string).unwrap_or_default();
    let blank = if job.blank == 0 { String::new() } else { job.blank.to_string() };
    html! {
        form.tags action="/tags" method="get" {
            @if let Some(with) = &job.with { input type="hidden" name="with" value=(with); }
            fieldset {
                legend { (l::TAGS_WHICH) }
                (plain(&Field::text("codes", l::TAGS_CODES).hint(l::TAGS_CODES_HINT).value(codes)))
                (plain(&Field::text("set", l::TAGS_OF_SET).value(&set)))
                label.pick {
                    input type="checkbox" name="all" value="yes" checked[job.all];
                    span { (l::TAGS_ALL) }
                }
                (plain(&Field::text("blank", l::TAGS_BLANK).value(&blank)))
            }
            p.field {
                label for="form" { (l::TAGS_FORM) }
                select #form name="form" {
                    @for (name, label, _) in FORMS { option value=(name) selected[*name == chosen] { (label) } }
                    @for labels in LABEL_SHEETS {
                        option value=(labels.name) selected[labels.name == chosen] { (l::TAGS_LABELS) " " (labels) }
                    }
                }
            }
            div.pair {
                (plain(&Field::text("size", l::TAGS_SIZE).value(or("size", "20 mm"))))
                (plain(&Field::text("dpi", l::TAGS_DPI).value(or("dpi", "300"))))
                (plain(&Field::text("label", l::TAGS_ROLL_LABEL).hint(l::TAGS_ROLL_LABEL_HINT).value(given("label"))))
                (plain(&Field::text("diameter", l::TAGS_DIAMETER).value(or("diameter", DIAMETER))))
                (plain(&Field::text("grid", l::TAGS_GRID).hint(l::TAGS_GRID_HINT).value(given("grid"))))
            }
            p { button.main type="submit" { (l::TAGS_PREVIEW) } }
        }
    }
}

fn preview(
    state: &State<'_>,
    tags: &[TagLabel],
    printed: &Printed,
    plan: Option<&draw::Plan>,
) -> Markup {
    let size =
        query([("size", state.request.query.get("size")), ("dpi", state.request.query.get("dpi"))]);
    let count = |n: u32, unit| words::counted(i64::from(n), unit);
    html! {
        section.card {
            h2 { (l::TAGS_PREVIEW) }
            p { (count(printed.tags, "tag")) ", " (count(printed.pages, "page")) ". " (l::TAGS_IN_ORDER) }
            @if let Some(plan) = plan { p { (l::TAGS_EACH) " " (plan) "." } }
            @if let Some(advice) = &printed.advice { p.result.watch { (sentence(advice)) } }
            ul.previews {
                @for tag in tags.iter().take(PREVIEWED) {
                    li {
                        img src={ "/tags/" (tag.text.code()) "/tag.svg?" (size) } alt=(tag.text.code());
                        @for words in tag.words() { div { (words) } }
                    }
                }
            }
        }
    }
}

/// Everything that is chosen, blank tags with new codes last.
fn chosen(state: &State<'_>) -> Result<(Job, Vec<TagLabel>), Refusal> {
    let job = Job::of(&state.request.query)?;
    let mut tags = state.read(|logbook, _| job.labels(logbook))?;
    tags.extend(blank(state, job.blank)?);
    Ok((job, tags))
}

/// The tags as PDF.
pub fn pdf(state: &State<'_>) -> Shown {
    let (job, tags) = chosen(state)?;
    as_pdf(state, &job, tags, "tags.pdf")
}

/// The list to pick by, or the codes for an engraver.
pub fn list(state: &State<'_>) -> Shown {
    let (_, tags) = chosen(state)?;
    state.file("text/csv; charset=utf-8", ("attachment", "tags.csv"), |out| {
        Ok(csv::pick_list(out, &tags, None)?)
    })
}

/// Every symbol in one drawing, for an engraver.
pub fn symbols(state: &State<'_>) -> Shown {
    let (job, tags) = chosen(state)?;
    state.file("image/svg+xml", ("attachment", "tags.svg"), |out| {
        Ok(svg_sheet(out, tags, &job.options).map(drop)?)
    })
}

/// One blank tag on a page of the same kind, for the ruler.
pub fn ruler(state: &State<'_>) -> Shown {
    let job = Job::of(&state.request.query)?;
    let tags = blank(state, 1)?;
    as_pdf(state, &job, tags, "ruler.pdf")
}

/// Tags with new codes, which need the random bits of the connection that writes.
fn blank(state: &State<'_>, count: u16) -> Result<Vec<TagLabel>, Refusal> {
    if count == 0 {
        return Ok(Vec::new());
    }
    let codes = state.write(|logbook, _| Ok(logbook.blank_tags(usize::from(count))?))?;
    Ok(codes.into_iter().map(|code| Payload { code, passport: None }.into()).collect())
}

fn as_pdf(state: &State<'_>, job: &Job, tags: Vec<TagLabel>, name: &str) -> Shown {
    state.file("application/pdf", ("inline", name), |out| job.printed(out, tags).map(drop))
}

/// One tag as a picture.
pub fn picture(state: &State<'_>) -> Shown {
    let fields = Fields::of(
        state
            .request
            .query
            .pairs()
            .iter()
            .filter(|(name, _)| name == "size" || name == "dpi")
            .cloned()
            .collect(),
    );
    let job = Job::of(&fields)?;
    let svg = state.read(|logbook, _| {
        let tag = match logbook.find_typed(state.parameter("code")) {
            Err(LogbookError::Naming(NamingError::TagOfSet { tag, .. })) => TagText::Set(tag),
            found => logbook.payload(found?.hose)?.into(),
        };
        Ok(draw::svg(&job.plan(&tag)?))
    })?;
    Ok(Response::new("image/svg+xml", svg))
}
