//! The answer to a scan, top to bottom as a person needs it.

use hosewright_core::answer::{Answer, Reason, lines};
use hosewright_core::inspection::Verdict;
use hosewright_core::words;
use textwrap::Options;

use crate::paint::{self, Painted};
use crate::terminal::Screen;

/// How wide the names of lines are.
const NAME: usize = 11;

/// The whole answer.
pub fn page(answer: &Answer, screen: Screen) -> Painted {
    let wrapped = |text: &str| Painted::from(wrapped(text, "", "", screen));
    let empty = Painted::default;
    let mut page = vec![banner(answer.verdict, answer.meaning, screen)];
    page.push(wrapped(&format!("{}  {}", answer.code, answer.hose.words)));
    // A hose's answer is not its regulator's.
    page.extend(answer.set.iter().map(|set| wrapped(&set.words)));
    page.push(empty());
    for reason in &answer.reasons {
        page.push(why(reason, screen));
    }
    if !answer.reasons.is_empty() {
        page.push(empty());
    }
    for (name, text) in lines(answer) {
        page.push(line(name, &text, screen));
    }
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
fn lines(answer: &Answer) -> Vec<(&'static str, String)> {
    let mut rows = vec![("Age", lines::age(answer))];
    if answer.inspections.is_empty() {
        rows.push(("Looked over", lines::NOT_LOOKED_OVER.to_owned()));
    }
    rows.extend(answer.inspections.iter().map(|look| ("Looked over", lines::last_look(look))));
    rows.push(("Dives", lines::dives(answer.dives)));
    rows.extend(answer.due.iter().map(|due| ("Due", lines::due(due))));
    rows.push(("Where", answer.place.words.clone()));
    rows.push(("Record", lines::freshness(&answer.record)));
    once(rows)
}

/// A name stands once at the head of the lines that share it.
fn once(lines: Vec<(&'static str, String)>) -> Vec<(&'static str, String)> {
    let mut last = "";
    let name = |(name, text): (&'static str, String)| {
        let shown = if name == last { "" } else { name };
        last = name;
        (shown, text)
    };
    lines.into_iter().map(name).collect()
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
