//! The answer to a scan, top to bottom as a person needs it.

use hosewright_core::answer::{Reason, lines as lines_of};
use hosewright_core::inspection::Verdict;
use hosewright_core::view::AnswerView;
use hosewright_core::words;
use textwrap::Options;

use super::command::command;
use crate::paint::{self, Painted};
use crate::terminal::Screen;

/// How wide the names of lines are.
const NAME: usize = 11;

/// The whole answer.
pub fn page(view: &AnswerView, screen: Screen) -> Painted {
    let answer = &view.answer;
    let wrapped = |text: &str| Painted::from(wrapped(text, "", "", screen));
    let empty = Painted::default;
    let mut page = vec![banner(answer.verdict, answer.meaning, screen)];
    page.push(wrapped(&lines_of::head(answer)));
    // A hose's answer is not its regulator's.
    page.extend(answer.set.iter().map(|set| wrapped(&set.words)));
    page.push(empty());
    for reason in &answer.reasons {
        page.push(why(reason, screen));
    }
    if !answer.reasons.is_empty() {
        page.push(empty());
    }
    for (name, text) in lines(view) {
        page.push(line(name, text, screen));
    }
    page.push(empty());
    page.push(line("Next", view.next.in_words(), screen));
    page.extend(command(view.next).map(|command| line("", &command, screen)));
    page.push(empty());
    page.push(wrapped(answer.caution));
    Painted::lines(page)
}

/// The verdict: shape, word and meaning between ruled lines.
pub(super) fn banner(verdict: Verdict, meaning: &str, screen: Screen) -> Painted {
    let spaced: Vec<String> =
        verdict.word().to_uppercase().chars().map(|c| c.to_string()).collect();
    let rule = "=".repeat(screen.width);
    let rows = [
        rule.clone(),
        format!("   {}   {}", words::shape(verdict), spaced.join(" ")),
        format!("         {meaning}"),
        rule,
    ];
    let width = screen.width;
    let row = |row| paint::on_colour(screen, verdict, &format!("{row:width$}")).trimmed();
    Painted::lines(rows.map(row))
}

pub(super) fn why(reason: &Reason, screen: Screen) -> Painted {
    let shape = paint::on_colour(screen, reason.verdict, words::shape(reason.verdict));
    let room = Screen { width: screen.width.saturating_sub(4), ..screen };
    let said = wrapped(&reason.words, "", "", room).replace('\n', "\n    ");
    let todo = wrapped(&reason.todo, "    -> ", "       ", screen);
    shape + format!(" {said}\n{todo}")
}

/// What is said in a line each.
fn lines(view: &AnswerView) -> Vec<(&'static str, &str)> {
    let mut rows = vec![("Age", view.age.as_str())];
    rows.extend(named("Looked over", &view.inspections));
    rows.push(("Dives", &view.dives));
    rows.extend(named("Due", &view.due));
    rows.push(("Where", &view.answer.place.words));
    rows.push(("Record", &view.record));
    rows
}

/// A name is at the head of the first of the lines that share it.
fn named<'l>(
    name: &'static str,
    lines: &'l [String],
) -> impl Iterator<Item = (&'static str, &'l str)> {
    let heads = std::iter::once(name).chain(std::iter::repeat(""));
    heads.zip(lines.iter().map(String::as_str))
}

fn line(name: &str, text: &str, screen: Screen) -> Painted {
    let head = format!("{name:NAME$}  ");
    let room = Screen { width: screen.width.saturating_sub(head.len()), ..screen };
    let text = wrapped(text, "", "", room);
    let rest = format!("\n{}", " ".repeat(head.len()));
    paint::bold(screen, &head) + text.replace('\n', &rest)
}

pub(super) fn wrapped(text: &str, first: &str, rest: &str, screen: Screen) -> String {
    let options = Options::new(screen.width).initial_indent(first).subsequent_indent(rest);
    textwrap::fill(text, options.break_words(false))
}
