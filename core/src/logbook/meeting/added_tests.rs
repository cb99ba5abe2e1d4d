//! What a branch sends itself it need not read; what others add meanwhile it reads.

use std::collections::BTreeSet;

use super::super::Logbook;
use super::branches::{self, BranchTerms};
use super::branches_tests::{Shelf, lines, meet, two};
use super::tests::{ASKED, good, moment, register};
use crate::device::DeviceId;
use crate::journal::{
    AddedRows, BranchError, BranchHeld, BranchRow, BranchRows, BranchTable, NewBranchRow,
};
use crate::story::day;

/// A server at which somebody else adds a row in the moment in which one's own are added.
struct Crowded<'c>(Shelf, &'c mut Logbook);

impl BranchTable for Crowded<'_> {
    fn id(&mut self) -> Result<String, BranchError> {
        self.0.id()
    }
    fn holds(&mut self) -> Result<Vec<BranchHeld>, BranchError> {
        self.0.holds()
    }
    fn rows(
        &mut self,
        which: BranchRows,
        after: u64,
        most: usize,
    ) -> Result<Vec<BranchRow>, BranchError> {
        self.0.rows(which, after, most)
    }
    fn add(&mut self, rows: &[NewBranchRow], read: u64) -> Result<AddedRows, BranchError> {
        good(meet(self.1, &mut self.0, false));
        self.0.add(rows, read)
    }
    fn headers(&mut self) -> Result<Vec<String>, BranchError> {
        self.0.headers()
    }
    fn leave(&mut self, device: &DeviceId, header: &str) -> Result<(), BranchError> {
        self.0.leave(device, header)
    }
}

#[test]
fn what_others_added_between_is_read() {
    let (folder, mut one, mut two, _) = two();
    let hose = good(register(&mut two, 40, &moment(40, 0)));
    let without = BTreeSet::new();
    let terms = BranchTerms { without: &without, again: false, today: day(ASKED) };
    let mut crowded = Crowded(Shelf::new("a"), &mut two);
    let sent = good(one.meet_branches(&mut crowded, &terms, &mut |_, _| ()));
    assert_eq!((sent.read, sent.sent), (0, 20));
    let Crowded(mut shelf, _) = crowded;
    assert!(one.specification(hose).is_err());
    assert_eq!(good(meet(&mut one, &mut shelf, false)).merge.new, 1);
    assert!(one.specification(hose).is_ok());
    good(meet(&mut two, &mut shelf, false));
    assert_eq!(lines(&one), lines(&two));
    drop(folder);
}

#[test]
fn a_server_that_names_another_row_as_the_last_hides_nothing() {
    let (_folder, mut one, ..) = two();
    let mut read = None;
    let row = |position, line: &str| BranchRow { position, line: line.to_owned() };
    let sent = NewBranchRow { device: good(one.own_device()).device, seq: 1, line: "a".to_owned() };
    let says = |last| Says(AddedRows { new: 1, last });
    for (last, place) in [
        (None, None),
        (Some(row(9, "of somebody else")), None),
        (Some(row(0, "a")), None),
        (Some(row(3, "a")), Some(3)),
        (Some(row(2, "a")), Some(3)),
    ] {
        let rows = std::slice::from_ref(&sent);
        assert_eq!(good(branches::add(&mut says(last), rows, &mut read)), 1);
        assert_eq!(read.map(|(place, _)| place), place);
    }
}

/// A server that says this of rows that are added.
struct Says(AddedRows);

impl BranchTable for Says {
    fn id(&mut self) -> Result<String, BranchError> {
        Ok(String::new())
    }
    fn holds(&mut self) -> Result<Vec<BranchHeld>, BranchError> {
        Ok(Vec::new())
    }
    fn rows(&mut self, _: BranchRows, _: u64, _: usize) -> Result<Vec<BranchRow>, BranchError> {
        Ok(Vec::new())
    }
    fn add(&mut self, _: &[NewBranchRow], _: u64) -> Result<AddedRows, BranchError> {
        Ok(self.0.clone())
    }
    fn headers(&mut self) -> Result<Vec<String>, BranchError> {
        Ok(Vec::new())
    }
    fn leave(&mut self, _: &DeviceId, _: &str) -> Result<(), BranchError> {
        Ok(())
    }
}
