//! The forms about a set: a new one, and what is changed about one.

use super::{Field, FieldRefused, Filled, Form};
use crate::event::{Port, PortName};
use crate::hose::{Label, Owner, PortKind, Pressure, Prose, Thread};
use crate::policy::Use;
use crate::record::SetRecord;
use crate::words::form::{HoseField, SAVE};
use crate::words::{care, set_form as say};

/// Who dives with a set, as it is chosen.
pub(super) const USES: [(&str, &str); 2] = [("rental", say::RENTAL), ("personal", say::PERSONAL)];

/// A kind of ports.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ports {
    /// The name of its field.
    field: &'static str,
    label: &'static str,
    /// The kind.
    pub kind: PortKind,
    /// The thread.
    pub thread: Thread,
    /// How many a new set has, before anything was typed.
    usual: u8,
}

/// Every kind of ports.
const PORTS: [Ports; 5] = [
    ports("hp", "High-pressure ports, 7/16-20", PortKind::High, Thread::Unf7_16x20, 1),
    ports("lp", "Low-pressure ports, 3/8-24", PortKind::Low, Thread::Unf3_8x24, 4),
    ports("wide", "Low-pressure ports, 1/2-20", PortKind::Low, Thread::Unf1_2x20, 0),
    ports(
        "old",
        "High-pressure ports, 3/8-24 (old first stages)",
        PortKind::High,
        Thread::Unf3_8x24,
        0,
    ),
    ports(
        "unknown",
        "3/8-24 ports, high or low pressure not known",
        PortKind::Unknown,
        Thread::Unf3_8x24,
        0,
    ),
];

const fn ports(
    field: &'static str,
    label: &'static str,
    kind: PortKind,
    thread: Thread,
    usual: u8,
) -> Ports {
    Ports { field, label, kind, thread, usual }
}

impl Ports {
    fn count(self, of: &[Port]) -> usize {
        let same = |port: &&Port| port.name.kind() == self.kind && port.thread == self.thread;
        of.iter().filter(same).count()
    }
}

/// What a form about a set says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetSaid {
    /// What it is called.
    pub name: Label,
    /// Who dives with it.
    pub in_use: Use,
    /// How many ports of each kind it has; none are left out.
    pub ports: Vec<(Ports, u8)>,
    /// What is in ports, as it was typed.
    pub devices: Vec<String>,
    /// What ports give that were named without a kind.
    pub kinds: Vec<(PortName, Pressure)>,
    /// Whether it is cleaned for oxygen.
    pub oxygen: bool,
    /// Whose it is.
    pub owner: Owner,
    /// The branch where it works.
    pub branch: Option<Label>,
    /// Why it is changed.
    pub why: Option<Prose>,
}

impl SetSaid {
    /// Whether it has other ports than these.
    #[must_use]
    pub fn has_other_ports(&self, than: &[Port]) -> bool {
        PORTS.iter().any(|kind| {
            let said = self.ports.iter().find(|(ports, _)| ports == kind);
            said.map_or(0, |(_, count)| usize::from(*count)) != kind.count(than)
        })
    }
}

/// What the form for a new set begins with.
#[must_use]
pub fn empty() -> Filled {
    let mut filled = Filled::default();
    for kind in PORTS {
        filled.set(kind.field, &kind.usual.to_string());
    }
    filled
}

/// A usual set, by the hoses that it has: what the form for a new one can begin with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pattern {
    /// Its word.
    pub word: &'static str,
    /// What it has, in words.
    pub words: &'static str,
    in_use: Use,
    high: u8,
    low: u8,
}

/// The usual sets (common practice, no source).
pub const PATTERNS: [Pattern; 3] = [
    Pattern { word: "rental", words: say::PATTERN_RENTAL, in_use: Use::Rental, high: 1, low: 3 },
    Pattern { word: "dry-suit", words: say::PATTERN_SUIT, in_use: Use::Personal, high: 1, low: 4 },
    Pattern { word: "stage", words: say::PATTERN_STAGE, in_use: Use::Personal, high: 1, low: 1 },
];

impl Pattern {
    /// What the form for a new set begins with.
    #[must_use]
    pub fn filled(self) -> Filled {
        let mut filled = Filled::default();
        filled.set("use", self.in_use.word());
        filled.set("hp", &self.high.to_string());
        filled.set("lp", &self.low.to_string());
        filled
    }
}

/// What the form for another set like one begins with: all but its name, and whose it is.
#[must_use]
pub fn another(set: &SetRecord) -> Filled {
    let mut filled = on_record(set);
    filled.set("name", "");
    filled.set(HoseField::Ticket.word(), "");
    filled
}

/// What the form that changes a set begins with.
#[must_use]
pub fn on_record(set: &SetRecord) -> Filled {
    let mut filled = Filled::default();
    filled.set("name", set.name.as_str());
    filled.set("use", set.in_use.word());
    for kind in PORTS {
        filled.set(kind.field, &kind.count(&set.ports).to_string());
    }
    for port in unnamed(set) {
        filled.set(&given(port.name), port.kind.map_or("", |kind| kind.word()));
    }
    let ticket = set.owner.ticket().map(ToString::to_string);
    filled.set(HoseField::Ticket.word(), &ticket.unwrap_or_default());
    let devices = set.devices.iter().map(|(port, device)| format!("{port}={device}"));
    filled.set("devices", &devices.collect::<Vec<_>>().join(", "));
    filled.tick("oxygen", set.oxygen);
    let branch = set.branch.as_ref().map(ToString::to_string);
    filled.set(HoseField::Branch.word(), &branch.unwrap_or_default());
    filled
}

/// The ports of a set that were named without a kind.
fn unnamed(set: &SetRecord) -> impl Iterator<Item = &Port> {
    set.ports.iter().filter(|port| port.name.pressure().is_none())
}

fn given(port: PortName) -> String {
    format!("kind-{port}")
}

/// The form for a new set, or for one on record, as far as it is filled in.
#[must_use]
pub fn draw(filled: &Filled, set: Option<&SetRecord>) -> Form {
    let mut fields = vec![
        Field::text("name", say::NAME).needed(),
        Field::choice("use", say::USE, USES).needed(),
    ];
    fields.extend(PORTS.map(|kind| Field::number(kind.field, kind.label, 12)));
    let kinds = [("", say::KIND_NOT_KNOWN), ("LP", say::LOW), ("HP", say::HIGH)];
    fields.extend(
        set.into_iter()
            .flat_map(unnamed)
            .map(|port| Field::choice(given(port.name), say::gives(port.name), kinds).needed()),
    );
    let ticket = HoseField::Ticket;
    fields.push(Field::text(ticket.word(), ticket.label()).hint(ticket.hint().unwrap_or_default()));
    fields.push(Field::text(HoseField::Branch.word(), HoseField::Branch.label()));
    fields.push(Field::text("devices", say::DEVICES).hint(say::DEVICES_HINT));
    fields.push(Field::tick("oxygen", HoseField::Oxygen.label()));
    if set.is_some() {
        fields.push(Field::prose("why", care::WHY).hint(say::WHY_HINT));
    }
    let (title, submit) = if set.is_some() { (say::EDIT, say::EDIT_GO) } else { (say::NEW, SAVE) };
    Form::new(title, submit, fields).filled(filled).checked(&read(filled, set))
}

/// What a form about a set says.
///
/// # Errors
/// [`FieldRefused`] with what is missing or wrong.
pub fn read(filled: &Filled, set: Option<&SetRecord>) -> Result<SetSaid, FieldRefused> {
    let name = filled.needed_label("name", "the name of a set")?;
    let in_use = filled.needed("use", say::NO_USE)?;
    let why = filled.prose("why", "a reason")?;
    let mut ports = Vec::new();
    for kind in PORTS {
        let count: u8 = filled.parsed(kind.field)?.unwrap_or(0);
        if count > 12 {
            return Err(FieldRefused::new(kind.field, say::TOO_MANY_PORTS));
        }
        if count > 0 {
            ports.push((kind, count));
        }
    }
    let mut kinds = Vec::new();
    for port in set.into_iter().flat_map(unnamed) {
        let said: Option<Pressure> = filled.parsed(&given(port.name))?;
        kinds.extend(said.filter(|said| Some(*said) != port.kind).map(|said| (port.name, said)));
    }
    let devices = filled.get("devices").split(',').map(str::trim);
    Ok(SetSaid {
        name,
        in_use,
        ports,
        devices: devices.filter(|text| !text.is_empty()).map(ToOwned::to_owned).collect(),
        kinds,
        oxygen: filled.ticked("oxygen"),
        branch: filled.label(HoseField::Branch.word(), "a branch")?,
        owner: Owner::of_ticket(filled.ticket(HoseField::Ticket.word())?),
        why,
    })
}
