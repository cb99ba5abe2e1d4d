//! The command line of Hosewright.
fn main() {}
