//! A counter and the devices that call it, in memory.

use std::path::Path;

use rand_chacha::ChaCha20Rng;
use rand_core::{Rng, SeedableRng};
use tempfile::TempDir;

use super::super::{Counter, CounterError, Given, Logbook, LogbookError};
use super::tests::{good, lines, look, moment, open, register};
use crate::device::{
    Caller, CertificateDigest, Challenge, CounterAddress, Greeting, Invitation, Role, Secret,
};
use crate::file::InMemory;
use crate::journal::{CounterMeeting, TakenThere};
use crate::words;

/// A connection to a counter that is in memory too.
pub(super) struct Line<'c> {
    counter: &'c mut Logbook,
    address: CounterAddress,
    /// The certificate that the caller sees, and that which the counter shows.
    certificates: [CertificateDigest; 2],
    /// The secret of the symbol that the counter shows.
    pub(super) shown: Option<Secret>,
    challenge: Option<Challenge>,
    caller: Option<Caller>,
    /// After so many bytes of what it gives, and of what it gets, it breaks off.
    pub(super) breaks: [Option<usize>; 2],
}

impl<'c> Line<'c> {
    pub(super) fn to(counter: &'c mut Logbook) -> Self {
        let address = good("192.168.1.20:7464".parse());
        let (shown, challenge, caller) = (None, None, None);
        let certificates = [[4; 32]; 2];
        let breaks = [None; 2];
        Self { counter, address, certificates, shown, challenge, caller, breaks }
    }
}

fn said<T>(result: Result<T, LogbookError>) -> Result<T, CounterError> {
    result.map_err(|error| CounterError::Refused(error.to_string()))
}

impl Counter for Line<'_> {
    fn address(&self) -> &CounterAddress {
        &self.address
    }

    fn certificate(&self) -> CertificateDigest {
        self.certificates[0]
    }

    fn greet(&mut self, drawn: &Challenge) -> Result<Greeting, CounterError> {
        let greeting = said(Ok(good(self.counter.greet(drawn, &self.certificates[1]))))?;
        self.challenge = Some(greeting.challenge);
        Ok(greeting)
    }

    fn call(&mut self, caller: &Caller, secret: Option<&Secret>) -> Result<(), CounterError> {
        let challenge = self.challenge.take().ok_or(CounterError::NotTheDevice)?;
        let right = &self.certificates[1];
        said(self.counter.proven_caller(caller, &challenge, right))?;
        match secret {
            None => said(self.counter.may_meet(&caller.device, caller.fleet))?,
            Some(secret) if Some(secret) == self.shown.as_ref() => {
                said(self.counter.let_in(caller, (Role::Bench, None), &moment(100, 0)))?;
            }
            Some(_) => return said(Err(CounterError::Secret.into())),
        }
        self.caller = Some(caller.clone());
        Ok(())
    }

    fn give(&mut self, holds: &[u8]) -> Result<Given, CounterError> {
        let mut bytes = Vec::new();
        said(self.counter.give_to(holds, &mut bytes, moment(160, 0).today))?;
        let broke_off = self.breaks[0].filter(|at| *at < bytes.len());
        bytes.truncate(broke_off.unwrap_or(usize::MAX));
        let bundle = Box::new(InMemory::new("given", bytes));
        Ok(Given { bundle, broke_off: broke_off.map(|at| format!("cut at {at}")) })
    }

    fn take(&mut self, bundle: &Path) -> Result<TakenThere, CounterError> {
        let mut bytes = good(std::fs::read(bundle));
        let broke_off = self.breaks[1].filter(|at| *at < bytes.len());
        bytes.truncate(broke_off.unwrap_or(usize::MAX));
        let device = self.caller.as_ref().map(|caller| caller.device);
        let device = device.ok_or(CounterError::NotTheDevice)?;
        let sent = InMemory::new("sent", bytes);
        let taken = self.counter.take_from(&device, &sent, moment(160, 0).today);
        match broke_off {
            Some(at) => Err(CounterError::BrokeOff(format!("cut at {at}"))),
            None => said(taken),
        }
    }
}

fn secret(of: u8) -> Secret {
    Secret::from([of; 16])
}

fn invitation(counter: &mut Logbook, of: u8) -> Invitation {
    let device = good(counter.own_device()).device;
    let address = good("192.168.1.20:7464".parse());
    let made = Invitation::new(device, secret(of), vec![address]);
    made.unwrap_or_else(|| unreachable!("an invitation"))
}

/// Meets without an invitation.
pub(super) fn meet(
    caller: &mut Logbook,
    counter: &mut Logbook,
    breaks: [Option<usize>; 2],
) -> Result<CounterMeeting, LogbookError> {
    let mut line = Line { breaks, ..Line::to(counter) };
    caller.meet_counter(&mut line, None, &moment(160, 0), |_, _| ())
}

/// Meets by a symbol.
pub(super) fn pair(
    caller: &mut Logbook,
    counter: &mut Logbook,
) -> Result<CounterMeeting, LogbookError> {
    let invited = invitation(counter, 9);
    let mut line = Line { shown: Some(secret(9)), ..Line::to(counter) };
    caller.meet_counter(&mut line, Some(&invited), &moment(160, 0), |_, _| ())
}

fn books(n: u64) -> (TempDir, Vec<Logbook>) {
    let folder = good(TempDir::new());
    let book = |n| open(folder.path(), &format!("store-{n}"), &format!("keys-{n}"), n);
    let mut books: Vec<Logbook> = (1..=n).map(book).collect();
    for (number, book) in (1..).zip(&mut books) {
        let hose = good(register(book, number, &moment(number, 0)));
        look(book, hose, &[], &moment(number, 1));
    }
    (folder, books)
}

fn refused(met: Result<CounterMeeting, LogbookError>) -> CounterError {
    match met {
        Err(LogbookError::Counter(error)) => error,
        other => unreachable!("{other:?}"),
    }
}

#[test]
fn a_device_is_let_in_admitted_and_meets_by_itself() {
    let (_folder, mut books) = books(2);
    let [counter, phone] = books.as_mut_slice() else { unreachable!("two") };
    good(counter.found_fleet(&moment(50, 0)));
    let met = good(pair(phone, counter));
    assert_eq!((met.merge.new, met.sent, met.new_there), (4, 2, 2));
    let fleet = good(counter.owner());
    assert!(fleet.is_some() && met.joined == fleet && good(phone.owner()) == fleet);
    assert_eq!(lines(phone), lines(counter));
    let own = good(phone.own_device());
    assert_eq!(own.role, Some(Role::Bench));
    let believed = good(counter.devices());
    assert!(believed.iter().all(|device| device.set_aside.is_empty()), "{believed:?}");
    let said = words::counters::met(&met).join("\n");
    assert!(said.contains("2 entries sent, 2 of them new there"), "{said}");
    // What each has, the other knows: nothing is on one of them alone.
    for book in [&*counter, &*phone] {
        let sharing = good(book.sharing(&moment(160, 0)));
        assert_eq!(sharing.map(|sharing| sharing.alone), Some(0));
    }
    let nothing = good(meet(phone, counter, [None; 2]));
    assert_eq!((nothing.merge.new, nothing.sent, nothing.joined), (0, 0, None));
    good(register(counter, 7, &moment(60, 0)));
    good(register(phone, 8, &moment(60, 0)));
    let met = good(meet(phone, counter, [None; 2]));
    assert_eq!((met.merge.new, met.sent, met.new_there), (1, 1, 1));
    assert_eq!(lines(phone), lines(counter));
    let kept = good(phone.met_counters());
    assert_eq!(kept.iter().map(|kept| kept.device).collect::<Vec<_>>(), [met.counter]);
}

#[test]
fn without_a_fleet_who_was_let_in_comes_again_and_is_forgotten_again() {
    let (_folder, mut books) = books(3);
    let [counter, phone, other] = books.as_mut_slice() else { unreachable!("three") };
    good(pair(phone, counter));
    good(meet(phone, counter, [None; 2]));
    let device = good(phone.own_device()).device;
    assert_eq!(good(counter.paired_devices()), [(device, moment(100, 0).today)]);
    assert_eq!(refused(meet(other, counter, [None; 2])), CounterError::UnknownCounter);
    good(counter.forget_paired(&device));
    let said = refused(meet(phone, counter, [None; 2])).to_string();
    assert!(said.contains("has not let that device in"), "{said}");
}

#[test]
fn a_symbol_counts_as_it_is_shown_and_for_the_counter_that_shows_it() {
    let (_folder, mut books) = books(3);
    let [counter, phone, other] = books.as_mut_slice() else { unreachable!("three") };
    let invited = invitation(counter, 9);
    let try_it = |phone: &mut Logbook, counter: &mut Logbook, shown: Option<u8>| {
        let mut line = Line { shown: shown.map(secret), ..Line::to(counter) };
        refused(phone.meet_counter(&mut line, Some(&invited), &moment(160, 0), |_, _| ()))
    };
    for shown in [None, Some(8)] {
        let said = try_it(phone, counter, shown).to_string();
        assert!(said.contains("used already, or its minutes are over"), "{said}");
    }
    assert_eq!(try_it(phone, other, Some(9)), CounterError::NotTheCounter, "another answers");
    assert_eq!(good(phone.met_counters()), []);
    assert_eq!(good(counter.paired_devices()), []);
}

#[test]
fn whoever_sits_between_is_found_out_by_both() {
    let (_folder, mut books) = books(2);
    let [counter, phone] = books.as_mut_slice() else { unreachable!("two") };
    let invited = invitation(counter, 9);
    let between = [[1; 32], [4; 32]];
    let mut line = Line { shown: Some(secret(9)), certificates: between, ..Line::to(counter) };
    let met = phone.meet_counter(&mut line, Some(&invited), &moment(160, 0), |_, _| ());
    assert_eq!(refused(met), CounterError::NotTheCounter);
    assert!(line.caller.is_none(), "nothing was told");
    // A caller that would not look is found out by the counter.
    let drawn = Challenge([7; 32]);
    let greeting = good(counter.greet(&drawn, &between[1]));
    let _ = good(phone.own_device());
    let key = phone.key.as_ref().unwrap_or_else(|| unreachable!("a key"));
    let caller = Caller::sign(key, None, &greeting, &between[0]);
    let proven = counter.proven_caller(&caller, &greeting.challenge, &between[1]);
    assert!(matches!(proven, Err(LogbookError::Counter(CounterError::NotTheDevice))));
}

#[test]
fn other_fleets_and_the_dismissed_stay_outside() {
    let (_folder, mut books) = books(3);
    let [counter, phone, other] = books.as_mut_slice() else { unreachable!("three") };
    good(other.found_fleet(&moment(50, 0)));
    let said = refused(pair(other, counter)).to_string();
    assert!(said.contains("belongs to a fleet and the counter's to none"), "{said}");
    good(counter.found_fleet(&moment(50, 0)));
    let said = refused(pair(other, counter)).to_string();
    assert!(said.contains("belong to different fleets"), "{said}");
    good(pair(phone, counter));
    let device = good(phone.own_device()).device;
    good(counter.enrol(device, (Role::Dismissed, None), false, &moment(110, 0)));
    for met in [meet(phone, counter, [None; 2]), pair(phone, counter)] {
        let said = refused(met).to_string();
        assert!(said.contains("the owner dismissed that device"), "{said}");
    }
    // A dismissed counter is none either.
    let device = good(counter.own_device()).device;
    good(phone.meet_word(counter, &device));
    assert_eq!(refused(meet(phone, counter, [None; 2])), CounterError::NotTheCounter);
}

impl Logbook {
    /// The owner's key dismisses a device, and this record hears of it by a file.
    fn meet_word(
        &mut self,
        owner: &mut Logbook,
        device: &crate::device::DeviceId,
    ) -> Result<(), LogbookError> {
        owner.enrol(*device, (Role::Dismissed, None), false, &moment(120, 0))?;
        let mut bytes = Vec::new();
        owner.bundle(&mut bytes, None, moment(160, 0).today, |_| ())?;
        self.merge(&InMemory::new("word", bytes), moment(160, 0).today, |_, _| ())?;
        Ok(())
    }
}

#[test]
fn where_it_breaks_off_it_goes_on() {
    let mut random = ChaCha20Rng::seed_from_u64(17);
    for _ in 0..20 {
        let (_folder, mut books) = books(2);
        let [counter, phone] = books.as_mut_slice() else { unreachable!("two") };
        good(pair(phone, counter));
        for number in 10..30 {
            good(register(counter, number, &moment(number, 0)));
            good(register(phone, 100 + number, &moment(number, 0)));
        }
        let at = |random: &mut ChaCha20Rng| Some((random.next_u32() % 4000) as usize);
        for _ in 0..3 {
            let breaks = [at(&mut random), at(&mut random)];
            let before = (lines(phone), lines(counter));
            let _ = meet(phone, counter, breaks);
            assert!(before.0.is_subset(&lines(phone)) && before.1.is_subset(&lines(counter)));
        }
        good(meet(phone, counter, [None; 2]));
        assert_eq!(lines(phone), lines(counter));
        assert!(good(phone.check(|_, _| ())).sound() && good(counter.check(|_, _| ())).sound());
    }
}
