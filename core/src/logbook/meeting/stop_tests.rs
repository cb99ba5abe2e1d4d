//! Long work that is stopped leaves nothing half done, and goes on when it is begun again.

use tempfile::TempDir;

use super::tests::{good, moment, open, register};
use crate::file::InMemory;
use crate::journal::{Stop, StoreError};
use crate::logbook::LogbookError;

#[test]
fn a_merge_that_is_stopped_takes_in_nothing_and_goes_on_later() {
    let folder = good(TempDir::new());
    let mut one = open(folder.path(), "store-1", "keys-1", 1);
    for number in 1..=150 {
        good(register(&mut one, number, &moment(number, 0)));
    }
    let mut bytes = Vec::new();
    good(one.bundle(&mut bytes, None, moment(160, 0).today, |_| ()));
    let bundle = InMemory::new("bundle", bytes);
    let mut two = open(folder.path(), "store-2", "keys-2", 2);
    let stopped = |merged| matches!(merged, Err(LogbookError::Store(StoreError::Stopped)));
    // Before it begins, and from within.
    let stop = Stop::default();
    good(two.obey(&stop));
    stop.stop();
    assert!(stopped(two.merge(&bundle, moment(160, 0).today, |_, _| ())));
    let stop = Stop::default();
    good(two.obey(&stop));
    assert!(stopped(two.merge(&bundle, moment(160, 0).today, |_, _| stop.stop())));
    // Other questions end so too, as long as nobody begins anew.
    good(two.obey(&Stop::default()));
    assert_eq!(good(two.devices()).len(), 0, "nothing came in");
    let merged = good(two.merge(&bundle, moment(160, 0).today, |_, _| ()));
    assert_eq!((merged.new, merged.refused), (150, 0));
}
