//! A table: on the screen a page at a time, and whole as CSV.

use chrono::NaiveDate;
use hosewright_core::Page;
use hosewright_core::hose::Label;
use hosewright_core::inspection::Verdict;
use hosewright_core::tag::Code;
use http::header::CONTENT_DISPOSITION;
use maud::{Markup, html};

use crate::response::{Response, Shown};
use crate::state::State;
use crate::{csv, labels as l, parts};

/// How many rows are on a page.
pub const ROWS: usize = 50;

/// What is in a cell.
#[derive(Clone)]
pub enum Cell {
    /// A text.
    Text(String),
    /// A day.
    Day(NaiveDate),
    /// A text in lines.
    Lines(Vec<String>),
    /// A hose by its own number and its code.
    Numbered(Option<Label>, Code),
    /// Some hoses.
    Hoses(Vec<Code>),
    /// A verdict.
    Verdict(Verdict),
    /// Something to press, which is on the screen alone.
    Button(Markup),
}

impl Cell {
    /// A text.
    pub fn text(text: impl ToString) -> Self {
        Self::Text(text.to_string())
    }

    fn drawn(&self) -> Markup {
        match self {
            Self::Text(text) => html! { (text) },
            Self::Day(day) => html! { time datetime=(day) { (day) } },
            Self::Lines(lines) => html! { @for line in lines { div { (line) } } },
            Self::Numbered(number, code) => parts::numbered(number.as_ref(), *code),
            Self::Hoses(codes) => html! { @for code in codes { (parts::link(*code)) " " } },
            Self::Verdict(verdict) => parts::verdict(*verdict),
            Self::Button(markup) => markup.clone(),
        }
    }

    fn in_csv(&self) -> Option<String> {
        match self {
            Self::Text(text) => Some(text.clone()),
            Self::Day(day) => Some(day.to_string()),
            Self::Lines(lines) => Some(lines.join("; ")),
            Self::Numbered(_, code) => Some(code.to_string()),
            Self::Hoses(codes) => {
                Some(codes.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))
            }
            Self::Verdict(verdict) => Some(verdict.to_string()),
            Self::Button(_) => None,
        }
    }
}

/// The part of a table that is asked for: a page, or all of it as a file.
pub fn page_of(state: &State<'_>, name: &str) -> Page {
    let from = state.request.query.get("from").parse().unwrap_or(0);
    if state.request.query.get("as") == name { Page::ALL } else { Page { from, most: ROWS as u64 } }
}

/// A table. A row is made when it is shown: a table may have a hundred thousand.
pub struct Sheet<'a> {
    /// What it is called, for those who hear it, and as a file.
    name: &'static str,
    /// What each column holds; an empty head is of buttons.
    head: Vec<&'static str>,
    rows: usize,
    /// How many rows come before the first one that is here.
    first: usize,
    row: Box<dyn Fn(usize) -> Vec<Cell> + 'a>,
}

impl<'a> Sheet<'a> {
    /// A table with its rows.
    pub fn new(name: &'static str, head: Vec<&'static str>, rows: Vec<Vec<Cell>>) -> Self {
        let count = rows.len();
        let row = move |number: usize| rows.get(number).cloned().unwrap_or_default();
        Self { name, head, rows: count, first: 0, row: Box::new(row) }
    }

    /// A table of which a part is here: from which row on, and of how many.
    pub fn part<T>(
        name: &'static str,
        head: Vec<&'static str>,
        (things, from, total): (&'a [T], u64, u64),
        row: impl Fn(&T) -> Vec<Cell> + 'a,
    ) -> Self {
        let number = |n: u64| usize::try_from(n).unwrap_or(usize::MAX);
        let (rows, first) = (number(total), number(from));
        let row = move |number: usize| {
            number.checked_sub(first).and_then(|n| things.get(n)).map(&row).unwrap_or_default()
        };
        Self { name, head, rows, first, row: Box::new(row) }
    }

    /// Whether it has no rows.
    pub const fn is_empty(&self) -> bool {
        self.rows == 0
    }

    /// The rows of the page that is asked for, a way to the others, and the
    /// whole as a file.
    pub fn drawn(&self, state: &State<'_>) -> Markup {
        let from: usize = state.request.query.get("from").parse().unwrap_or(0);
        let from = if from < self.rows { from } else { 0 }.max(self.first);
        let to = self.rows.min(from + ROWS);
        html! {
            (self.table(from, to))
            p.under {
                @if self.rows > ROWS {
                    span { (l::PAGE_OF) " " (from + 1) "–" (to) " " (l::OUT_OF) " " (self.rows) }
                    @if from > 0 { a.button href=(state.request.with("from", "0")) { (l::FIRST_PAGE) } }
                    @if to < self.rows {
                        a.button rel="next" href=(state.request.with("from", &to.to_string())) { (l::MORE) }
                    }
                }
                a.button href=(state.request.with("as", self.name)) { (l::CSV) }
            }
        }
    }

    fn table(&self, from: usize, to: usize) -> Markup {
        let rows = (from..to).map(&self.row);
        html! {
            table {
                caption.spoken { (self.name) }
                thead { tr { @for head in &self.head { th scope="col" { (head) } } } }
                tbody {
                    @for row in rows {
                        tr {
                            @for (cell, head) in row.iter().zip(&self.head) {
                                td data-head=(head) { div { (cell.drawn()) } }
                            }
                        }
                    }
                }
            }
        }
    }

    /// Whether the file of this table is asked for.
    pub fn wanted(&self, state: &State<'_>) -> bool {
        state.request.query.get("as") == self.name
    }

    /// The whole table as CSV; no cell of it is taken for a formula.
    pub fn csv(&self) -> Shown {
        let shown: Vec<&str> = self.head.iter().copied().filter(|head| !head.is_empty()).collect();
        let rows = (0..self.rows).map(&self.row);
        let rows = rows.map(|row| row.iter().filter_map(Cell::in_csv).collect());
        let mut bytes = Vec::new();
        csv::rows(&mut bytes, &shown, rows)?;
        let name = format!("attachment; filename=\"{}.csv\"", self.name);
        Ok(Response::new("text/csv; charset=utf-8", bytes).header(CONTENT_DISPOSITION, name))
    }
}
