use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::column::Column;
use super::heads::{ENGLISH, spelled};
use super::text::fold;
use super::{Matched, SheetError, read_sheet, read_sheet_as, template, tongues};

fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 6, 15).unwrap_or_default()
}

/// No spelling means two things, in whatever language, and all are as `fold` leaves them.
#[test]
fn a_spelling_means_one_thing() {
    let mut all: BTreeMap<&str, Column> = BTreeMap::new();
    for (column, spellings) in std::iter::once(&ENGLISH).chain(&tongues::HEADS).copied().flatten() {
        for spelling in *spellings {
            assert_eq!(fold(spelling), *spelling);
            let other = all.insert(spelling, *column);
            assert_eq!(other, None, "{spelling}: {column}");
        }
    }
    let words = |rows: &[&'static [&'static str]]| rows.concat();
    let services: Vec<_> = tongues::SERVICES.iter().map(|(_, words)| *words).collect();
    let built: Vec<_> = tongues::CONSTRUCTIONS.iter().map(|(_, words)| *words).collect();
    for mut known in [words(&services), words(&built), words(&tongues::MONTHS)] {
        assert!(known.iter().all(|word| fold(word) == *word));
        let before = known.len();
        known.sort_unstable();
        known.dedup();
        assert_eq!(known.len(), before);
    }
}

#[test]
fn what_a_column_is_called_is_understood() {
    for column in Column::offered() {
        assert_eq!(spelled(&fold(column.label())), Some(column), "{column}");
    }
}

/// The same two hoses, as shops of five languages list them.
#[test]
fn lists_of_five_languages_are_read_alike() {
    let lists = [
        "No.,Type,Length (cm),Material,Made,In service since,Maker,Lot,Protector,Set,Port,Note\n\
         A1,2nd stage,75,rubber,14 Mar 2022,Apr 2022,Kelpline,B17,yes,R1,LP1,left\n\
         A2,gauge,80,braided,2023,,Kelpline,,no,stock,,\n",
        "Nr.;Schlauchtyp;Länge (cm);Ausführung;Herstelldatum;In Betrieb seit;Hersteller;Charge;\
         Knickschutz;Automat;Abgang;Bemerkung\n\
         A1;Zweite Stufe;75;Gummi;14. März 2022;Apr 2022;Kelpline;B17;ja;R1;LP1;left\n\
         A2;Finimeter;80;Geflecht;2023;unbekannt;Kelpline;;nein;Lager;;\n",
        "N°;Type de flexible;Longueur (cm);Matériau;Fabriqué le;En service depuis;Fabricant;\
         N° de lot;Protège-flexible;Détendeur;Sortie;Remarque\n\
         A1;Deuxième étage;75;caoutchouc;14 mars 2022;avril 2022;Kelpline;B17;oui;R1;LP1;left\n\
         A2;Manomètre;80;tressé;2023;inconnu;Kelpline;;non;Réserve;;\n",
        "Número;Tipo;Longitud (cm);Material;Fecha de fabricación;En servicio desde;Fabricante;\
         Lote;Protector;Conjunto;Salida;Observaciones\n\
         A1;Segunda etapa;75;goma;14 marzo 2022;abril 2022;Kelpline;B17;sí;R1;LP1;left\n\
         A2;Manómetro;80;trenzado;2023;;Kelpline;;no;Almacén;;\n",
        "Numero;Tipo;Lunghezza (cm);Materiale;Data di produzione;In servizio dal;Produttore;\
         Lotto;Protezione;Gruppo;Uscita;Osservazioni\n\
         A1;Secondo stadio;75;gomma;14 marzo 2022;aprile 2022;Kelpline;B17;sì;R1;LP1;left\n\
         A2;Manometro;80;intrecciato;2023;;Kelpline;;no;Magazzino;;\n",
    ];
    let read = |text: &str| {
        let sheet = read_sheet(text.as_bytes(), today());
        sheet.unwrap_or_else(|error| unreachable!("{text}: {error}"))
    };
    let english = read(lists[0]);
    assert_eq!((english.rows.len(), &english.refused, &english.to_match), (2, &vec![], &vec![]));
    for list in lists {
        let sheet = read(list);
        assert_eq!(sheet.ignored_columns, [] as [&str; 0], "{list}");
        assert_eq!(sheet.refused, [], "{list}");
        assert_eq!(sheet.rows, english.rows, "{list}");
    }
}

#[test]
fn the_template_is_read_as_it_stands() {
    let sheet = read_sheet(template().as_bytes(), today()).unwrap_or_default();
    assert_eq!((sheet.rows.len(), &sheet.refused), (1, &vec![]));
    assert_eq!((&sheet.ignored_columns, &sheet.assumed), (&vec![], &vec![]));
    let text = template();
    for column in Column::offered() {
        assert!(text.contains(column.label()), "{column}");
    }
}

#[test]
fn a_column_is_matched_by_hand() {
    let text = "Slang;Lengte in duim;Wat;Toets [bar];Klaar\nA1;22;octo;200;x\n";
    let by_hand = |matched: &[&str]| {
        let matched: Vec<Matched> = matched.iter().flat_map(|text| text.parse()).collect();
        read_sheet_as(text.as_bytes(), &matched, today())
    };
    let known = SheetError::NoHeads {
        heads: Vec::new(),
        to_match: ["Slang", "Lengte in duim", "Wat", "Toets [bar]", "Klaar"]
            .map(ToOwned::to_owned)
            .to_vec(),
    };
    assert_eq!(by_hand(&[]), Err(known));
    let sheet = by_hand(&["slang=number", "WAT=service", "Lengte in duim=length"]);
    let sheet = sheet.unwrap_or_else(|error| unreachable!("{error}"));
    // Inches in no language that is read here are not guessed.
    assert_eq!(sheet.refused.len(), 1);
    assert_eq!(sheet.to_match, ["Toets [bar]", "Klaar"]);
    let missing = by_hand(&["wat=service", "lengte in duim=length", "kleur=note"]);
    assert_eq!(missing, Err(SheetError::NoSuchHead("kleur".to_owned())));
    for (typed, good) in [
        ("Inspected = full-inspection", true),
        ("a=b=note", true),
        ("Inspected", false),
        ("Inspected=nothing", false),
        ("=note", false),
        ("…=note", false),
    ] {
        assert_eq!(typed.parse::<Matched>().is_ok(), good, "{typed}");
    }
}

#[test]
fn a_match_goes_before_what_a_head_says_by_itself() {
    let text = "Type,Length,Notes\nocto,75 cm,LP-4\n";
    let matched: Vec<Matched> = "notes=number".parse().into_iter().collect();
    let sheet = read_sheet_as(text.as_bytes(), &matched, today()).unwrap_or_default();
    let number = sheet.rows.first().and_then(|row| row.number.as_ref());
    assert_eq!(number.map(ToString::to_string).as_deref(), Some("LP-4"));
}
