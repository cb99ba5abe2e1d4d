//! What the journal comes to: a hose, a set and the fleet, each folded from the
//! entries about it, and the tables in which the results wait for a question.

mod description;
mod doubt;
mod ending;
mod findings;
mod fleet;
mod found;
mod gather;
mod hose;
mod hose_fold;
mod ledger;
mod placing;
mod projection;
mod set;
mod set_fold;

pub use ending::{Act, ENDINGS, Ending, Matter};
pub use fleet::{FleetRecord, LimitsSet, LostNumbers, Meant, Recall, folded, meant, of_lot};
pub use found::{each_in_stock, hoses_of_lots, makers_of_lots};
pub use gather::{entries_about, gathered};
pub use hose::{
    Alternatives, Claim, CorrectedThing, Correction, Disbelieved, Hold, Home, HoseRecord, LeakDue,
    LeakDueBecause, OpenFinding, OpenSwap, Out, Retirement, Seen, Stay, Tag, When,
};
pub use hose_fold::fold_hose;
pub use ledger::{Withdrawal, taken_back};
pub use projection::{
    RULES, each_hose, find_barcode, find_sets, find_tag, find_tags, hose_page, is_known,
    load_fleet, load_hose, load_set, project, project_reach, rebuild, recorded_hoses,
    recorded_sets, rules_of, set_page, sets_out, stale, state_of,
};
pub use set::{HandOut, Making, PortClaim, SetCorrection, SetRecord};
pub use set_fold::fold_set;
