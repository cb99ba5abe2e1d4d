//! Tables.

use comfy_table::{
    Attribute, Cell, ColumnConstraint, ContentArrangement, LineStyle, Table, TableStyle, Width,
};

use super::Screen;

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

/// An empty table with a head, as wide as the screen at most.
pub fn new<const N: usize>(screen: Screen, head: [Column; N]) -> Table {
    let mut table = Table::new();
    table.load_style(LOOK).set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(u16::try_from(screen.width).unwrap_or(80));
    // Else the library would look at the terminal by itself.
    if screen.colour {
        table.enforce_styling()
    } else {
        table.force_no_tty()
    };
    let names = head.map(|column| match column {
        Column::Whole(name) | Column::Text(name, _) => name,
    });
    table.set_header(names.map(|name| Cell::new(name).add_attribute(Attribute::Bold)));
    for (column, about) in table.column_iter_mut().zip(head) {
        column.set_padding((0, 2));
        column.set_constraint(match about {
            Column::Whole(_) => ColumnConstraint::ContentWidth,
            Column::Text(_, least) => ColumnConstraint::LowerBoundary(Width::Fixed(least + 2)),
        });
    }
    table
}
