use hosewright_core::hose::{End, Label, Owner};
use hosewright_core::spreadsheet::{Place, Row, Sheet, read_sheet};

use super::{TODAY, Taken, said};

/// A shop's list: what is read of it, written out in our own columns, is read
/// as the same hoses with nothing refused.
pub fn sheet(bytes: &[u8]) -> Taken {
    let Some(sheet) = said(read_sheet(bytes, TODAY)) else { return Taken::Refused };
    let told = sheet.refused.iter().map(|refused| &refused.reason);
    let told = told.chain(sheet.repeated.iter().map(|repeated| &repeated.reason));
    assert!(told.chain(sheet.assumed.iter().map(|a| &a.words)).all(|words| !words.is_empty()));
    if sheet.rows.is_empty() {
        return Taken::Refused;
    }
    let written = written(&sheet);
    let again = read_sheet(written.as_bytes(), TODAY).unwrap_or_default();
    assert_eq!((&again.refused, &again.repeated), (&vec![], &vec![]), "{written}");
    assert_eq!(again.rows.len(), sheet.rows.len(), "{written}");
    for (before, after) in sheet.rows.iter().zip(&again.rows) {
        assert_eq!(before.registration, after.registration, "{written}");
        assert_eq!((&before.number, place(before)), (&after.number, place(after)), "{written}");
    }
    Taken::Read
}

/// Where a row says that its hose is; a port that is not understood is none.
fn place(row: &Row) -> Option<(&Label, Option<String>)> {
    let place: &Place = row.place.as_ref()?;
    Some((&place.set, place.port.as_ref().ok().map(ToString::to_string)))
}

const HEADS: &str = "Service,Length,Construction,End A,End B,Protector,Made,Bought,In service,\
                     Maker,Lot,Model,Oxygen,Note,Ticket,Tag,Number,Set,Port,Line\n";

fn written(sheet: &Sheet) -> String {
    let mut text = HEADS.to_owned();
    // Each hose has a line of its own, for two may well be alike.
    for (line, row) in sheet.rows.iter().enumerate() {
        let mut cells = cells(row);
        cells.push(line.to_string());
        let quoted = cells.iter().map(|cell| format!("\"{}\"", cell.replace('"', "\"\"")));
        text.push_str(&quoted.collect::<Vec<_>>().join(","));
        text.push('\n');
    }
    text
}

fn cells(row: &Row) -> Vec<String> {
    let (hose, origin) = (&row.registration.specification, &row.registration.origin);
    let or_blank = |text: Option<String>| text.unwrap_or_default();
    let (set, port) = place(row).map(|(set, port)| (set.to_string(), port)).unzip();
    vec![
        hose.service().to_string(),
        hose.length().to_string(),
        hose.construction().to_string(),
        hose.fitting(End::A).to_string(),
        hose.fitting(End::B).to_string(),
        if hose.protector() { "yes" } else { "no" }.to_owned(),
        or_blank(origin.made.map(|date| date.to_string())),
        or_blank(origin.bought.map(|date| date.to_string())),
        or_blank(origin.in_service.map(|date| date.to_string())),
        or_blank(origin.maker.as_ref().map(ToString::to_string)),
        or_blank(origin.lot.as_ref().map(ToString::to_string)),
        or_blank(origin.model.as_ref().map(ToString::to_string)),
        if hose.oxygen() { "yes" } else { "no" }.to_owned(),
        or_blank(origin.own.note.as_ref().map(ToString::to_string)),
        or_blank(match &origin.own.owner {
            Some(Owner::Ticket(ticket)) => Some(ticket.to_string()),
            _ => None,
        }),
        or_blank(row.registration.tag.map(|tag| tag.to_string())),
        or_blank(row.number.as_ref().map(ToString::to_string)),
        or_blank(set),
        or_blank(port.flatten()),
    ]
}
