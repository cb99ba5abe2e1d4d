//! The phones' door on a real disk, and what no compiler says of the phones' code.

mod counters;
mod room;
mod sources;
