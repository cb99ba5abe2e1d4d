//! Long work that is stopped leaves nothing half done, and goes on when it is begun again.

use std::collections::BTreeSet;

use tempfile::TempDir;

use super::tests::{good, moment, open, register};
use crate::file::InMemory;
use crate::journal::{Stop, StoreError};
use crate::logbook::{DeviceView, LogbookError};

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

    // In a folder: neither taken in nor left.
    let (stick, today) = (good(TempDir::new()), moment(160, 0).today);
    good(one.meet_in(stick.path(), today));
    let mut three = open(folder.path(), "store-3", "keys-3", 3);
    let (stop, without) = (Stop::default(), BTreeSet::new());
    good(three.obey(&stop));
    let met = three.meet_in_without(stick.path(), &without, today, |_, _| stop.stop());
    assert!(matches!(met, Err(LogbookError::Store(StoreError::Stopped))));
    good(three.obey(&Stop::default()));
    let written = |device: &DeviceView| device.entries > 0;
    assert!(!good(three.devices()).iter().any(written), "nothing came in");
    assert_eq!(good(std::fs::read_dir(stick.path())).count(), 1, "nothing was left");
    let mut looked = Vec::new();
    let met =
        three.meet_in_without(stick.path(), &without, today, |done, all| looked.push((done, all)));
    assert!(good(met).files.iter().all(|(_, merged)| merged.is_ok()));
    assert_eq!(looked.last(), Some(&(150, 150)), "it says how far it is");
}
