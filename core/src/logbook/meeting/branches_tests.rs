//! Branches that meet at a table, which may break off, lie, or belong to an enemy.

use std::collections::{BTreeMap, BTreeSet};

use super::super::{BranchTerms, Logbook, LogbookError};
use super::tests::{ASKED, good, look, moment, open, register};
use crate::device::DeviceId;
use crate::journal::{
    AddedRows, BranchError, BranchHeld, BranchMeeting, BranchRow, BranchRows, BranchTable,
    NewBranchRow,
};
use crate::story::day;
use crate::tag::Code;
use crate::words;

/// A table in memory.
#[derive(Debug, Clone)]
pub(super) struct Shelf {
    id: String,
    rows: Vec<(u64, NewBranchRow)>,
    next: u64,
    headers: BTreeMap<DeviceId, String>,
    /// After so many questions more it is gone.
    pub(super) breaks_after: Option<u32>,
}

impl Shelf {
    pub(super) fn new(id: &str) -> Self {
        Self {
            id: id.to_owned(),
            rows: Vec::new(),
            next: 1,
            headers: BTreeMap::new(),
            breaks_after: None,
        }
    }

    fn asked(&mut self) -> Result<(), BranchError> {
        match &mut self.breaks_after {
            Some(0) => Err(BranchError("the line is dead".to_owned())),
            Some(left) => {
                *left -= 1;
                Ok(())
            }
            None => Ok(()),
        }
    }
}

impl BranchTable for Shelf {
    fn id(&mut self) -> Result<String, BranchError> {
        self.asked()?;
        Ok(self.id.clone())
    }

    fn holds(&mut self) -> Result<Vec<BranchHeld>, BranchError> {
        self.asked()?;
        let mut numbers: BTreeMap<DeviceId, BTreeSet<u64>> = BTreeMap::new();
        for (_, row) in &self.rows {
            numbers.entry(row.device).or_default().insert(row.seq);
        }
        let held = numbers.into_iter().map(|(device, numbers)| BranchHeld {
            device,
            numbers: numbers.len() as u64,
            newest_seq: numbers.last().copied().unwrap_or_default(),
        });
        Ok(held.collect())
    }

    fn rows(
        &mut self,
        which: BranchRows,
        after: u64,
        most: usize,
    ) -> Result<Vec<BranchRow>, BranchError> {
        self.asked()?;
        let wanted = |row: &NewBranchRow| match which {
            BranchRows::All => true,
            BranchRows::Of(device, first, last) => {
                row.device == device && (first..=last).contains(&row.seq)
            }
        };
        let found = self.rows.iter().filter(|(at, row)| *at > after && wanted(row));
        let found =
            found.map(|(position, row)| BranchRow { position: *position, line: row.line.clone() });
        Ok(found.take(most).collect())
    }

    fn add(&mut self, rows: &[NewBranchRow], read: u64) -> Result<AddedRows, BranchError> {
        self.asked()?;
        let before = self.rows.len();
        let alone = self.rows.iter().all(|(place, _)| *place <= read);
        for row in rows {
            if !self.rows.iter().any(|(_, known)| known.line == row.line) {
                self.rows.push((self.next, row.clone()));
                self.next += 1;
            }
        }
        let new = (self.rows.len() - before) as u64;
        let last = self.rows.last().filter(|_| alone && new > 0);
        let last =
            last.map(|(position, row)| BranchRow { position: *position, line: row.line.clone() });
        Ok(AddedRows { new, last })
    }

    fn headers(&mut self) -> Result<Vec<String>, BranchError> {
        self.asked()?;
        Ok(self.headers.values().cloned().collect())
    }

    fn leave(&mut self, device: &DeviceId, header: &str) -> Result<(), BranchError> {
        self.asked()?;
        self.headers.insert(*device, header.to_owned());
        Ok(())
    }
}

fn book(folder: &tempfile::TempDir, number: u64) -> Logbook {
    open(folder.path(), &format!("store-{number}"), &format!("keys-{number}"), number)
}

pub(super) fn meet(
    book: &mut Logbook,
    shelf: &mut Shelf,
    again: bool,
) -> Result<BranchMeeting, LogbookError> {
    let without = BTreeSet::new();
    let terms = BranchTerms { without: &without, again, today: day(ASKED) };
    book.meet_branches(shelf, &terms, &mut |_, _| ())
}

/// Two branches of which one has put twenty hoses and looks on record.
pub(super) fn two() -> (tempfile::TempDir, Logbook, Logbook, Vec<Code>) {
    let folder = good(tempfile::tempdir());
    let (mut one, two) = (book(&folder, 1), book(&folder, 2));
    let mut hoses = Vec::new();
    for number in 1..11 {
        let hose = good(register(&mut one, number, &moment(number, 0)));
        look(&mut one, hose, &[], &moment(number, 1));
        hoses.push(hose);
    }
    (folder, one, two, hoses)
}

pub(super) fn lines(book: &Logbook) -> BTreeSet<[u8; 32]> {
    super::tests::entries(book).iter().map(|entry| entry.hash()).collect()
}

#[test]
fn branches_agree_and_a_second_meeting_reads_and_sends_nothing() {
    let (_folder, mut one, mut two, hoses) = two();
    let mut shelf = Shelf::new("a");
    let sent = good(meet(&mut one, &mut shelf, false));
    assert_eq!((sent.read, sent.sent, sent.merge.new), (0, 20, 0));
    let taken = good(meet(&mut two, &mut shelf, false));
    assert_eq!((taken.read, taken.sent, taken.merge.new, taken.merge.hoses), (20, 0, 20, 10));
    assert_eq!(lines(&one), lines(&two));
    // What one sent it need not read.
    for book in [&mut one, &mut two] {
        let nothing = good(meet(book, &mut shelf, false));
        assert_eq!((nothing.read, nothing.sent), (0, 0));
    }
    look(
        &mut two,
        hoses.first().copied().unwrap_or_else(|| unreachable!()),
        &["run:bulge"],
        &moment(30, 0),
    );
    assert_eq!(good(meet(&mut two, &mut shelf, false)).sent, 1);
    assert_eq!(good(meet(&mut two, &mut shelf, false)).read, 0);
    let news = good(meet(&mut one, &mut shelf, false));
    assert_eq!((news.read, news.merge.new, news.merge.turned.len()), (1, 1, 1));
    assert_eq!(lines(&one), lines(&two));
    let said = words::branches::met(&news, day(ASKED)).join("\n");
    assert!(said.contains("1 row read, 0 new rows sent"), "{said}");
    assert!(said.contains("its newest entry here is of 9 February"), "{said}");
}

#[test]
fn what_the_server_has_is_not_on_this_device_alone() {
    let (_folder, mut one, mut two, _) = two();
    let mut shelf = Shelf::new("a");
    good(meet(&mut one, &mut shelf, false));
    good(meet(&mut two, &mut shelf, false));
    good(register(&mut two, 40, &moment(40, 0)));
    let alone = |book: &Logbook| good(book.sharing(&moment(41, 0))).map(|shared| shared.alone);
    assert_eq!(alone(&two), Some(1));
    good(meet(&mut two, &mut shelf, false));
    assert_eq!(alone(&two), Some(0));
}

#[test]
fn a_line_that_dies_loses_nothing_and_goes_on() {
    for breaks_after in 0..12 {
        let (_folder, mut one, mut two, _) = two();
        good(register(&mut two, 50, &moment(50, 0)));
        let mut shelf = Shelf::new("a");
        for book in [&mut one, &mut two] {
            shelf.breaks_after = Some(breaks_after);
            let _ = meet(book, &mut shelf, false);
        }
        shelf.breaks_after = None;
        for _ in 0..2 {
            for book in [&mut one, &mut two] {
                assert_eq!(good(meet(book, &mut shelf, false)).merge.refused, 0);
            }
        }
        assert_eq!(lines(&one), lines(&two), "after {breaks_after}");
        assert_eq!(lines(&one).len(), 21);
    }
}

#[test]
fn an_enemy_with_the_server_forges_nothing_and_gaps_are_named() {
    let (_folder, mut one, mut two, _) = two();
    let mut shelf = Shelf::new("a");
    good(meet(&mut one, &mut shelf, false));
    let honest = shelf.clone();
    // One row is altered, one deleted, one stands there twice, one is nonsense.
    let altered = shelf.rows.get_mut(4).unwrap_or_else(|| unreachable!());
    altered.1.line =
        altered.1.line.replace("inspected", "inspectee").replace("second-stage", "gauge");
    shelf.rows.remove(9);
    let twice = shelf.rows.get(12).cloned().unwrap_or_else(|| unreachable!());
    shelf.rows.push((21, twice.1.clone()));
    shelf.rows.push((22, NewBranchRow { line: "{}".to_owned(), ..twice.1 }));
    shelf.next = 23;
    let taken = good(meet(&mut two, &mut shelf, false));
    assert_eq!(taken.merge.new, 18);
    assert_eq!(taken.merge.refused, 2, "{:?}", taken.merge.refusals);
    assert!(taken.merge.refusals.iter().any(|why| why.starts_with("row 22 on the server")));
    assert!(lines(&two).is_subset(&lines(&one)));
    let missing: Vec<_> = taken.devices.iter().flat_map(|device| device.missing.clone()).collect();
    assert_eq!(missing, [(5, 5), (10, 10)]);
    let said = words::branches::met(&taken, day(ASKED)).join("\n");
    assert!(said.contains("missing here: entries 5, 10"), "{said}");
    // It is told each time, until someone who has them sends all again.
    let still = good(meet(&mut two, &mut shelf, false));
    assert!(still.merge.refused > 0 && still.merge.new == 0);
    good(meet(&mut one, &mut shelf, true));
    assert_eq!(good(meet(&mut two, &mut shelf, false)).merge.new, 2);
    assert_eq!(lines(&one), lines(&two));
    assert!(honest.rows.iter().all(|(_, row)| shelf.rows.iter().any(|(_, there)| there == row)));
}

#[test]
fn a_server_that_was_restored_or_replaced_is_read_from_its_beginning() {
    let (_folder, mut one, mut two, _) = two();
    let mut shelf = Shelf::new("a");
    good(meet(&mut one, &mut shelf, false));
    good(meet(&mut two, &mut shelf, false));
    let backup = shelf.clone();
    good(register(&mut one, 60, &moment(60, 0)));
    good(meet(&mut one, &mut shelf, false));
    good(meet(&mut one, &mut shelf, false));
    good(meet(&mut two, &mut shelf, false));
    // The backup comes back, and another branch writes where the lost row was.
    let mut shelf = backup;
    good(register(&mut two, 70, &moment(70, 0)));
    let sent = good(meet(&mut two, &mut shelf, false));
    assert!(sent.from_the_start && sent.sent == 2, "{sent:?}");
    let taken = good(meet(&mut one, &mut shelf, false));
    // Its own lost row was sent again to the place where it lay: to it nothing is gone.
    assert!(!taken.from_the_start && taken.merge.new == 1, "{taken:?}");
    assert_eq!(lines(&one), lines(&two));
    assert!(!good(meet(&mut one, &mut shelf, false)).from_the_start);
    // Another table is another place, which was never read.
    let other = good(meet(&mut one, &mut Shelf::new("b"), false));
    assert!(!other.from_the_start && other.sent == 22);
}

#[test]
fn what_is_left_out_comes_when_it_is_no_longer() {
    let (_folder, mut one, mut two, _) = two();
    let mut shelf = Shelf::new("a");
    good(meet(&mut one, &mut shelf, false));
    let without: BTreeSet<DeviceId> = [good(one.own_device()).device].into();
    let terms = BranchTerms { without: &without, again: false, today: day(ASKED) };
    let left = good(two.meet_branches(&mut shelf, &terms, &mut |_, _| ()));
    assert_eq!((left.merge.new, left.merge.left_out), (0, 20));
    assert_eq!(good(meet(&mut two, &mut shelf, false)).merge.new, 20);
}

#[test]
fn a_server_can_say_nothing_for_a_branch() {
    let (_folder, mut one, mut two, _) = two();
    let mut shelf = Shelf::new("a");
    good(meet(&mut one, &mut shelf, false));
    let honest = shelf.headers.clone();
    for header in shelf.headers.values_mut() {
        *header = header.replace("2026-06-15", "2026-06-14");
    }
    assert_ne!(shelf.headers, honest);
    good(meet(&mut two, &mut shelf, false));
    assert_eq!(good(crate::journal::other_records(&two.connection)), Vec::new());
    shelf.headers = honest;
    good(meet(&mut two, &mut shelf, false));
    let heard = good(crate::journal::other_records(&two.connection));
    assert_eq!(heard.iter().map(|other| other.made).collect::<Vec<_>>(), [day(ASKED)]);
}

/// Rows that do not come in their order would never end.
struct Endless(Shelf);

impl BranchTable for Endless {
    fn id(&mut self) -> Result<String, BranchError> {
        self.0.id()
    }
    fn holds(&mut self) -> Result<Vec<BranchHeld>, BranchError> {
        self.0.holds()
    }
    fn rows(&mut self, _: BranchRows, _: u64, most: usize) -> Result<Vec<BranchRow>, BranchError> {
        Ok(vec![BranchRow { position: 7, line: "{}".to_owned() }; most])
    }
    fn add(&mut self, rows: &[NewBranchRow], read: u64) -> Result<AddedRows, BranchError> {
        self.0.add(rows, read)
    }
    fn headers(&mut self) -> Result<Vec<String>, BranchError> {
        Ok(vec!["nonsense".to_owned()])
    }
    fn leave(&mut self, device: &DeviceId, header: &str) -> Result<(), BranchError> {
        self.0.leave(device, header)
    }
}

#[test]
fn rows_out_of_order_are_refused() {
    let (_folder, mut one, ..) = two();
    let without = BTreeSet::new();
    let terms = BranchTerms { without: &without, again: false, today: day(ASKED) };
    let met = one.meet_branches(&mut Endless(Shelf::new("a")), &terms, &mut |_, _| ());
    assert!(matches!(met, Err(LogbookError::Branches(_))), "{met:?}");
}
