//! The command line: the real binary in an empty folder, as it is typed.

mod backup;
mod bench;
mod bench_refusals;
mod case;
mod cautions;
mod command_line;
mod demo;
mod doubt;
mod doubt_believed;
mod doubt_borders;
mod doubt_held;
mod find;
mod lists;
mod owner;
mod photographs;
mod refusals;
mod rental;
mod set_inspection;
mod shapes;
mod swap;
mod swap_terminal;
mod trade_customers;
mod trade_endings;
mod trade_findings;
mod trade_fleet;
mod trade_rental;
