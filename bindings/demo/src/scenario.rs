//! An invented dive centre: its sets, its hoses and what became of them. The
//! centre, the makers, the lots and the names are our own inventions.

use hosewright_core::hose::{Construction, Service};
use hosewright_core::policy::Use;

use Construction::{Braided, Rubber};
use Service::{Gauge, Inflator, SecondStage};

/// The centre.
pub const CENTRE: &str = "Quernmouth Lagoon Divers";
/// The day on which the demonstration stands still.
pub const TODAY: &str = "2026-06-15";
/// What all chance in it comes from.
pub const SEED: u64 = 20_260_615;
/// The hose whose tag is photographed.
pub const PHOTOGRAPHED: &str = "Heron main";
/// The hose whose tag was replaced.
pub const RETAGGED: &str = "Avocet gauge";
/// The hose that waits for an O-ring.
pub const WANTS_A_SEAL: &str = "R5 octopus";

const OSTRELBY: &str = "Ostrelby";
const QUILLMARSH: &str = "Quillmarsh";
const TESSENWICK: &str = "Tessenwick";
/// The lot that is called back.
const CALLED_BACK: &str = "Q-2301";

/// A regulator set.
pub struct SetPlan {
    /// Its name.
    pub name: &'static str,
    /// Who dives with it.
    pub in_use: Use,
    /// When it was put together.
    pub since: &'static str,
    /// Its ports.
    pub ports: &'static [&'static str],
    /// The fewest and the most dives in a month of the season.
    pub dives: (u32, u32),
    /// The months whose 20th brings a full inspection.
    pub full_in: &'static [u32],
    /// The day after which nobody got round to one.
    pub full_until: &'static str,
}

const fn rental(name: &'static str, since: &'static str, dives: (u32, u32)) -> SetPlan {
    let ports = &["HP:7/16-20=2", "LP:3/8-24=4"];
    let full_in = &[3, 9];
    SetPlan { name, in_use: Use::Rental, since, ports, dives, full_in, full_until: TODAY }
}

const fn personal(name: &'static str, since: &'static str, dives: (u32, u32)) -> SetPlan {
    let ports = &["HP:7/16-20=1", "LP:3/8-24=3"];
    let full_in = &[4];
    SetPlan { name, in_use: Use::Personal, since, ports, dives, full_in, full_until: TODAY }
}

/// Every set.
pub const SETS: &[SetPlan] = &[
    rental("R1", "2021-06-21", (8, 14)),
    rental("R2", "2021-10-04", (13, 17)),
    SetPlan { full_in: &[6, 12], ..rental("R3", "2022-04-11", (8, 14)) },
    rental("R4", "2023-03-13", (8, 14)),
    rental("R5", "2024-04-08", (8, 14)),
    SetPlan { full_until: "2025-10-01", ..rental("R6", "2025-03-17", (6, 10)) },
    personal("Heron", "2022-05-02", (3, 9)),
    personal("Curlew", "2023-06-05", (3, 9)),
    SetPlan {
        ports: &["HP:7/16-20=1", "LP:1/2-20=1", "LP:3/8-24=2"],
        ..personal("Avocet", "2022-09-05", (2, 6))
    },
    personal("Tern", "2024-05-06", (3, 9)),
];

/// A hose.
pub struct HosePlan {
    /// What this table calls it.
    pub name: &'static str,
    /// What it does.
    pub service: Service,
    /// How it is built.
    pub construction: Construction,
    /// How long it is.
    pub length: &'static str,
    /// Who made it.
    pub maker: &'static str,
    /// Its lot.
    pub lot: &'static str,
    /// When it was made; empty if nobody knows.
    pub made: &'static str,
    /// Since when it was in service before the record; empty if it was not.
    pub in_service: &'static str,
    /// The thread at the first stage.
    pub thread: &'static str,
    /// When it was registered.
    pub on: &'static str,
    /// Set and port; none for stock.
    pub seat: Option<(&'static str, &'static str)>,
}

impl HosePlan {
    /// What the centre calls it: `LP-07`, high and low pressure counted apart.
    pub fn number(&self) -> String {
        let kind = |plan: &Self| if plan.service == Gauge { "HP" } else { "LP" };
        let of_kind = HOSES.iter().filter(|plan| kind(plan) == kind(self));
        let before = of_kind.take_while(|plan| plan.name != self.name).count();
        format!("{}-{:02}", kind(self), before + 1)
    }
}

/// Service, construction and length.
type What = (Service, Construction, &'static str);
/// Maker, lot and made date.
type From = (&'static str, &'static str, &'static str);

const fn hose(name: &'static str, what: What, from: From, on: &'static str) -> HosePlan {
    let thread = match what.0 {
        Gauge => "7/16-20",
        SecondStage | Inflator => "3/8-24",
    };
    HosePlan {
        name,
        service: what.0,
        construction: what.1,
        length: what.2,
        maker: from.0,
        lot: from.1,
        made: from.2,
        in_service: "",
        thread,
        on,
        seat: None,
    }
}

const fn at(set: &'static str, port: &'static str, hose: HosePlan) -> HosePlan {
    HosePlan { seat: Some((set, port)), ..hose }
}

const MAIN: What = (SecondStage, Rubber, "75 cm");
const MAIN_BRAID: What = (SecondStage, Braided, "22 in");
const LONG_BRAID: What = (SecondStage, Braided, "210 cm");
const OCTOPUS: What = (SecondStage, Rubber, "1 m");
const INFLATOR: What = (Inflator, Rubber, "56 cm");
const INFLATOR_BRAID: What = (Inflator, Braided, "24 in");
const GAUGE: What = (Gauge, Rubber, "80 cm");
const GAUGE_SHORT: What = (Gauge, Rubber, "15 cm");

/// Every hose, in the order in which they came.
#[rustfmt::skip]
pub const HOSES: &[HosePlan] = &[
    HosePlan {
        in_service: "2021-05",
        ..at("R1", "LP3", hose("R1 inflator", INFLATOR, (OSTRELBY, "O-2011", "2020-11"), "2021-06-21"))
    },
    at("R1", "LP1", hose("R1 main", MAIN, (OSTRELBY, "O-2103", "2021-03"), "2021-06-21")),
    at("R1", "LP2", hose("R1 octopus", OCTOPUS, (OSTRELBY, "O-2103", "2021-03"), "2021-06-21")),
    at("R1", "HP1", hose("R1 gauge", GAUGE, (TESSENWICK, "T21/04", "2021-04"), "2021-06-21")),
    at("R2", "LP1", hose("R2 main", MAIN, (OSTRELBY, "O-2106", "2021-06"), "2021-10-04")),
    HosePlan {
        in_service: "2021-08",
        ..at("R2", "LP2", hose("R2 octopus", OCTOPUS, (OSTRELBY, "O-2103", "2021-03"), "2021-10-04"))
    },
    at("R2", "LP3", hose("R2 inflator", INFLATOR, (QUILLMARSH, "Q-2107", "2021-07"), "2021-10-04")),
    at("R2", "HP1", hose("R2 gauge", GAUGE, (TESSENWICK, "T21/08", "2021-08"), "2021-10-04")),
    at("R3", "LP1", hose("R3 main", MAIN, (QUILLMARSH, "Q-2201", "2022-01"), "2022-04-11")),
    at("R3", "LP2", hose("R3 octopus", OCTOPUS, (QUILLMARSH, "Q-2201", "2022-01"), "2022-04-11")),
    at("R3", "LP3", hose("R3 inflator", INFLATOR, (QUILLMARSH, "Q-2202", "2022-02"), "2022-04-11")),
    at("R3", "HP1", hose("R3 gauge", GAUGE, (TESSENWICK, "T22/01", "2022-01"), "2022-04-11")),
    at("Heron", "LP1", hose(PHOTOGRAPHED, LONG_BRAID, (TESSENWICK, "T22/03", "2022-03"), "2022-05-02")),
    at("Heron", "LP2", hose("Heron inflator", INFLATOR_BRAID, (TESSENWICK, "T22/03", "2022-03"), "2022-05-02")),
    at("Heron", "HP1", hose("Heron gauge", GAUGE_SHORT, (TESSENWICK, "T22/01", "2022-01"), "2022-05-02")),
    HosePlan {
        thread: "1/2-20",
        ..at("Avocet", "LP1", hose("Avocet main", MAIN_BRAID, (QUILLMARSH, "Q-2206", "2022-06"), "2022-09-05"))
    },
    at("Avocet", "LP2", hose("Avocet inflator", INFLATOR, ("", "", ""), "2022-09-05")),
    at("Avocet", "HP1", hose(RETAGGED, GAUGE, (QUILLMARSH, "Q-2205", "2022-05"), "2022-09-05")),
    at("R4", "LP1", hose("R4 main", MAIN, (QUILLMARSH, CALLED_BACK, "2023-01"), "2023-03-13")),
    at("R4", "LP2", hose("R4 octopus", OCTOPUS, (QUILLMARSH, CALLED_BACK, "2023-01"), "2023-03-13")),
    at("R4", "LP3", hose("R4 inflator", INFLATOR, (OSTRELBY, "O-2212", "2022-12"), "2023-03-13")),
    at("R4", "HP1", hose("R4 gauge", GAUGE, (OSTRELBY, "O-2212", "2022-12"), "2023-03-13")),
    hose("spare main", MAIN, (QUILLMARSH, CALLED_BACK, "2023-01"), "2023-03-13"),
    hose("spare inflator", INFLATOR, (OSTRELBY, "O-2301", "2023-01"), "2023-03-13"),
    at("Curlew", "LP1", hose("Curlew main", MAIN_BRAID, (OSTRELBY, "O-2304", "2023-04"), "2023-06-05")),
    at("Curlew", "LP2", hose("Curlew inflator", INFLATOR_BRAID, (OSTRELBY, "O-2304", "2023-04"), "2023-06-05")),
    at("Curlew", "HP1", hose("Curlew gauge", GAUGE, (TESSENWICK, "T23/02", "2023-02"), "2023-06-05")),
    at("R5", "LP1", hose("R5 main", MAIN, (OSTRELBY, "O-2402", "2024-02"), "2024-04-08")),
    at("R5", "LP2", hose(WANTS_A_SEAL, OCTOPUS, (OSTRELBY, "O-2402", "2024-02"), "2024-04-08")),
    at("R5", "LP3", hose("R5 inflator", INFLATOR, (OSTRELBY, "O-2401", "2024-01"), "2024-04-08")),
    at("R5", "HP1", hose("R5 gauge", GAUGE, (TESSENWICK, "T24/01", "2024-01"), "2024-04-08")),
    at("Tern", "LP1", hose("Tern main", MAIN_BRAID, (TESSENWICK, "T24/03", "2024-03"), "2024-05-06")),
    at("Tern", "LP2", hose("Tern inflator", INFLATOR, (TESSENWICK, "T24/03", "2024-03"), "2024-05-06")),
    at("Tern", "HP1", hose("Tern gauge", GAUGE_SHORT, (TESSENWICK, "T24/02", "2024-02"), "2024-05-06")),
    at("R6", "LP1", hose("R6 main", MAIN, (QUILLMARSH, "Q-2411", "2024-11"), "2025-03-17")),
    at("R6", "LP2", hose("R6 octopus", OCTOPUS, (QUILLMARSH, "Q-2411", "2024-11"), "2025-03-17")),
    at("R6", "LP3", hose("R6 inflator", INFLATOR, (QUILLMARSH, "Q-2412", "2024-12"), "2025-03-17")),
    at("R6", "HP1", hose("R6 gauge", GAUGE, (TESSENWICK, "T24/11", "2024-11"), "2025-03-17")),
    at("R4", "HP1", hose("R4 gauge, second", GAUGE, (TESSENWICK, "T25/02", "2025-02"), "2025-07-08")),
    at("R1", "LP1", hose("R1 main, second", MAIN, (OSTRELBY, "O-2510", "2025-10"), "2026-03-16")),
    at("R1", "LP2", hose("R1 octopus, second", OCTOPUS, (OSTRELBY, "O-2510", "2025-10"), "2026-03-16")),
    at("R1", "HP1", hose("R1 gauge, second", GAUGE, (TESSENWICK, "T25/11", "2025-11"), "2026-03-16")),
    hose("new gauge", GAUGE, (TESSENWICK, "T26/02", "2026-02"), "2026-05-20"),
    hose("new main", MAIN, (OSTRELBY, "O-2603", "2026-03"), "2026-05-20"),
];

/// Something that befell one hose.
pub enum Tale {
    /// Looked over quickly, with what was seen.
    Quick(&'static [&'static str]),
    /// Looked over fully, with what was seen: in place of its set's round on
    /// that day, or by itself.
    Full(&'static [&'static str]),
    /// Tested under pressure: passed or failed.
    LeakTest(bool),
    /// New O-rings at an end.
    Reseal(&'static str),
    /// Cleaned.
    Clean,
    /// A new tag.
    Retag,
    /// Out of service for good, and why.
    Retire(&'static str),
}

const FIVE_YEARS: &str = "five years in service";

/// What befell whom, and when.
pub const TALES: &[(&str, &str, Tale)] = &[
    ("2023-04-20", "Heron main", Tale::Full(&["run:strands:0"])),
    ("2023-08-12", "R2 gauge", Tale::Quick(&["end-a:salt"])),
    ("2023-08-13", "R2 gauge", Tale::Clean),
    ("2024-04-20", "Heron main", Tale::Full(&["run:strands:1", "end-a:discoloured"])),
    ("2024-07-21", "R3 inflator", Tale::Quick(&["seal-a:seal-damaged"])),
    ("2024-07-22", "R3 inflator", Tale::Reseal("a")),
    ("2024-07-22", "R3 inflator", Tale::LeakTest(true)),
    ("2025-03-10", RETAGGED, Tale::Retag),
    ("2025-04-20", "Heron main", Tale::Full(&["run:strands:2"])),
    ("2025-07-07", "R4 gauge", Tale::Quick(&["run:bubbles:steady"])),
    ("2025-07-08", "R4 gauge", Tale::Retire("steady bubbles along the run")),
    ("2025-07-12", "Tern main", Tale::Quick(&["end-b:bubbles:joint"])),
    ("2025-07-13", "Tern main", Tale::Reseal("b")),
    ("2025-07-13", "Tern main", Tale::LeakTest(false)),
    ("2025-07-14", "Tern main", Tale::Reseal("b")),
    ("2025-07-14", "Tern main", Tale::LeakTest(true)),
    ("2026-03-16", "R1 main", Tale::Retire(FIVE_YEARS)),
    ("2026-03-16", "R1 octopus", Tale::Retire(FIVE_YEARS)),
    ("2026-03-16", "R1 gauge", Tale::Retire(FIVE_YEARS)),
    ("2026-04-20", "Heron main", Tale::Full(&["run:strands:3", "end-a:discoloured"])),
    ("2026-04-20", "Tern gauge", Tale::Full(&["end-a:verdigris:light"])),
    ("2026-05-04", "spare inflator", Tale::Full(&[])),
    ("2026-05-04", "spare main", Tale::Full(&[])),
    ("2026-05-21", "new main", Tale::Full(&[])),
    ("2026-06-10", "Curlew gauge", Tale::Reseal("b")),
    ("2026-06-13", WANTS_A_SEAL, Tale::Quick(&["seal-b:seal-missing"])),
    ("2026-06-14", "R3 main", Tale::Quick(&["run:cut:deep"])),
];

/// The recall: when, which lot, whose, and why.
pub const RECALL: (&str, &str, &str, &str) =
    ("2026-02-10", CALLED_BACK, QUILLMARSH, "sleeves crimped too lightly");

/// What a look that finds nothing to worry about may note.
pub const HARMLESS: &[&str] = &["run:scuff", "end-a:scuff", "end-b:scuff", "run:discoloured"];

/// The list that the centre next door kept, with the slips that such lists have.
pub const OLD_LIST: &str = "\
Nr.;Hose;Type;Length (cm);Material;Made;Bought;Brand;Lot;Remarks
B-01;boat, left;Octo;100;rubber;03/2024;14.04.2024;Ostrelby;O-2403;
B-02;boat, left;BCD;56,5;braided;2024;;Tessenwick;T24/05;new nut
B-03;boat, left;SPG;80;rubber;11/2023;02/05/2024;Tessenwick;T23/11;
B-04;boat, right;Primary;75;rubber;03/2024;23/05/2024;Ostrelby;O-2403;
B-05;boat, right;Primary;22 in;braided;?;2023;;;
B-06;shelf;LP;60;rubber;2025;;Quillmarsh;Q-2502;which end?
B-07;shelf;Drysuit;75;rubber;2025;;Quillmarsh;Q-2502;
B-07;shelf;Drysuit;75;rubber;2025;;Quillmarsh;Q-2502;
";
