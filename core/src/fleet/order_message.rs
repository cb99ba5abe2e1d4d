//! An order as a message to a supplier.

use chrono::NaiveDate;

use super::ordered::{Order, OrderLine};
use crate::text::visible_lines;
use crate::words::order_message as say;

impl Order {
    /// What is to be bought as a plain text to send; none if that is nothing.
    #[must_use]
    pub fn message(&self, today: NaiveDate) -> Option<String> {
        let bought: Vec<&OrderLine> = self.lines.iter().filter(|line| line.to_buy > 0).collect();
        if bought.is_empty() {
            return None;
        }
        let lines: Vec<String> = bought.iter().map(|line| of_line(line, today)).collect();
        let all = say::in_all(self.to_buy);
        let text = format!("{}\n\n{}\n\n{all}\n{}\n", say::BEGIN, lines.join("\n"), say::END);
        Some(visible_lines(&text).into_owned())
    }
}

fn of_line(line: &OrderLine, today: NaiveDate) -> String {
    let first = line.hoses.iter().map(|hose| hose.by).min().flatten();
    let count = |why: &say::Because| line.hoses.iter().filter(|hose| hose.because == *why).count();
    let reasons: Vec<(say::Because, usize)> = say::Because::ALL
        .iter()
        .map(|why| (*why, count(why)))
        .filter(|(_, count)| *count > 0)
        .collect();
    format!(
        "{}\n   {}; {}",
        say::item(line.to_buy, &line.words),
        say::by(first, today),
        say::why(&reasons, line.in_stock)
    )
}

#[cfg(test)]
#[path = "order_message_tests.rs"]
mod tests;
