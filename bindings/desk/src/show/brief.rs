//! What a hose's answer is after something was recorded about it.

use hosewright_core::Logbook;
use hosewright_core::answer::Answer;
use hosewright_core::tag::Code;
use hosewright_core::{Found, words};
use serde_json::json;
use textwrap::{Options, WordSplitter};

use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::paint::{self, Painted};
use crate::terminal::Screen;

/// Shows the status of a hose. It was recorded, so the exit code is
/// “done” whatever the verdict is.
pub fn after(desk: &mut Desk, logbook: &Logbook, hose: Code) -> Outcome {
    let answer = logbook.answer_found(Found { hose, tag: None }, &desk.moment)?;
    if desk.json {
        desk.json(&answer)?;
    } else {
        let text = brief(&answer, Screen::of_stdout());
        desk.out.text(text)?;
    }
    Ok(Status::Done)
}

/// The same after work at the bench, with what is to be done there besides
/// before it, and the cautions of the work after it.
pub fn after_work(
    desk: &mut Desk,
    logbook: &Logbook,
    hose: Code,
    bench: &[String],
    cautions: &[&str],
) -> Outcome {
    if desk.json {
        let answer = logbook.answer_found(Found { hose, tag: None }, &desk.moment)?;
        let mut shown = serde_json::to_value(answer).unwrap_or_default();
        if let Some(fields) = shown.as_object_mut() {
            fields.insert("bench".to_owned(), json!(bench));
            fields.insert("cautions".to_owned(), json!(cautions));
        }
        desk.json(&shown)?;
        return Ok(Status::Done);
    }
    for line in bench {
        desk.out.line(line)?;
    }
    after(desk, logbook, hose)?;
    self::cautions(desk, cautions)?;
    Ok(Status::Done)
}

/// Cautions, an empty line before them.
pub fn cautions(desk: &mut Desk, cautions: &[&str]) -> Result<(), Failure> {
    desk.out.line("")?;
    let screen = Screen::of_stdout();
    cautions.iter().try_for_each(|caution| Ok(desk.out.text(indented(screen, caution, ""))?))
}

fn brief(answer: &Answer, screen: Screen) -> Painted {
    let hose = words::by_number(answer.hose.origin.own.number.as_ref(), answer.code);
    let head = format!("{hose}  {}", answer.place.words);
    let mut lines = vec![paint::verdict(screen, answer.verdict) + format!("  {head}")];
    lines.extend(answer.set.iter().map(|set| Painted::from(indented(screen, &set.words, ""))));
    let indent = |first: &'static str, rest: &'static str, text: &str| {
        let options = Options::new(screen.width).initial_indent(first).subsequent_indent(rest);
        Painted::from(textwrap::fill(text, whole(options)))
    };
    for reason in &answer.reasons {
        let shape = words::shape(reason.verdict);
        lines.push(indent("  ", "      ", &format!("{shape} {}", reason.words)));
        lines.push(indent("      -> ", "         ", &reason.todo));
    }
    Painted::lines(lines)
}

/// Something that speaks against a hose or a set, and what to do about it.
pub fn indented(screen: Screen, why: &str, todo: &str) -> String {
    let fill = |first: &'static str, rest: &'static str, text: &str| {
        let options = Options::new(screen.width).initial_indent(first).subsequent_indent(rest);
        textwrap::fill(text, whole(options))
    };
    let why = fill("- ", "  ", why);
    if todo.is_empty() { why } else { format!("{why}\n{}", fill("  -> ", "     ", todo)) }
}

/// A text in lines of the screen's width.
pub fn filled(screen: Screen, text: &str) -> String {
    textwrap::fill(text, whole(Options::new(screen.width)))
}

/// Codes and dates stay whole: a hyphen of theirs is no place to break.
fn whole(options: Options<'_>) -> Options<'_> {
    options.break_words(false).word_splitter(WordSplitter::NoHyphenation)
}
