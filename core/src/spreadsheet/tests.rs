use super::*;
use crate::event::PortName;
use crate::hose::{Construction, End, Service};

pub(super) fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 6, 15).unwrap_or_default()
}

pub(super) fn read(text: &str) -> Sheet {
    read_sheet(text.as_bytes(), today()).unwrap_or_else(|error| unreachable!("{text}: {error}"))
}

fn or_dash(value: Option<impl ToString>) -> String {
    value.map_or_else(|| "-".to_owned(), |value| value.to_string())
}

/// A row in one line, every field in its place.
fn shown(row: &Row) -> String {
    let hose = &row.registration.specification;
    let origin = &row.registration.origin;
    let port = |port: &Result<PortName, String>| {
        port.as_ref().map_or_else(|_| "?".to_owned(), ToString::to_string)
    };
    let place = row.place.as_ref().map(|place| format!("{} {}", place.set, port(&place.port)));
    [
        row.line.to_string(),
        hose.service().to_string(),
        hose.construction().to_string(),
        hose.length().to_string(),
        hose.fitting(End::A).to_string(),
        hose.fitting(End::B).to_string(),
        if hose.protector() { "protector".to_owned() } else { "-".to_owned() },
        or_dash(origin.made),
        or_dash(origin.bought),
        or_dash(origin.in_service),
        or_dash(origin.maker.as_ref()),
        or_dash(origin.lot.as_ref()),
        or_dash(row.registration.tag),
        or_dash(row.number.as_ref()),
        or_dash(place),
    ]
    .join(" | ")
}

/// Everything that was read of a sheet, as the golden files have it.
fn report(sheet: &Sheet) -> String {
    let lines =
        |lines: &[usize]| lines.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ");
    let rows = sheet.rows.iter().map(shown);
    let refused = sheet.refused.iter().map(|r| format!("refused {}: {}", r.line, r.reason));
    let repeated = sheet.repeated.iter().map(|r| format!("repeated {}: {}", r.line, r.reason));
    let assumed = sheet.assumed.iter().map(|a| format!("assumed {}: {}", lines(&a.lines), a.words));
    let ignored = sheet.ignored_columns.iter().map(|name| format!("not read: {name}"));
    let all = rows.chain(refused).chain(repeated).chain(assumed).chain(ignored);
    all.map(|line| line + "\n").collect()
}

#[test]
fn shops_lists_read_as_they_did() {
    let table: [(&str, &[u8], &str); 2] = [
        (
            "semicolons, Windows-1252, a title, units in the head",
            include_bytes!("golden/harbour.csv"),
            include_str!("golden/harbour.txt"),
        ),
        (
            "commas, UTF-8 with a mark, notes over two lines, months by name",
            include_bytes!("golden/workshop.csv"),
            include_str!("golden/workshop.txt"),
        ),
    ];
    for (what, bytes, expected) in table {
        let sheet = read_sheet(bytes, today()).map(|sheet| report(&sheet));
        assert_eq!(sheet.as_deref(), Ok(expected), "{what}");
    }
}

/// The same two hoses in every dress that a file can have.
#[test]
fn a_list_reads_the_same_in_every_dress() {
    let plain = "Service,Length,Maker\ninflator,56 cm,Tessenwick\ngauge,80 cm,Ostrelby\n";
    let expected: Vec<String> = read(plain).rows.iter().map(shown).collect();
    assert_eq!(expected.len(), 2);
    let utf16 = |order: fn(u16) -> [u8; 2]| {
        std::iter::once('\u{feff}')
            .chain(plain.chars())
            .flat_map(|c| order(u16::try_from(u32::from(c)).unwrap_or(0)))
            .collect::<Vec<u8>>()
    };
    let table: [(&str, Vec<u8>); 10] = [
        ("semicolons", plain.replace(',', ";").into()),
        ("tabs", plain.replace(',', "\t").into()),
        ("bars", plain.replace(',', "|").into()),
        ("CRLF", plain.replace('\n', "\r\n").into()),
        ("CR alone", plain.replace('\n', "\r").into()),
        ("a byte-order mark", format!("\u{feff}{plain}").into()),
        ("UTF-16, little end first", utf16(u16::to_le_bytes)),
        ("UTF-16, big end first", utf16(u16::to_be_bytes)),
        ("no line feed at the end, blanks after", format!("{plain},,\n , ,\n\n\n").into()),
        ("the heads again half-way", plain.replace("gauge", "Service,Length,Maker\ngauge").into()),
    ];
    for (what, bytes) in table {
        let rows = read_sheet(&bytes, today()).map(|sheet| sheet.rows);
        // If lines were added the line numbers move on, and nothing else.
        let tail = |line: String| line.split_once(" | ").map(|(_, rest)| rest.to_owned());
        let rows = rows.map(|rows| rows.iter().map(shown).filter_map(tail).collect::<Vec<_>>());
        let expected: Vec<String> = expected.iter().cloned().filter_map(tail).collect();
        assert_eq!(rows, Ok(expected), "{what}");
    }
}

#[test]
fn heads_have_many_spellings_and_may_carry_a_unit() {
    let table = [
        ("Type;Length (cm)", "inflator;56", Some("56 cm")),
        ("Type;Length [in]", "inflator;22 1/2", Some("22 1/2 in")),
        ("Hose Type;LENGTH_CM", "inflator;56,5", Some("56,5 cm")),
        ("Use;Size in inches", "inflator;22", Some("22 inches")),
        ("Type;Len. (\")", "inflator;22", Some("22 \"")),
        ("Type;Length (cm)", "inflator;22 in", Some("22 in")),
        ("Type;Length", "inflator;22\"", Some("22\"")),
        ("Type;Length", "inflator;56", None),
        ("Type;Length (as bought)", "inflator;56", None),
        ("Type;Length (cm)", "inflator;560", Some("560 cm")),
        ("Type;Length (cm)", "inflator;5600", None),
    ];
    for (heads, row, expected) in table {
        let sheet = read(&format!("{heads}\n{row}\n"));
        let length = sheet.rows.first().map(|r| r.registration.specification.length().to_string());
        assert_eq!(length.as_deref(), expected, "{heads}: {row}");
    }
}

#[test]
fn services_as_shops_call_them() {
    use Service::{Gauge, Inflator, SecondStage};
    let table = [
        ("2nd stage", "", Some(SecondStage)),
        ("Octo", "", Some(SecondStage)),
        ("Primary hose", "", Some(SecondStage)),
        ("BC inflator", "", Some(Inflator)),
        ("Dry-suit", "", Some(Inflator)),
        ("HP hose", "", Some(Gauge)),
        ("SPG", "", Some(Gauge)),
        ("LP", "9/16-18 UNF", Some(SecondStage)),
        ("LP hose", "QD", Some(Inflator)),
        ("LP", "", None),
        ("snorkel", "", None),
        ("", "", None),
    ];
    for (cell, far, expected) in table {
        let sheet = read(&format!("Service,Length,End B\n{cell},56 cm,{far}\n"));
        let service = sheet.rows.first().map(|r| r.registration.specification.service());
        assert_eq!(
            (service, sheet.refused.len()),
            (expected, usize::from(expected.is_none())),
            "{cell}"
        );
    }
}

#[test]
fn ends_as_shops_write_them() {
    let table = [
        ("primary", "3/8", "9/16", Some(("3/8-24", "9/16-18"))),
        ("primary", "3/8\"\"-24 UNF (male)", "9/16 x 18 female", Some(("3/8-24", "9/16-18"))),
        ("primary", "1/2-20 UNF", "", Some(("1/2-20", "9/16-18"))),
        ("bcd", "", "Quick disconnect", Some(("3/8-24", "quick-disconnect"))),
        ("spg", "7/16", "7/16 swivel", Some(("7/16-20", "7/16-20"))),
        ("primary", "", "Proprietary: swivel 2", Some(("3/8-24", "proprietary:swivel 2"))),
        ("primary", "08-Mar", "", None),
        ("primary", "M10", "", None),
        ("spg", "3/8", "", None),
    ];
    for (service, a, b, expected) in table {
        let sheet =
            read(&format!("Type,Length,Port thread,2nd stage\n{service},80 cm,\"{a}\",{b}\n"));
        let ends = sheet.rows.first().map(|r| {
            let hose = &r.registration.specification;
            (hose.fitting(End::A).to_string(), hose.fitting(End::B).to_string())
        });
        let ends = ends.as_ref().map(|(a, b)| (a.as_str(), b.as_str()));
        assert_eq!(ends, expected, "{service}: {a}, {b}: {:?}", sheet.refused);
    }
}

#[test]
fn dates_as_spreadsheets_hold_them() {
    let table = [
        ("03/2022", Some("2022-03")),
        ("2022-03", Some("2022-03")),
        ("2022", Some("2022")),
        ("14.3.2022", Some("2022-03-14")),
        ("14 Mar 2022", Some("2022-03-14")),
        ("\"March 4, 2022\"", Some("2022-03-04")),
        ("Sept 2022", Some("2022-09")),
        ("2022-03-14 00:00:00", Some("2022-03-14")),
        ("unknown", Some("-")),
        ("", Some("-")),
        ("Mar-22", None),
        ("03/04/2022", None),
        ("30/02/2022", None),
        ("44634", None),
        ("a while ago", None),
        ("2026-07", None),
    ];
    for (cell, expected) in table {
        let sheet = read(&format!("Type,Length,DOM\nspg,80 cm,{cell}\n"));
        let made = sheet.rows.first().map(|r| or_dash(r.registration.origin.made));
        assert_eq!(made.as_deref(), expected, "{cell}: {:?}", sheet.refused);
    }
}

/// A date that could be either way round is read as the others of its sheet,
/// and is refused where these show nothing or both.
#[test]
fn the_sheet_shows_whether_the_day_comes_first() {
    let table = [
        (["14/03/2022", "03/04/2022"], Some("2022-04-03")),
        (["03/14/2022", "03/04/2022"], Some("2022-03-04")),
        (["2022-03-14", "03/04/2022"], None),
        (["05/06/2022", "03/04/2022"], None),
    ];
    for (dates, expected) in table {
        let [one, two] = dates;
        let sheet = read(&format!("Type,Length,Made\nspg,80 cm,{one}\nspg,80 cm,{two}\n"));
        let made =
            sheet.rows.iter().find(|r| r.line == 3).map(|r| or_dash(r.registration.origin.made));
        assert_eq!(made.as_deref(), expected, "{dates:?}");
        let told = sheet.assumed.iter().any(|a| a.words.contains("either way round"));
        assert_eq!(told, expected.is_some(), "{dates:?}");
    }
    let both =
        "Type,Length,Made\nspg,80 cm,14/03/2022\nspg,80 cm,03/14/2022\nspg,80 cm,03/04/2022\n";
    assert_eq!(read(both).refused.iter().map(|r| r.line).collect::<Vec<_>>(), [4]);
}

/// What repeats: alike word for word, or by a tag or a number. Two hoses that
/// differ in anything, if only a note, are two.
#[test]
fn rows_that_repeat_are_listed() {
    let code = crate::tag::Code::from_bits(1).or_else(|| crate::tag::Code::from_bits(2));
    let code = or_dash(code);
    let table = [
        ("Type,Length\nspg,80 cm\nspg, 80 cm\n".to_owned(), 1, vec![(3, 2)]),
        ("Type,Length,Note\nspg,80 cm,left\nspg,80 cm,right\n".to_owned(), 2, vec![]),
        ("Type,Length,Qty\nspg,80 cm,3\nspg,85 cm,1\n".to_owned(), 4, vec![]),
        ("Type,Length,Serial No.\nspg,80 cm,7\nspg,90 cm,7\n".to_owned(), 1, vec![(3, 2)]),
        ("Type,Length,Lot\nspg,80 cm,7\nspg,90 cm,7\n".to_owned(), 2, vec![]),
        (format!("Type,Length,Tag\nspg,80 cm,{code}\nspg,90 cm,{code}\n"), 1, vec![(3, 2)]),
    ];
    for (text, hoses, expected) in table {
        let sheet = read(&text);
        let repeated: Vec<_> = sheet.repeated.iter().map(|r| (r.line, r.of)).collect();
        assert_eq!((sheet.rows.len(), repeated), (hoses, expected), "{text}");
    }
}

/// A row that is refused is refused with its own line and its reason.
#[test]
fn refusals_name_the_line_and_the_reason() {
    let heads = "Type,Length,Made,Protector,Tag,Material,Qty,Maker";
    let long = "x".repeat(81);
    let table = [
        (",80 cm,,,,,,", "Type is empty"),
        ("spg,,,,,,,", "Length is empty"),
        ("spg,80,,,,,,", "Length: “80” has no unit"),
        ("spg,80 cn,,,,,,", "Length: “cn” is not a unit of length"),
        ("spg,80 cm,2027,,,,,", "made 2027 is after today"),
        ("spg,80 cm,,sometimes,,,,", "Protector: “sometimes” is neither yes nor no"),
        ("spg,80 cm,,,H-12,,,", "Tag: “H-12” is not a Hosewright tag"),
        ("spg,80 cm,,,,steel,,", "Material: “steel” is not a construction"),
        ("spg,80 cm,,,,,0,", "Qty: “0” is not a number of hoses"),
        ("spg,80 cm,,,,,999999999999999999999,", "Qty: "),
        (&format!("spg,80 cm,,,,,,{long}"), "Maker: a maker must be 1 to 80 printable characters"),
    ];
    for (row, reason) in table {
        let sheet = read(&format!("{heads}\n\n\"spg\",70 cm,,,,,,\n\n{row}\n"));
        let refused: Vec<_> = sheet.refused.iter().map(|r| (r.line, r.reason.as_str())).collect();
        let good = matches!(refused.as_slice(), [(5, said)] if said.starts_with(reason));
        assert!(good, "{row}: {refused:?}");
        assert_eq!(sheet.rows.len(), 1, "{row}");
    }
}

#[test]
fn a_quotation_mark_never_closed_does_not_lose_rows_silently() {
    let sheet = read("Type,Length,Note\nspg,80 cm,\"left\nspg,85 cm,a\nspg,90 cm,b\n");
    let refused: Vec<_> = sheet.refused.iter().map(|r| (r.line, r.reason.as_str())).collect();
    let expected = "a cell runs on from line 2 to line 4 and holds what looks like whole rows; a \
                    closing quotation mark is missing";
    assert_eq!(refused, [(2, expected)]);
}

#[test]
fn files_that_are_no_list_say_what_they_are() {
    let no_heads = |heads: &[&str]| {
        let heads: Vec<String> = heads.iter().map(|h| (*h).to_owned()).collect();
        let to_match = ["name", "colour"].map(ToOwned::to_owned).to_vec();
        let to_match = if heads.is_empty() { to_match } else { Vec::new() };
        Err(SheetError::NoHeads { heads, to_match })
    };
    let table: [(&[u8], Result<usize, SheetError>); 8] = [
        (b"", Err(SheetError::Empty)),
        (b" \r\n\r\n", Err(SheetError::Empty)),
        (b"PK\x03\x04rest", Err(SheetError::Workbook)),
        (b"\xD0\xCF\x11\xE0rest", Err(SheetError::Workbook)),
        (b"Type\0Length\0", Err(SheetError::NotText)),
        (b"name,colour\nx,y\n", no_heads(&[])),
        (b"Maker,Length\nx,80 cm\n", no_heads(&["Maker", "Length"])),
        (b"Type,Length\n", Ok(0)),
    ];
    for (bytes, expected) in table {
        let rows = read_sheet(bytes, today()).map(|sheet| sheet.rows.len());
        assert_eq!(rows, expected, "{}", String::from_utf8_lossy(bytes));
    }
}

#[test]
fn what_holds_of_every_line_names_the_first_of_them() {
    let on = |lines: Vec<usize>| Assumed { words: "taken for rubber".to_owned(), lines }.in_words();
    assert_eq!(on(vec![7]), "taken for rubber (line 7)");
    assert_eq!(on(vec![2, 9]), "taken for rubber (lines 2, 9)");
    let many = on((2..20_002).collect());
    assert_eq!(many, "taken for rubber (lines 2, 3, 4, 5, 6, 7, 8, 9, 10, 11 and 19990 more)");
}

#[test]
fn what_is_left_open_is_told() {
    let sheet = read(
        "sep=;\nType;Length;Material;Port thread;Notes;DOM;Mfg date;Type;Use\n\
                      octo;80 cm;;;x;2022;;bcd;rental\nspg;80 cm;braid;7/16;;;;;\n",
    );
    let assumed: Vec<_> =
        sheet.assumed.iter().map(|a| (a.lines.clone(), a.words.clone())).collect();
    let lines: Vec<_> = assumed.iter().map(|(lines, _)| lines.as_slice()).collect();
    assert_eq!(lines, [&[2][..], &[3], &[3], &[3, 4]], "{assumed:?}");
    let expected = [
        "Mfg date (when it was made is read from DOM)",
        "Type (what a hose does is read from Type)",
        "Use (personal or rental is said of the set)",
    ];
    assert_eq!(sheet.ignored_columns, expected);
    let built: Vec<_> =
        sheet.rows.iter().map(|r| r.registration.specification.construction()).collect();
    assert_eq!(built, [Construction::Rubber, Construction::Braided]);
}

#[test]
fn places_are_read_and_stock_is_none() {
    let sheet = read(
        "Type,Length,Set,Port\nspg,80 cm,R1,HP1\nocto,80 cm,R1,left\nbcd,60 cm,Stock,\nbcd,65 cm,R2,\n",
    );
    let places: Vec<_> = sheet
        .rows
        .iter()
        .map(|row| row.place.as_ref().map(|p| (p.set.to_string(), p.port.is_ok())))
        .collect();
    let set = |name: &str, port| Some((name.to_owned(), port));
    assert_eq!(places, [set("R1", true), set("R1", false), None, set("R2", false)]);
}

/// What a shop says of its hoses of its own accord, model and oxygen.
fn shown_own(row: &Row) -> String {
    let (hose, origin) = (&row.registration.specification, &row.registration.origin);
    let owner = origin.own.owner();
    [
        row.line.to_string(),
        or_dash(row.number.as_ref()),
        or_dash(origin.model.as_ref()),
        if hose.oxygen() { "oxygen".to_owned() } else { "-".to_owned() },
        or_dash(origin.own.number.as_ref()),
        or_dash(origin.own.note.as_ref()),
        or_dash(owner.ticket()),
    ]
    .join(" | ")
}

#[test]
fn models_oxygen_notes_and_tickets_are_read() {
    let text = include_str!("golden/fleet.csv");
    let sheet = read(text);
    let rows: String = sheet.rows.iter().map(|row| shown_own(row) + "\n").collect();
    assert_eq!(rows, include_str!("golden/fleet.txt"));
    assert_eq!(sheet.refused.len(), 1);
    assert!(sheet.refused.first().is_some_and(|r| r.line == 5), "{:?}", sheet.refused);
    assert_eq!(sheet.ignored_columns, [] as [&str; 0]);
}
