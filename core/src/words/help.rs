//! The words of the help that a phone has where there is no network.

/// Over what helps with an answer.
pub const ANSWER_TITLE: &str = "How to get an answer";

/// What helps with an answer.
pub const ANSWER: [&str; 3] = [
    "Hold the tag of a hose before the camera, or type its code or its own number.",
    "This phone answers from its own record, without a network. Share and import records to keep \
     it fresh: what others recorded meanwhile is not known here.",
    super::notices::HOLD_UNKNOWN,
];

/// Over what to do about a tag that can't be read.
pub const TAG_TITLE: &str = "If a tag is not read";
