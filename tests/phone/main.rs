//! The phones' door on a real disk, and what no compiler says of the phones' code.

mod room;
mod sources;
