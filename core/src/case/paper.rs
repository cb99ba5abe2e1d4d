//! A case file as paper: a first page that says it all, then entry by entry.

use std::io::{self, Write};

use super::{CaseFile, CaseLine};
use crate::journal::Listed;
use crate::pdf::{Block, Style, flowed};
use crate::words::{self, CAUTION, case as say};

const TITLE: Style = Style { size: 18.0, bold: true, indent: 0.0 };
const VERDICT: Style = Style { size: 16.0, bold: true, indent: 0.0 };
const HEAD: Style = Style { size: 12.0, bold: true, indent: 0.0 };
const BODY: Style = Style { size: 10.0, bold: false, indent: 0.0 };
const STRONG: Style = Style { size: 10.0, bold: true, indent: 0.0 };
const UNDER: Style = Style { size: 9.5, bold: false, indent: 6.0 };
/// How large a photograph is at most, in mm: four fit on a page.
const PHOTOGRAPH: (f64, f64) = (90.0, 58.0);

/// Prints a case file as PDF, and returns how many pages it has. `photograph` gives the
/// JPEG file of an entry when its page is printed, so that memory has those of one page.
///
/// # Errors
/// What `photograph` or `out` says.
pub fn print<E: From<io::Error>>(
    case: &CaseFile,
    out: &mut dyn Write,
    mut photograph: impl FnMut(&Listed) -> Result<Option<Vec<u8>>, E>,
) -> Result<usize, E> {
    let mut blocks = first_page(case);
    blocks.extend(entries(case));
    let foot = format!("{}: {}, {}", say::CASE, case.about, case.made.on);
    flowed(out, &blocks, &foot, |number| {
        let line = all(case).find(|line| line.number == number);
        line.map_or(Ok(None), |line| photograph(&line.entry))
    })
}

fn all(case: &CaseFile) -> impl Iterator<Item = &CaseLine> {
    case.lines.iter().chain(&case.limits_set)
}

fn first_page(case: &CaseFile) -> Vec<Block> {
    let made = &case.made;
    let mut title = Block::default().text(&format!("{}: {}", say::CASE, case.about), TITLE);
    title = with(title, &case.what, BODY);
    title = title.text(&say::made(&made.by, made.on, made.at, made.device.as_deref()), BODY);
    title = title.text(&say::list(case.lines.len() + case.limits_set.len(), &case.number), BODY);
    let verdict = format!("{} {}", words::shape(case.verdict), case.verdict.word().to_uppercase());
    let verdict = Block::default().rule().text(say::VERDICT, STRONG).text(&verdict, VERDICT);
    let verdict = verdict.text(&case.meaning, BODY).text(CAUTION, STRONG).rule();
    let mut blocks = vec![title, verdict];
    let hoses = case.hoses.iter().map(|(verdict, hose)| format!("{hose}: {verdict}"));
    let signatures = case.writers.iter().map(|w| say::writer(&w.name, w.read, &w.failing));
    let signatures = std::iter::once(say::SIGNATURES_LEAD.to_owned()).chain(signatures);
    let parts = [
        (say::WHY, case.reasons.clone()),
        (say::HOSES, hoses.collect()),
        (say::LIMITS, case.limits.clone()),
        (say::SIGNATURES, signatures.collect()),
    ];
    for (head, lines) in parts {
        if !lines.is_empty() {
            blocks.push(with(Block::default().text(head, HEAD), &lines, BODY));
        }
    }
    blocks.push(Block::default().text(say::LETTERS, BODY).text(say::CONFIDENTIAL_HERE, BODY));
    blocks
}

fn entries(case: &CaseFile) -> Vec<Block> {
    let mut blocks = Vec::new();
    let lists = [(say::ALL, &case.lines), (say::LIMITS_SET, &case.limits_set)];
    for (head, lines) in lists {
        // A head stays with the first entry under it.
        let mut head = Some(Block::default().rule().text(head, HEAD));
        if lines.is_empty() {
            blocks.extend(head.take().map(|head| head.text(say::LIMITS_NONE, BODY)));
        }
        blocks.extend(lines.iter().map(|line| entry(head.take().unwrap_or_default(), line)));
    }
    blocks
}

fn entry(block: Block, line: &CaseLine) -> Block {
    let CaseLine { number, on, about, words: said, .. } = line;
    let block = block.text(&format!("{number}.  {on}  {about}"), STRONG);
    let block = block.text(&words::sentence(said), UNDER);
    let block = block.text(&say::written(line.written, &line.by, &line.device), UNDER);
    let block = block.text(&format!("record's number {:.16}", line.entry.id.to_string()), UNDER);
    let block = with(block, &line.notes, Style { bold: true, ..UNDER });
    let block = with(block, &line.links, UNDER);
    let block = with(block, &line.shown, UNDER);
    let block = with(block, &line.limits, UNDER);
    match line.photograph {
        Some(sides) => block.picture(*number, sides, PHOTOGRAPH, UNDER.indent),
        None => block,
    }
}

fn with(block: Block, lines: &[String], style: Style) -> Block {
    lines.iter().fold(block, |block, line| block.text(line, style))
}
