//! Printing tags: `tag` and `tags`.

use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use hosewright_core::Logbook;
use hosewright_core::hose::Label;
use hosewright_core::tag::draw::{self, plan_with_base};
use hosewright_core::tag::sheet::{Printed, TYING, roll, sheet, svg_sheet};
use hosewright_core::tag::strips::strips;
use hosewright_core::tag::{
    Base, Grid, HoseDiameter, LabelSheet, Level, Paper, Payload, Plan, PrinterDpi, RollLabel,
    SheetOptions, TagLabel, TagSize, TagText,
};
use hosewright_page::csv;
use serde_json::json;

use super::files;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::terminal::filled;
use crate::values;

/// How tags are printed.
#[derive(Args)]
struct Print {
    /// The file to write
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// How wide each tag is, as 20mm or 0.8in
    #[arg(long, value_name = "LENGTH", default_value = "20mm")]
    size: TagSize,
    /// The printer's dots an inch
    #[arg(long, default_value = "300")]
    dpi: PrinterDpi,
    /// How much of a tag may be lost: L, M, Q or H (7, 15, 25 or 30 %)
    #[arg(long, default_value = "Q")]
    level: Level,
    /// The name of a page that answers, as HTTPS://NAME/, to stand before the text
    #[arg(long, value_name = "NAME")]
    base: Option<Base>,
    /// As strips that wrap round a hose of this diameter, in a PDF
    #[arg(long, value_name = "DIAMETER")]
    wrap: Option<HoseDiameter>,
    /// A4 or Letter, for a PDF
    #[arg(long, default_value = "A4")]
    paper: Paper,
    /// Columns and rows on a page, as 4x8 [else as many as fit]
    #[arg(long, value_name = "CxR", conflicts_with = "wrap")]
    grid: Option<Grid>,
    /// On labels that are cut already, by their size in mm: 70x37, 70x36, 63.5x38.1, 52.5x29.7,
    /// 48.5x25.4 and 38.1x21.2 on A4, 66.7x25.4 and 101.6x50.8 on Letter
    #[arg(long, value_name = "WxH", conflicts_with_all = ["wrap", "grid"])]
    labels: Option<LabelSheet>,
    /// On the labels of a roll, one a page, as 57x32mm
    #[arg(long, value_name = "WxH", conflicts_with_all = ["wrap", "grid", "labels"])]
    roll: Option<RollLabel>,
    /// Overwrite an existing file
    #[arg(long)]
    force: bool,
}

impl Print {
    fn options(&self) -> SheetOptions {
        SheetOptions {
            paper: self.paper,
            grid: self.grid,
            labels: self.labels,
            roll: self.roll,
            size: self.size,
            dpi: self.dpi,
            level: self.level,
            base: self.base.clone(),
        }
    }

    fn plan(&self, tag: &TagLabel) -> Result<Plan, Failure> {
        Ok(plan_with_base(self.size, self.dpi, self.level, tag.text, self.base.as_ref())?)
    }

    fn kind(&self) -> Result<Kind, Failure> {
        let ending = self.out.extension().and_then(|e| e.to_str()).map(str::to_lowercase);
        match (ending.as_deref(), self.wrap) {
            (Some("svg" | "png"), Some(_)) => {
                Err(Failure::refused("strips are printed to PDF; name a file that ends in .pdf"))
            }
            (Some("svg"), None) => Ok(Kind::Svg),
            (Some("png"), None) => Ok(Kind::Png),
            (Some("pdf"), _) => Ok(Kind::Pdf),
            (Some("csv"), _) => Ok(Kind::Csv),
            _ => Err(Failure::refused(format!(
                "{} does not say what to write; end it in .svg, .png, .pdf or .csv",
                self.out.display()
            ))),
        }
    }

    /// A sheet, strips or a roll of many tags; one tag alone on a page of its own size.
    fn pages(&self, tags: Vec<TagLabel>) -> Result<Printed, Failure> {
        let options = self.options();
        let alone = tags.len() == 1 && self.grid.is_none() && self.labels.is_none();
        files::write(&self.out, self.force, |file| {
            let mut out = BufWriter::new(file);
            let printed = match self.wrap {
                Some(diameter) => strips(&mut out, tags, diameter, &options)?,
                None if alone || self.roll.is_some() => roll(&mut out, tags, &options)?,
                None => sheet(&mut out, tags, &options)?,
            };
            out.flush().map_err(Failure::io(&self.out))?;
            Ok(printed)
        })
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Svg,
    Png,
    Pdf,
    Csv,
}

/// Prints the tags of some hoses and sets.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright tag 7K2M9 --out tag.pdf\n  hosewright tag 7K2M9 --out strip.pdf --wrap 12mm --size 14mm\n  \
    hosewright tag 7K2M9 3QX0B --out tag.svg     (writes tag-1.svg and tag-2.svg)\n  \
    hosewright tag --set R3 --out r3.pdf         (for the first stage of a set)"
)]
pub struct Tag {
    /// The codes of the hoses
    #[arg(required_unless_present = "sets", value_name = "CODE")]
    codes: Vec<String>,
    /// A set, whose own tag is printed: scanned, it answers for every hose in it; may be given
    /// again
    #[arg(long = "set", value_name = "NAME", value_parser = values::set_name)]
    sets: Vec<Label>,
    #[command(flatten)]
    print: Print,
}

impl Tag {
    /// Writes the file, or one a code.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let kind = self.print.kind()?;
        let logbook = desk.open_to_read()?;
        let mut hoses = Vec::new();
        for code in &self.codes {
            hoses.push(logbook.find_typed(code)?.hose);
        }
        let mut sets = Vec::new();
        for set in &self.sets {
            // Refused here if it has no tag.
            logbook.set_tag(set)?;
            sets.push(logbook.set(set)?);
        }
        let tags = logbook.tag_labels(&hoses, &sets)?;
        write(desk, &self.print, kind, tags, false)
    }
}

/// Prints sheets of tags.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright tags --all --out sheet.pdf --grid 4x7\n  \
    hosewright tags --set R3 --out r3.pdf --labels 70x37\n  \
    hosewright tags --all --out roll.pdf --roll 57x32mm\n  \
    hosewright tags --all --out tags.csv          (the list to pick by, in the order of the print)\n  \
    hosewright tags --blank 50 --out blank.csv    (codes for an engraver; .svg: the symbols)\n\n\
    A blank tag is put on a hose later: register … --tag CODE")]
pub struct Tags {
    #[command(flatten)]
    which: WhichTags,
    #[command(flatten)]
    print: Print,
}

#[derive(Args)]
#[group(required = true, multiple = false)]
struct WhichTags {
    /// The tags of every hose in service, and of every set
    #[arg(long)]
    all: bool,
    /// The tag of a set, and those of the hoses in it
    #[arg(long, value_name = "NAME", value_parser = values::set_name)]
    set: Option<Label>,
    /// The tags of every hose that was imported together with this one
    #[arg(long, value_name = "CODE")]
    imported_with: Option<String>,
    /// This many tags with new codes, for hoses that are registered later
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=10_000))]
    blank: Option<u16>,
}

impl Tags {
    /// Writes the sheet.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let kind = self.print.kind()?;
        if kind == Kind::Png {
            return Err(Failure::refused(
                "sheets are PDF, SVG or CSV; name a file that ends in .pdf, .svg or .csv",
            ));
        }
        files::refuse_present(&self.print.out, self.print.force)?;
        // Blank tags are where a record may begin.
        let blank = self.which.blank.is_some();
        let mut logbook = if blank { desk.open_or_begin() } else { desk.open_to_read() }?;
        let mut tags = self.which.tags(&mut logbook)?;
        if self.print.wrap.is_some() {
            // A strip goes round a hose; a set's tag is for its first stage.
            tags.retain(|tag| matches!(tag.text, TagText::Hose(_)));
        }
        write(desk, &self.print, kind, tags, true)
    }
}

impl WhichTags {
    fn tags(&self, logbook: &mut Logbook) -> Result<Vec<TagLabel>, Failure> {
        if let Some(count) = self.blank {
            let codes = logbook.blank_tags(usize::from(count))?.into_iter();
            return Ok(codes.map(|code| Payload { code, passport: None }.into()).collect());
        }
        let (hoses, sets) = match (&self.set, &self.imported_with) {
            (Some(name), _) => {
                let set = logbook.set(name)?;
                (set.hoses.values().copied().collect(), vec![set])
            }
            (None, Some(code)) => logbook.registered_together(logbook.find_typed(code)?.hose)?,
            (None, None) => (logbook.hoses()?, logbook.sets()?),
        };
        let mut serving = Vec::new();
        for hose in hoses {
            if logbook.record(hose)?.retired.is_none() {
                serving.push(hose);
            }
        }
        Ok(logbook.tag_labels(&serving, &sets)?)
    }
}

fn write(
    desk: &mut Desk,
    print: &Print,
    kind: Kind,
    payloads: Vec<TagLabel>,
    together: bool,
) -> Outcome {
    let first = payloads.first().ok_or(draw::DrawError::NoTags)?;
    let plan = print.plan(first)?;
    let codes: Vec<_> = payloads.iter().map(|tag| tag.text.code()).collect();
    let (files, printed) = match kind {
        Kind::Csv => (vec![list(print, &payloads)?], None),
        Kind::Svg if together => (vec![symbols(print, payloads)?], None),
        Kind::Svg | Kind::Png => (singles(print, kind, &payloads)?, None),
        Kind::Pdf => (vec![print.out.clone()], Some(print.pages(payloads)?)),
    };
    if desk.json {
        let files: Vec<_> = files.iter().map(|path| path.to_string_lossy()).collect();
        desk.json(&json!({ "files": files, "codes": codes, "printed": plan.to_string() }))?;
        return Ok(Status::Done);
    }
    for file in &files {
        desk.out.line(file.display().to_string())?;
    }
    if let Some(printed) = &printed {
        let pages = i64::from(printed.pages);
        let tags = i64::from(printed.tags);
        let counted = hosewright_core::words::counted;
        desk.out.line(format!("{} on {}", counted(tags, "tag"), counted(pages, "page")))?;
    }
    if kind == Kind::Csv {
        return Ok(Status::Done);
    }
    desk.out.text(filled(&format!("Each tag: {plan}.")))?;
    if let Some(advice) = printed.and_then(|printed| printed.advice) {
        desk.out.text(filled(&format!("Note: {advice}.")))?;
    }
    desk.out.text(filled(&TYING.join(" ")))?;
    Ok(Status::Done)
}

/// The list to pick by, or the codes for an engraver.
fn list(print: &Print, tags: &[TagLabel]) -> Result<PathBuf, Failure> {
    files::write(&print.out, print.force, |file| {
        csv::pick_list(BufWriter::new(file), tags, print.base.as_ref())
            .map_err(|e| Failure::refused(format!("the list can't be written: {e}")))
    })?;
    Ok(print.out.clone())
}

/// Every symbol in one drawing.
fn symbols(print: &Print, tags: Vec<TagLabel>) -> Result<PathBuf, Failure> {
    files::write(&print.out, print.force, |file| {
        let mut out = BufWriter::new(file);
        svg_sheet(&mut out, tags, &print.options())?;
        out.flush().map_err(Failure::io(&print.out))
    })?;
    Ok(print.out.clone())
}

/// One file a tag, numbered if there are several.
fn singles(print: &Print, kind: Kind, payloads: &[TagLabel]) -> Result<Vec<PathBuf>, Failure> {
    let name = |at: usize| match payloads.len() {
        1 => print.out.clone(),
        _ => numbered(&print.out, at + 1),
    };
    let paths: Vec<PathBuf> = (0..payloads.len()).map(name).collect();
    // All or none: a file in the way of the last stops the first.
    for path in &paths {
        files::refuse_present(path, print.force)?;
    }
    for (path, payload) in paths.iter().zip(payloads) {
        let plan = print.plan(payload)?;
        let bytes = match kind {
            Kind::Svg => draw::svg(&plan).into_bytes(),
            _ => draw::png(&plan)?,
        };
        files::write(path, print.force, |file| file.write_all(&bytes).map_err(Failure::io(path)))?;
    }
    Ok(paths)
}

/// `tag.svg` as `tag-2.svg`.
fn numbered(path: &Path, number: usize) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let ending = path.extension().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!("{stem}-{number}.{ending}"))
}
