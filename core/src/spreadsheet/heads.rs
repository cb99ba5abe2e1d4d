//! The spellings of heads.

use super::column::Column;
use super::tongues;

/// The spellings of heads in English, as `fold` leaves them: common practice, no source.
/// Those of other languages are in [`tongues`](super::tongues).
pub(super) const ENGLISH: &[(Column, &[&str])] = &[
    (
        Column::Service,
        &["service", "type", "hose type", "type of hose", "kind", "function", "purpose"],
    ),
    (Column::Use, &["use", "used for", "usage"]),
    (
        Column::Construction,
        &["construction", "material", "build", "cover", "hose material", "made of"],
    ),
    (Column::Length, &["length", "len", "size", "hose length", "hose size", "lgth"]),
    (
        Column::EndA,
        &[
            "first stage",
            "1st stage",
            "first stage end",
            "1st stage end",
            "first stage thread",
            "1st stage thread",
            "first stage fitting",
            "end a",
            "a end",
            "port thread",
            "thread",
            "thread a",
            "fitting a",
        ],
    ),
    (
        Column::EndB,
        &[
            "second stage",
            "2nd stage",
            "second stage end",
            "2nd stage end",
            "second stage thread",
            "2nd stage thread",
            "second stage fitting",
            "end b",
            "b end",
            "far end",
            "other end",
            "thread b",
            "fitting b",
        ],
    ),
    (
        Column::Made,
        &[
            "made",
            "made on",
            "date made",
            "made date",
            "manufactured",
            "manufactured on",
            "manufacture date",
            "manufacturing date",
            "date of manufacture",
            "date manufactured",
            "dom",
            "mfg",
            "mfg date",
            "mfd",
            "date mfg",
            "date of mfg",
            "mfr date",
            "production date",
            "year made",
            "year of manufacture",
        ],
    ),
    (
        Column::Bought,
        &[
            "bought",
            "bought on",
            "date bought",
            "purchased",
            "purchased on",
            "purchase date",
            "date purchased",
            "date of purchase",
            "acquired",
        ],
    ),
    (
        Column::InService,
        &[
            "in service",
            "in service since",
            "in use since",
            "service since",
            "since",
            "first used",
            "first use",
            "put in service",
            "date in service",
            "in service date",
            "fitted",
            "fitted on",
            "date fitted",
            "installed",
        ],
    ),
    (
        Column::Maker,
        &["maker", "brand", "manufacturer", "make", "mfr", "manufactured by", "made by"],
    ),
    (Column::Lot, &["lot", "lot no", "lot number", "lot nr", "batch", "batch no", "batch number"]),
    (Column::Model, &["model", "model no", "model nr", "model number", "model name"]),
    (
        Column::Oxygen,
        &["oxygen", "o2", "o2 clean", "oxygen clean", "cleaned for oxygen", "oxygen service"],
    ),
    (Column::Note, &["note", "notes", "remark", "remarks", "comment", "comments"]),
    (Column::Branch, &["branch", "shop", "site", "base"]),
    (
        Column::Ticket,
        &["ticket", "ticket no", "ticket nr", "ticket number", "customer ticket", "service ticket"],
    ),
    (Column::Protector, &["protector", "protectors", "hose protector", "sleeve", "sleeves"]),
    (Column::Tag, &["tag", "tag code", "code", "hosewright", "hosewright tag", "hosewright code"]),
    (
        Column::Number,
        &[
            "number",
            "no",
            "nr",
            "id",
            "hose no",
            "hose nr",
            "hose number",
            "hose id",
            "our no",
            "our number",
            "asset",
            "asset no",
            "asset number",
            "inventory no",
            "serial",
            "serial no",
            "serial number",
            "s n",
            "sn",
            "barcode",
        ],
    ),
    (Column::Quantity, &["quantity", "qty", "count", "pcs", "pieces", "how many"]),
    (Column::Set, &["set", "set name", "reg set", "regulator", "regulator set", "reg", "kit"]),
    (Column::Port, &["port", "port no", "ports", "position"]),
    // A shop's "last inspected" or "last service" may be less than a full inspection, and a
    // pressure any pressure: those are matched by hand.
    (
        Column::FullOn,
        &[
            "full inspection",
            "last full inspection",
            "full inspection on",
            "full inspection date",
            "date of full inspection",
            "fully inspected",
            "fully inspected on",
        ],
    ),
    (
        Column::FullBy,
        &["full inspection by", "last full inspection by", "fully inspected by", "inspected by"],
    ),
    (
        Column::LeakOn,
        &[
            "leak test",
            "last leak test",
            "leak test on",
            "leak test date",
            "date of leak test",
            "leak tested",
            "leak tested on",
        ],
    ),
    (
        Column::LeakPressure,
        &["leak test pressure", "last leak test pressure", "leak test at", "leak tested at"],
    ),
    (
        Column::Dives,
        &["dives", "dives so far", "number of dives", "no of dives", "dive count", "total dives"],
    ),
];

/// The column that a head names, spelled as [`fold`](super::text::fold) leaves it.
pub(super) fn spelled(folded: &str) -> Option<Column> {
    let named = |rows: &[(Column, &[&str])]| {
        rows.iter().find(|(_, spellings)| spellings.contains(&folded)).map(|(column, _)| *column)
    };
    named(ENGLISH).or_else(|| tongues::HEADS.iter().find_map(|rows| named(rows)))
}
