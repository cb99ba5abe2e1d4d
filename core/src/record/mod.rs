//! What the journal comes to: a hose, a set and the fleet, each folded from the
//! entries about it, and the tables in which the results wait for a question.

mod fleet;
mod found;
mod hose;
mod projection;
mod set;

pub use fleet::{FleetRecord, Recall, folded, of_lot};
pub use found::{each_in_stock, hoses_of_lots, makers_of_lots};
pub use hose::{
    HoseRecord, LeakDue, LeakDueBecause, OpenFinding, OpenSwap, Retirement, Seen, Tag, fold_hose,
};
pub use projection::{
    each_hose, find_barcode, find_tag, find_tags, hose_page, load_fleet, load_hose, load_set,
    project, project_reach, rebuild, recorded_hoses, recorded_sets, set_page, sets_out, stale,
    state_of,
};
pub use set::{HandOut, SetRecord, fold_set};
