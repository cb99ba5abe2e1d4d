//! Tables.

use comfy_table::{ColumnConstraint, ContentArrangement, LineStyle, TableStyle, Width};
use hosewright_core::text::visible_lines;

use crate::paint::{self, Painted};
use crate::terminal::Screen;

/// A line under the head, and nothing else.
const LOOK: TableStyle = TableStyle::new().header_separator(LineStyle::new('-', '-', '-', '-'));

/// A column: its name, and whether its text may be broken into lines. Codes,
/// dates and verdicts stay whole.
#[derive(Clone, Copy)]
pub enum Column {
    /// Stays on one line.
    Whole(&'static str),
    /// Takes the room that is left, and at least so many characters: the
    /// longest word that must not be broken.
    Text(&'static str, u16),
}

/// A table that is filled row by row.
pub struct Table {
    rows: comfy_table::Table,
    screen: Screen,
}

/// An empty table with a head, as wide as the screen at most.
pub fn new<const N: usize>(screen: Screen, head: [Column; N]) -> Table {
    let mut table = comfy_table::Table::new();
    table.load_style(LOOK).set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(u16::try_from(screen.width).unwrap_or(80));
    // Else the library would look at the terminal by itself.
    table.force_no_tty();
    let names = head.map(|column| match column {
        Column::Whole(name) | Column::Text(name, _) => name,
    });
    table.set_header(names);
    for (column, about) in table.column_iter_mut().zip(head) {
        column.set_padding((0, 2));
        column.set_constraint(match about {
            Column::Whole(_) => ColumnConstraint::ContentWidth,
            Column::Text(_, least) => ColumnConstraint::LowerBoundary(Width::Fixed(least + 2)),
        });
    }
    Table { rows: table, screen }
}

impl Table {
    /// Adds a row. Its cells are made visible before they are measured.
    pub fn add_row(&mut self, cells: impl IntoIterator<Item = impl AsRef<str>>) {
        let cells = cells.into_iter().map(|cell| visible_lines(cell.as_ref()).into_owned());
        self.rows.add_row(cells.collect::<Vec<_>>());
    }

    /// Adds rows.
    pub fn add_rows(
        &mut self,
        rows: impl IntoIterator<Item = impl IntoIterator<Item = impl AsRef<str>>>,
    ) {
        rows.into_iter().for_each(|row| self.add_row(row));
    }

    /// Whether it has no rows.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The table, its head in bold where the screen has that.
    pub fn drawn(&self) -> Painted {
        let drawn = self.rows.trim_fmt();
        let mut head = true;
        Painted::lines(drawn.lines().map(|line| {
            head &= !line.starts_with('-');
            if head { paint::bold(self.screen, line) } else { line.into() }
        }))
    }
}
