//! The words of a swap's forms.

/// Asks for a tag.
pub const SCAN: &str = "Scan it, or type its code";
/// Asks for the torque.
pub const TORQUE: &str = "Torque, if measured";
/// How it is written.
pub const TORQUE_HINT: &str = "as 5 N·m";
/// Why the old hose is retired.
pub const WHY_RETIRED: &str = "Why, if it is retired";
/// Over the form that gives a swap up, and on its button.
pub const GIVE_UP: &str = "Give up the swap";
