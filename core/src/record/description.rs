//! What a hose is. Descriptions without a reason are side by side, and
//! for each reason the worst of them counts; one with a reason replaces those
//! that it names.

use super::ending::Matter;
use super::hose::HoseRecord;
use super::ledger::{Ledger, Line};
use crate::event::{CameIn, EntryId, Event, OriginField, OwnField};
use crate::hose::{Label, Origin, Owner, Pressure, Prose, Specification};
use crate::measure::PartialDate;

/// What one entry says of a field: a value, or that it is not known.
pub(super) struct Said<'l, 'a, T> {
    pub(super) line: &'l Line<'a>,
    pub(super) value: T,
}

/// What an entry says of each field; nothing for one that it leaves alone.
pub(super) struct Statement<'e> {
    pub(super) specification: Option<&'e Specification>,
    origin: &'e Origin,
    /// Whether it is about every field.
    whole: bool,
    unknown: &'e [OriginField],
    cleared: &'e [OwnField],
    /// Whether it could say a model, a number, a note or an owner: earlier programs
    /// did not know of them.
    silent: bool,
}

impl<'e> Statement<'e> {
    pub(super) fn of(event: &'e Event) -> Option<Self> {
        Some(match event {
            Event::Registered { specification, origin, .. } => {
                let specification = Some(specification);
                Self {
                    specification,
                    origin,
                    whole: true,
                    unknown: &[],
                    cleared: &[],
                    silent: false,
                }
            }
            Event::DescribedBefore(before) => Self {
                specification: Some(&before.specification),
                origin: &before.origin,
                whole: true,
                unknown: &[],
                cleared: &[],
                silent: true,
            },
            Event::Described { changes, .. } => Self {
                specification: changes.specification.as_ref(),
                origin: &changes.origin,
                whole: false,
                unknown: &changes.unknown,
                cleared: &changes.cleared,
                silent: false,
            },
            _ => return None,
        })
    }

    fn field<T: Clone>(&self, field: OriginField, value: &Option<T>) -> Option<Option<T>> {
        (value.is_some() || self.whole || self.unknown.contains(&field)).then(|| value.clone())
    }

    pub(super) fn made(&self) -> Option<Option<PartialDate>> {
        self.field(OriginField::Made, &self.origin.made)
    }

    pub(super) fn bought(&self) -> Option<Option<PartialDate>> {
        self.field(OriginField::Bought, &self.origin.bought)
    }

    pub(super) fn in_service(&self) -> Option<Option<PartialDate>> {
        self.field(OriginField::InService, &self.origin.in_service)
    }

    pub(super) fn maker(&self) -> Option<Option<Label>> {
        self.field(OriginField::Maker, &self.origin.maker)
    }

    pub(super) fn lot(&self) -> Option<Option<Label>> {
        self.field(OriginField::Lot, &self.origin.lot)
    }

    pub(super) fn model(&self) -> Option<Option<Label>> {
        let model = self.field(OriginField::Model, &self.origin.model);
        model.filter(|model| model.is_some() || !self.silent)
    }

    fn number(&self) -> Option<Option<Label>> {
        self.own(OwnField::Number, &self.origin.own.number)
    }

    fn note(&self) -> Option<Option<Prose>> {
        self.own(OwnField::Note, &self.origin.own.note)
    }

    fn branch(&self) -> Option<Option<Label>> {
        self.own(OwnField::Branch, &self.origin.own.branch)
    }

    fn own<T: Clone>(&self, field: OwnField, value: &Option<T>) -> Option<Option<T>> {
        (value.is_some() || self.cleared.contains(&field)).then(|| value.clone())
    }

    /// Whose it is; a registration that does not say is of the centre's own.
    pub(super) fn owner(&self) -> Option<Owner> {
        let own = &self.origin.own;
        own.owner.clone().or_else(|| (self.whole && !self.silent).then(Owner::default))
    }
}

/// The registration of a hose that got an identity of its own.
fn identified<'a>(ledger: &'a Ledger<'_>, hose: crate::tag::Code) -> Option<&'a EntryId> {
    ledger.lines.iter().find_map(|line| match &line.event {
        Some(Event::Identified { hose: own, answers: [registration], .. })
            if *own == hose && line.counts() =>
        {
            Some(registration)
        }
        _ => None,
    })
}

/// The entries that say what a hose is.
pub(super) fn statements<'l, 'a>(
    hose: crate::tag::Code,
    ledger: &'l Ledger<'a>,
) -> Vec<&'l Line<'a>> {
    let own = identified(ledger, hose);
    let says = |line: &&Line<'_>| {
        let registered = matches!(line.event, Some(Event::Registered { .. }));
        let another = registered && own.is_some_and(|own| *own != line.id);
        line.adds() && !another && line.event.as_ref().and_then(Statement::of).is_some()
    };
    ledger.lines.iter().filter(says).collect()
}

/// What is said of a field and not replaced by a description with a reason.
fn live<'l, 'a, T>(
    lines: &[&'l Line<'a>],
    field: impl Fn(&Statement<'_>) -> Option<T>,
) -> Vec<Said<'l, 'a, T>> {
    let value =
        |line: &Line<'_>| line.event.as_ref().and_then(Statement::of).and_then(|s| field(&s));
    let replaced =
        |line: &Line<'_>| lines.iter().any(|other| replaces(other, line) && value(other).is_some());
    let said = lines.iter().filter(|line| !replaced(line));
    said.filter_map(|line| Some(Said { line, value: value(line)? })).collect()
}

/// What was known of a field and is replaced by a description with a reason.
fn replaced<T: PartialEq>(
    lines: &[&Line<'_>],
    field: impl Fn(&Statement<'_>) -> Option<Option<T>>,
) -> Vec<T> {
    let value =
        |line: &Line<'_>| line.event.as_ref().and_then(Statement::of).and_then(|s| field(&s));
    let mut known: Vec<T> = Vec::new();
    for line in lines.iter().filter(|line| lines.iter().any(|other| replaces(other, line))) {
        if let Some(label) = value(line).flatten().filter(|label| !known.contains(label)) {
            known.push(label);
        }
    }
    known
}

/// Whether a description with a reason names another.
pub(super) fn replaces(line: &Line<'_>, other: &Line<'_>) -> bool {
    let Some(Event::Described { why: Some(_), answers, .. }) = &line.event else { return false };
    line.counts() && answers.contains(&other.id)
}

/// Folds what a hose is.
pub(super) fn describe(record: &mut HoseRecord, ledger: &Ledger<'_>) {
    let lines = statements(record.hose, ledger);
    let registered = lines.iter().filter(|l| matches!(l.event, Some(Event::Registered { .. })));
    record.registrations = registered.clone().map(|line| line.id).collect();
    record.registered = registered.clone().any(|line| line.counts());
    record.registered_at = registered.map(|line| line.entry.at).min();
    let redescribes = |line: &Line<'_>| match &line.event {
        Some(Event::Described { why: Some(_), changes, .. }) => changes.specification.is_some(),
        _ => false,
    };
    record.redescribed = lines.iter().any(|line| line.counts() && redescribes(line));
    let alternatives = &mut record.alternatives;
    (record.specification, alternatives.specifications) =
        shown(live(&lines, |s| s.specification.cloned()));
    let origin = &mut record.origin;
    (origin.made, alternatives.made) = apart(shown(live(&lines, |s| s.made())));
    (origin.bought, alternatives.bought) = apart(shown(live(&lines, |s| s.bought())));
    let in_service = live(&lines, |s| s.in_service());
    (origin.in_service, alternatives.in_service) = apart(shown(in_service));
    (origin.maker, alternatives.makers) = apart(shown(live(&lines, |s| s.maker())));
    (origin.lot, alternatives.lots) = apart(shown(live(&lines, |s| s.lot())));
    (origin.model, alternatives.models) = apart(shown(live(&lines, |s| s.model())));
    // Nothing is judged by these: the last who is believed counts.
    origin.own.number = shown(live(&lines, |s| s.number())).0.flatten();
    origin.own.note = shown(live(&lines, |s| s.note())).0.flatten();
    origin.own.branch = shown(live(&lines, |s| s.branch())).0.flatten();
    alternatives.replaced_made = replaced(&lines, |s| s.made());
    alternatives.replaced_models = replaced(&lines, |s| s.model());
    alternatives.replaced_makers = replaced(&lines, |s| s.maker());
    alternatives.replaced_lots = replaced(&lines, |s| s.lot());
    owners(record, &lines, ledger);
    // All of them are named by a description that replaces them.
    record.descriptions = lines.iter().map(|line| line.id).collect();
    let came = came_in(record.hose, ledger).into_iter().map(|(line, _)| line.id);
    record.descriptions.extend(came);
}

/// The comings-in of a hose, with the owner that each says.
fn came_in<'l, 'a>(hose: crate::tag::Code, ledger: &'l Ledger<'a>) -> Vec<(&'l Line<'a>, Owner)> {
    let came = ledger.lines.iter().filter(|line| line.adds()).filter_map(|line| {
        let Some(Event::CameIn(CameIn { hose: own, hoses, ticket, .. })) = &line.event else {
            return None;
        };
        let named = *own == Some(hose) || hoses.contains(&hose);
        named.then(|| (line, Owner::Ticket(ticket.clone())))
    });
    came.collect()
}

/// Whose it is. Without a reason a description ends no misfit, so the owners that
/// it does not replace count beside it where the hose is in a set.
fn owners(record: &mut HoseRecord, lines: &[&Line<'_>], ledger: &Ledger<'_>) {
    let said = lines.iter().filter_map(|line| {
        let statement = line.event.as_ref().and_then(Statement::of)?;
        Some((*line, statement.owner()?))
    });
    let mut said: Vec<(&Line<'_>, Owner)> = said.chain(came_in(record.hose, ledger)).collect();
    said.sort_by_key(|(line, _)| line.place);
    let ends = |line: &Line<'_>, other: &Line<'_>| {
        replaces(line, other) || line.ends(Matter::Ownership, other)
    };
    let live = said.iter().filter(|(line, _)| !said.iter().any(|(other, _)| ends(other, line)));
    let live: Vec<Said<'_, '_, Owner>> =
        live.map(|(line, owner)| Said { line, value: owner.clone() }).collect();
    let (owner, others) = shown(live);
    record.origin.own.owner = owner.clone().filter(|owner| *owner != Owner::Centre);
    if !others.is_empty() {
        record.alternatives.owners = owner.into_iter().chain(others).collect();
    }
}

/// The value that is shown, which is the last one that is wholly believed, and
/// the others that differ from it.
fn shown<T: Clone + PartialEq>(said: Vec<Said<'_, '_, T>>) -> (Option<T>, Vec<T>) {
    let last = said.iter().rfind(|said| said.line.counts()).or(said.last());
    let shown = last.map(|said| said.value.clone());
    let mut others: Vec<T> = Vec::new();
    for Said { value, .. } in said {
        if Some(&value) != shown.as_ref() && !others.contains(&value) {
            others.push(value);
        }
    }
    (shown, others)
}

fn apart<T>((shown, others): (Option<Option<T>>, Vec<Option<T>>)) -> (Option<T>, Vec<Option<T>>) {
    (shown.flatten(), others)
}

/// Whether anybody ever said that it is a high-pressure hose, or nobody said
/// what it is: a leak test is judged by every description, replaced ones too.
pub(super) fn may_be_high_pressure(ledger: &Ledger<'_>) -> bool {
    let said = ledger.lines.iter().chain(&ledger.withdrawn);
    let mut kinds = said
        .filter(|line| line.adds())
        .filter_map(|line| Statement::of(line.event.as_ref()?)?.specification)
        .peekable();
    kinds.peek().is_none() || kinds.any(|hose| hose.service().pressure() == Pressure::High)
}
