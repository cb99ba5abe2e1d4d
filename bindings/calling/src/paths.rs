//! What both ends of a meeting in the shop's network know: paths, and how much is said.

/// Asks who a counter is: JSON `{"drawn"}`, answered by a greeting.
pub const GREET: &str = "/meet/greet";
/// Says who calls: JSON `{"caller","secret"}`, answered by a word that opens the next two.
pub const CALL: &str = "/meet/call";
/// A bundle that says what the caller has, answered by a bundle of what it lacks.
pub const GIVE: &str = "/meet/give";
/// A bundle, answered by what is there then, in JSON.
pub const TAKE: &str = "/meet/take";
/// Before that word, in the header `Authorization`.
pub const AUTHORIZED: &str = "Hosewright ";
/// The most bytes of a refusal in words.
pub const MOST_WORDS: usize = 4096;
