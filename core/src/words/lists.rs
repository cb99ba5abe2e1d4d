//! The words beside a list: which hoses it shows, and in which order.

/// Over the fields that choose the hoses of a list.
pub const TITLE: &str = "Filter and sort";
/// The button of those fields.
pub const SHOW: &str = "Show these";
/// Leaves nothing out.
pub const ANY: &str = "Any";
/// Chooses by what may be done with a hose.
pub const VERDICT: &str = "Verdict";
/// Chooses by what hoses do.
pub const SERVICE: &str = "Service";
/// Chooses by where hoses are.
pub const LOCATION: &str = "Where";
/// Chooses by set.
pub const SET: &str = "Set";
/// Chooses by branch.
pub const BRANCH: &str = "Branch";
/// Chooses by maker.
pub const MAKER: &str = "Maker";
/// Chooses by lot.
pub const LOT: &str = "Lot";
/// Chooses by what is due soon.
pub const DUE: &str = "Something is due within";
/// How a time is written.
pub const DUE_HINT: &str = "as 60d, 8w, 6m or 1y";
/// Chooses by the last inspection.
pub const LOOKED: &str = "Not inspected since";
/// Which hose comes first.
pub const SORT: &str = "Order";

/// Hoses in stock.
pub const IN_STOCK: &str = "In stock";
/// Hoses in a set.
pub const IN_SET: &str = "In a set";
/// Hoses that are out.
pub const OUT: &str = "With a hirer";
/// Hoses at home.
pub const HOME: &str = "At home with its customer";
/// Hoses that did not come back.
pub const MISSING: &str = "Missing";
/// Hoses that serve no more.
pub const RETIRED: &str = "Out of service";
/// By own number.
pub const BY_NUMBER: &str = "Own number";
/// By what is due.
pub const BY_DUE: &str = "What is due first";
/// By age.
pub const BY_AGE: &str = "Oldest first";
/// By place.
pub const BY_SET: &str = "Set and port";
