//! The two hoses of a swap, and what must hold before a step of it is written.

use chrono::NaiveDate;
use rusqlite::Connection;
use serde::Serialize;

use super::checks::{described, not_at_home, not_out, not_retired, of_this_set, set_not_out};
use super::places::goes_in;
use super::{LogbookError, NamingError, PlaceError, believed};
use crate::event::{PortName, Seat, Slot};
use crate::fit::FIT_CAUTIONS;
use crate::hose::Specification;
use crate::journal::Moment;
use crate::record::{self, HoseRecord, OpenSwap};
use crate::set_view::free_ports;
use crate::swap::{Answered, Asks, Step, StepShown, Swap, giving_up, next, shown, stops};
use crate::tag::Code;
use crate::words;

/// A swap as it is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SwapView {
    /// The hose that comes off.
    pub old: Code,
    /// The hose that goes on.
    pub new: Code,
    /// The two as people call them: each by the shop's own number, if it has one, and
    /// its code.
    #[serde(skip)]
    pub names: [String; 2],
    /// Where the new hose goes.
    pub seat: Seat,
    /// What was said at an earlier swap and helps with the next step.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remembered: Option<String>,
    /// That it began with another new hose, and what is to be done with that.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exchanged: Option<String>,
    /// Whether the old hose must be retired: it does not go to stock then.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub retires: bool,
    /// Whether the last answer can be taken back.
    #[serde(skip)]
    pub can_go_back: bool,
    /// Every step with what was answered.
    pub steps: Vec<StepShown>,
    /// The step to answer next; none once it is finished.
    pub next: Option<StepShown>,
    /// What giving it up means; none before it is started and once it is finished.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub giving_up: Option<String>,
    /// What to say beside its steps.
    pub cautions: &'static [&'static str],
}

/// The two hoses of a swap and what is known of them.
pub(super) struct Pair {
    pub(super) old: HoseRecord,
    pub(super) new: HoseRecord,
    pub(super) of_old: Specification,
    pub(super) of_new: Specification,
    pub(super) slot: Slot,
    /// The same for people.
    pub(super) seat: Seat,
    pub(super) plug_moves: bool,
    pub(super) open: Option<OpenSwap>,
    /// The new hose of before, which makes room for this one.
    pub(super) leaves: Option<Code>,
}

impl Pair {
    pub(super) fn swap(&self) -> Swap<'_> {
        Swap { old: &self.of_old, new: &self.of_new, plug_moves: self.plug_moves }
    }

    pub(super) fn answered(&self) -> OpenSwap {
        self.open.clone().unwrap_or_else(|| OpenSwap {
            entries: Vec::new(),
            old: self.old.hose,
            new: self.new.hose,
            slot: self.slot,
            since: NaiveDate::MIN,
            steps: Vec::new(),
            instead: None,
        })
    }

    pub(super) fn view(&self) -> SwapView {
        let steps = shown(&self.swap(), self.open.as_ref());
        let next = steps.iter().find(|step| step.answer.is_none()).cloned();
        let (old, new) = (self.old.tag(), self.new.tag());
        let open = self.open.as_ref().filter(|_| next.is_some());
        let giving_up = open.map(|open| giving_up(is_loosened(open), &self.seat.to_string()));
        SwapView {
            old,
            new,
            names: names(&self.old, &self.new),
            seat: self.seat.clone(),
            remembered: None,
            exchanged: None,
            retires: false,
            can_go_back: self.open.as_ref().is_some_and(can_go_back),
            steps,
            next,
            giving_up,
            cautions: FIT_CAUTIONS,
        }
    }
}

pub(super) fn names(old: &HoseRecord, new: &HoseRecord) -> [String; 2] {
    [old, new].map(|hose| words::by_number(hose.origin.own.number.as_ref(), hose.tag()))
}

/// From this step on the hose in the port may be loose.
pub(super) const SPANNER: &str = "spanner";

/// Whether the last answer can be taken back: it is that of a step, and did no more than
/// tick it off. The first step is the swap's beginning: it is given up instead.
pub(super) fn can_go_back(open: &OpenSwap) -> bool {
    let last = open.steps.get(1..).and_then(<[_]>::last);
    let step = last.and_then(|(step, _)| Step::named(step.as_str()));
    step.is_some_and(|step| !step.does_more)
}

pub(super) fn is_loosened(open: &OpenSwap) -> bool {
    open.steps.iter().any(|(step, _)| step.as_str() == SPANNER)
}

pub(super) fn open_swap<'a>(old: &'a HoseRecord, new: &HoseRecord) -> Option<&'a OpenSwap> {
    old.swaps.iter().find(|swap| (swap.old, swap.new) == (old.hose, new.hose))
}

pub(super) fn pair(
    work: &Connection,
    (old, new): (Code, Code),
    port: Option<PortName>,
    moment: &Moment,
) -> Result<Pair, LogbookError> {
    let old = believed::record_of(work, old, moment.today)?;
    let new = believed::record_of(work, new, moment.today)?;
    if old.hose == new.hose {
        return Err(LogbookError::Swap(format!(
            "{} is both the old and the new hose; scan two hoses",
            old.tag()
        )));
    }
    let open = open_swap(&old, &new).cloned();
    if open.is_none() {
        check_can_begin(work, &old, &new)?;
    }
    let begun_at = open.as_ref().map(|open| open.slot);
    let held =
        old.seat.or(begun_at).ok_or(LogbookError::Place(PlaceError::NotFitted(old.tag())))?;
    let slot = begun_at.unwrap_or(Slot { set: held.set, port: port.unwrap_or(held.port) });
    // What a place asks for of oxygen is its set's, and not the old hose's.
    let (of_old, of_new) = (described(&old)?.cleaned_for_oxygen(false), described(&new)?);
    let plug_moves = plug_moves(held, slot, open.as_ref());
    let seat = believed::seat_of(work, slot)?;
    let leaves = None;
    let pair = Pair { old, new, of_old, of_new, slot, seat, plug_moves, open, leaves };
    if pair.open.is_none() {
        check_fits(work, &pair, moment)?;
    }
    Ok(pair)
}

/// Once the old hose is off its port is no longer on its record; that the plug
/// moves was then settled by the first step's answer.
pub(super) fn plug_moves(held: Slot, slot: Slot, open: Option<&OpenSwap>) -> bool {
    let said = open.and_then(|open| open.steps.first());
    match said {
        Some((_, answer)) => answer.as_str().ends_with(PLUG_MOVES),
        None => held != slot,
    }
}

/// Written behind the first answer where the new hose goes into another port.
pub(super) const PLUG_MOVES: &str = "(into another port)";

pub(super) fn check_can_begin(
    work: &Connection,
    old: &HoseRecord,
    new: &HoseRecord,
) -> Result<(), LogbookError> {
    not_at_home(old)?;
    not_at_home(new)?;
    not_out(old)?;
    not_retired(new)?;
    not_out(new)?;
    in_no_set(work, new)?;
    in_no_swap(old)?;
    in_no_swap(new)
}

/// A hose is put on from stock.
pub(super) fn in_no_set(work: &Connection, new: &HoseRecord) -> Result<(), LogbookError> {
    let Some(slot) = new.seat else { return Ok(()) };
    let seat = believed::seat_of(work, slot)?;
    Err(LogbookError::Place(PlaceError::FittedElsewhere { hose: new.tag(), seat }))
}

pub(super) fn in_no_swap(record: &HoseRecord) -> Result<(), LogbookError> {
    let Some(swap) = record.swap() else { return Ok(()) };
    Err(LogbookError::Swap(format!(
        "{} is in a swap that was started on {} and not finished ({} for {}); finish that one or \
         give it up",
        record.tag(),
        swap.since,
        swap.new,
        swap.old
    )))
}

/// No thread is started on a mismatch: it is said before anything is undone.
pub(super) fn check_fits(
    work: &Connection,
    pair: &Pair,
    moment: &Moment,
) -> Result<(), LogbookError> {
    let why = stops(&pair.swap());
    if !why.is_empty() {
        return Err(LogbookError::Place(PlaceError::DoesNotFit {
            hose: pair.new.tag(),
            why: why.join("; "),
        }));
    }
    let set = believed::set_on(work, pair.slot.set, moment.today)?;
    let known = Vec::new;
    let set =
        set.ok_or_else(|| LogbookError::NoSuchSet { name: pair.seat.set.clone(), known: known() })?;
    set_not_out(&set)?;
    of_this_set(&pair.new, &set)?;
    goes_in(pair.new.tag(), &pair.of_new, &set, pair.seat.port)?;
    let holder = set
        .hoses
        .get(&pair.seat.port)
        .filter(|holder| **holder != pair.old.hose && Some(**holder) != pair.leaves);
    match holder {
        Some(holder) => Err(LogbookError::Place(PlaceError::PortTaken {
            seat: pair.seat.clone(),
            holder: *holder,
            free: free_ports(&pair.of_new, &set, None),
        })),
        None => Ok(()),
    }
}

pub(super) fn said_already(pair: &Pair, name: &str, answer: &str) -> bool {
    let open = pair.open.as_ref();
    open.is_some_and(|open| {
        open.steps.iter().any(|(step, said)| {
            let said = said.as_str().trim_end_matches(PLUG_MOVES).trim();
            step.as_str() == name && said.eq_ignore_ascii_case(answer.trim())
        })
    })
}

pub(super) fn expected(pair: &Pair, name: &str) -> Result<&'static Step, LogbookError> {
    let step = next(&pair.swap(), &pair.answered());
    let step = step.ok_or_else(|| LogbookError::Swap("this swap is finished".to_owned()))?;
    if step.name == name.trim() {
        return Ok(step);
    }
    Err(LogbookError::Swap(format!("the next step is {}: {}", step.name, step.todo)))
}

/// The hose in the hand must be the one that the swap is of.
pub(super) fn check_tag(
    work: &Connection,
    pair: &Pair,
    step: &Step,
    answer: &Answered,
    moment: &Moment,
) -> Result<(), LogbookError> {
    let Answered::Tag(typed) = answer else { return Ok(()) };
    let wanted = if step.asks == Asks::OldTag { &pair.old } else { &pair.new };
    let scanned = Code::parse(typed).map_err(NamingError::NotACode)?;
    let hose = record::find_tag(work, scanned)?
        .ok_or(LogbookError::Naming(NamingError::UnknownTag(scanned)))?;
    if hose != wanted.hose {
        return Err(LogbookError::Swap(format!(
            "this is {scanned}, and the swap is of {}; scan that one, or begin another swap",
            wanted.tag()
        )));
    }
    if step.asks == Asks::NewTag { check_fits(work, pair, moment) } else { Ok(()) }
}
