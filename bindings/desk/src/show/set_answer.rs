//! The answer to a set's tag: the whole set's status, its own reasons, and each
//! hose in it.

use hosewright_core::set_answer::SetAnswer;
use hosewright_core::set_view::Checked;
use hosewright_core::words;

use super::answer::{banner, why, wrapped};
use super::brief;
use crate::paint::Painted;
use crate::terminal::Screen;

/// The whole answer.
pub fn page(answer: &SetAnswer, screen: Screen) -> Painted {
    let line = |text: &str| Painted::from(wrapped(text, "", "", screen));
    let mut page = vec![banner(answer.verdict, answer.meaning, screen)];
    page.push(line(&format!("{}  {}", answer.code, answer.line())));
    if answer.set.is_some() {
        page.push(line(&answer.words));
    }
    page.push(Painted::default());
    page.extend(answer.reasons.iter().map(|reason| why(reason, screen)));
    for hose in &answer.hoses {
        page.push(Painted::from(of_hose(hose, screen)));
    }
    page.push(Painted::default());
    page.push(line(answer.caution));
    Painted::lines(page)
}

fn of_hose(hose: &Checked, screen: Screen) -> String {
    let (why, todo) = hose.worst_reasons();
    let port = hose.port.map(|port| format!("{port}: ")).unwrap_or_default();
    let shape = words::shape(hose.verdict);
    let head = format!("{shape} {port}{} {} ({}). {why}", hose.code, hose.verdict, hose.words);
    brief::indented(screen, head.trim_end(), &todo)
}
