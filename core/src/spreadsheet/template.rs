//! A list to fill in: the headings, and one row that shows how.

use super::column::Column;

/// The headings of the template, each with what is below it in its example.
#[rustfmt::skip]
const EXAMPLE: &[(Column, &str)] = &[
    (Column::Number, "LP-1"),
    (Column::Service, "second-stage"),
    (Column::Length, "75 cm"),
    (Column::Construction, "rubber"),
    (Column::EndA, "3/8-24"),
    (Column::EndB, "9/16-18"),
    (Column::Made, "2024-03"),
    (Column::Bought, ""),
    (Column::InService, "2024-05-20"),
    (Column::Maker, ""),
    (Column::Lot, ""),
    (Column::Model, ""),
    (Column::Protector, "no"),
    (Column::Oxygen, "no"),
    (Column::Set, "R1"),
    (Column::Port, "LP1"),
    (Column::FullOn, "2025-04-02"),
    (Column::FullBy, "bench"),
    (Column::LeakOn, "2025-04-02"),
    (Column::LeakPressure, "200 bar"),
    (Column::Dives, "40"),
    (Column::Note, "an example: delete this row"),
    (Column::Branch, ""),
    (Column::Ticket, ""),
    (Column::Tag, ""),
    (Column::Quantity, ""),
];

/// A list to fill in, as CSV: its headings and an example of a row.
#[must_use]
pub fn template() -> String {
    let heads: Vec<&str> = EXAMPLE.iter().map(|(column, _)| column.label()).collect();
    let cells: Vec<&str> = EXAMPLE.iter().map(|(_, cell)| *cell).collect();
    format!("{}\n{}\n", heads.join(","), cells.join(","))
}
