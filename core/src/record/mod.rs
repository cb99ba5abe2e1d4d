//! What the journal comes to: a hose, a set and the fleet, each folded from the
//! entries about it, and the tables in which the results wait for a question.

mod description;
mod doubt;
mod ending;
mod findings;
mod fleet;
mod found;
mod found_by;
mod gather;
mod hand_outs;
mod hose;
mod hose_fold;
mod ledger;
mod lookup;
mod packed;
mod parts;
mod placing;
mod projection;
mod set;
mod set_described;
mod set_fold;
mod staff;
mod versions;

pub use ending::{Act, ENDINGS, Ending, Matter};
pub use fleet::{FleetRecord, LimitsSet, LostNumbers, Meant, Recall, folded, meant, of_lot};
pub use found::{
    each_in_stock, each_registration, hoses_of_lots, hoses_of_makers, in_stock_alike,
    makers_of_lots,
};
pub use gather::{entries_about, gathered};
pub use hose::HoseRecord;
pub use hose_fold::fold_hose;
pub use ledger::{Withdrawal, taken_back};
#[cfg(test)]
pub(crate) use lookup::ANY_RENTAL_SET;
pub use lookup::{
    any_rental_set, each_hose, find_barcode, find_set_codes, find_set_tag, find_sets, find_tag,
    find_tags, hose_page, is_known, load_fleet, load_hose, load_set, longest_out, packed_sets,
    recorded_hoses, recorded_sets, set_page, sets_out, state_of,
};
pub use packed::PackedSet;
pub use parts::{
    Alternatives, Claim, CorrectedThing, Correction, Disbelieved, Hold, Home, LeakDue,
    LeakDueBecause, Missing, OpenFinding, OpenSwap, Out, Retirement, Seen, Stay, Tag, When,
};
pub use projection::{Folded, RULES, project_reach, rebuild, rules_of, stale};
pub use set::{HandOut, Making, PortClaim, SetCorrection, SetRecord};
pub use set_fold::fold_set;

#[cfg(test)]
mod correction_tests;
#[cfg(test)]
mod description_tests;
#[cfg(test)]
mod ending_tests;
#[cfg(test)]
mod finding_tests;
#[cfg(test)]
mod fleet_tests;
#[cfg(test)]
mod hose_fold_tests;
#[cfg(test)]
mod hose_place_tests;
#[cfg(test)]
mod lookup_tests;
#[cfg(test)]
mod projection_tests;
#[cfg(test)]
mod set_fold_tests;
#[cfg(test)]
mod set_out_tests;
#[cfg(test)]
mod set_port_tests;
#[cfg(test)]
mod shelf_tests;
#[cfg(test)]
mod standing_tests;
#[cfg(test)]
mod tale_tests;
