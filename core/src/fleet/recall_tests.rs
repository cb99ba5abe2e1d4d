use super::*;
use crate::story::label;

fn of(lot: Option<&str>, maker: Option<&str>) -> LotSearch {
    let (lot, maker, model) = (lot.map(label), maker.map(label), Some(label("K2")));
    let model = model.filter(|_| lot.is_none());
    LotSearch::new(RecallOf { lot, maker, model, made: None }, &FleetRecord::default())
}

/// Both sides of what is asked before a recall starts.
#[test]
fn a_spelling_is_asked_about_if_a_slip_explains_it() {
    for (lot, maker, other, its_maker, asked) in [
        ("24-117", Some("Northsea"), "24-118", Some("Northsea"), true),
        ("24-117", Some("Northsea"), "24-118", None, true),
        ("24-117", None, "24-118", Some("Kelpline"), true),
        ("24-117", Some("Northsea"), "24-118", Some("Kelpline"), false),
        ("24-117", Some("Northsea"), "24-117", Some("Northsee"), true),
        ("24-117", Some("Northsea"), "24-117", Some("Kelpline"), false),
        ("24-117", Some("Northsea"), "24-117-2", Some("Northsea"), true),
        ("B1", Some("Northsea"), "LB1207", Some("Northsea"), false),
        ("B1", Some("Northsea"), "B12", Some("Northsea"), true),
    ] {
        let mut search = of(Some(lot), maker);
        search.others(&label(other), its_maker.map(label).as_ref(), 6);
        let report = search.found();
        assert_eq!(!report.questions().is_empty(), asked, "{lot} {maker:?}: {other} {its_maker:?}");
    }
}

#[test]
fn the_most_hoses_are_asked_about_first_and_makers_too() {
    let mut search = of(None, Some("Northsea"));
    search.other_maker(&label("Northsee"), 1);
    search.other_maker(&label("Northseas"), 6);
    search.other_maker(&label("NORTH SEA"), 9);
    search.other_maker(&label("Kelpline"), 9);
    let asked = search.found().questions();
    let wanted = [
        "Did you mean Northseas? 6 hoses on record are of it, and this recall does not hold them.",
        "Did you mean Northsee? 1 hose on record is of it, and this recall does not hold it.",
    ];
    assert_eq!(asked, wanted);
}
