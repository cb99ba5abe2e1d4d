//! The words of the bench's tables: threads, spanners, keys, torque, O-rings.

/// Over all of them.
pub const BENCH: &str = "At the bench";
/// What they are for.
pub const BENCH_LEAD: &str = "Measure, and see which thread, spanner, key, torque or O-ring it is.";

/// The name of each table, and what it answers.
pub const THREAD: [&str; 2] = ["Thread", "Which thread is this? Says if it could be two."];
/// As [`THREAD`].
pub const SPANNER: [&str; 2] = ["Spanner", "Which spanner fits the nut, and which would round it?"];
/// As [`THREAD`].
pub const KEY: [&str; 2] = ["Hex key", "Which key fits a plug's socket?"];
/// As [`THREAD`].
pub const TORQUE: [&str; 2] =
    ["Torque", "In every unit, and what to set a wrench with a crowfoot to."];
/// As [`THREAD`].
pub const SEALS: [&str; 2] = ["O-rings", "Which O-rings a joint takes."];

/// The button that asks a table.
pub const SHOW: &str = "Show";

/// Which side of a thread was measured.
pub const MEASURED: &str = "What did you measure?";
/// A male thread.
pub const MALE: &str = "The outside of a male thread, over the crests";
/// A female thread.
pub const FEMALE: &str = "The inside of a female thread, across the bore";
/// The diameter.
pub const DIAMETER: &str = "Diameter";
/// How it is written.
pub const DIAMETER_HINT: &str = "as 9.4mm or 3/8in";
/// From crest to crest.
pub const PITCH: &str = "Pitch, if you measured it";
/// How it is written.
pub const PITCH_HINT: &str = "from one crest to the next, as 1.06mm, or threads on an inch, as 24";
/// A nut.
pub const NUT: &str = "The nut across its flats";
/// How it is written.
pub const NUT_HINT: &str = "as 15.9mm or 5/8in";
/// A socket.
pub const SOCKET: &str = "The socket across its flats";
/// How it is written.
pub const SOCKET_HINT: &str = "as 4mm or 5/32in";
/// The torque.
pub const JOINT: &str = "Torque at the joint";
/// How it is written.
pub const JOINT_HINT: &str = "as 5 N·m, 44 in-lb or 51 kgf·cm; 5 N·m if you leave it empty";
/// The crowfoot.
pub const CROWFOOT: &str = "Crowfoot";
/// How it is measured.
pub const CROWFOOT_HINT: &str =
    "from the middle of the wrench's square to the middle of the nut, as 30mm";
/// The wrench.
pub const WRENCH: &str = "Wrench";
/// How it is measured.
pub const WRENCH_HINT: &str = "from its square to the middle of the grip, as 200mm";
/// The angle.
pub const ANGLE: &str = "Angle";
/// How it is measured.
pub const ANGLE_HINT: &str = "in degrees: 0 straight on, 90 across";
/// Said if a crowfoot is given without its wrench.
pub const BOTH: &str = "give both, the crowfoot's length and the wrench's";
/// The joint.
pub const WHICH_JOINT: &str = "Joint";
/// Every joint.
pub const EVERY_JOINT: &str = "All of them";
/// The diameter is missing.
pub const MEASURE_IT: &str = "measure it first, with its unit";
/// Said of a size that fits.
pub const FITS: &str = "fits";
/// Said of a size that nearly does.
pub const NEAR_MISS: &str = "near miss";
