use uom::si::length::millimeter;

use super::super::payload::Payload;
use super::*;

fn payload() -> Option<Payload> {
    Payload::parse("HW1:01H7K2M90101Y.").ok()
}

fn planned(size: &str, dpi: u16, level: Level) -> Result<Plan, DrawError> {
    let payload = payload().ok_or(DrawError::NoTags)?;
    plan(size.parse()?, PrinterDpi::new(dpi)?, level, payload)
}

#[test]
fn whole_dots_a_module() {
    // 18 characters at Q are version 2 (capacity 16 in version 1, 29 in 2): 25
    // modules, 33 with the quiet zone. 20 mm at 300 dpi are 236.2 dots: 7 a module.
    let table = [
        ("20 mm", 300, Level::Q, 25, 7),
        ("20 mm", 600, Level::Q, 25, 14),
        ("20 mm", 203, Level::Q, 25, 4),
        ("20 mm", 300, Level::L, 21, 8),
        ("20 mm", 300, Level::H, 25, 7),
        ("1 in", 300, Level::Q, 25, 9),
        ("0.88 in", 300, Level::Q, 25, 8),
    ];
    for (size, dpi, level, modules, dots) in table {
        let plan = planned(size, dpi, level).map(|p| (p.symbol().modules(), p.dots()));
        assert_eq!(plan.ok(), Some((modules, dots)), "{size} {dpi} {level}");
    }
}

#[test]
fn what_would_not_read_is_refused_with_what_would() {
    let said = planned("11 mm", 300, Level::Q).err().map(|e| e.to_string()).unwrap_or_default();
    assert!(said.contains("3 printer dots, 0.25 mm"), "{said}");
    assert!(said.contains("at least 11.2 mm wide"), "{said}");
    // Fine printers are held to the size of the module: 0.25 mm is 6 dots here.
    let said = planned("8 mm", 600, Level::Q).err().map(|e| e.to_string()).unwrap_or_default();
    assert!(said.contains("at least 8.4 mm wide"), "{said}");
    assert!(planned("11.2 mm", 300, Level::Q).is_ok());
    assert!(planned("8.4 mm", 600, Level::Q).is_ok());
}

#[test]
fn the_reading_distance_is_ten_times_the_symbol() {
    // The common rule: 30 cm need 3 cm. The trap is to take ten modules.
    let plan = planned("40 mm", 300, Level::Q).ok();
    let symbol_mm = plan.as_ref().map(|p| p.module().get::<millimeter>() * 25.0);
    let distance = plan.as_ref().map(|p| p.reading_distance().get::<millimeter>());
    assert!(distance.zip(symbol_mm).is_some_and(|(d, s)| (d - 10.0 * s).abs() < 1e-9));
    let said = plan.map(|p| p.to_string()).unwrap_or_default();
    assert!(said.contains("reads from up to about 30 cm"), "{said}");
}

#[test]
fn sizes_printers_and_levels_are_read_and_refused() {
    for typed in ["4 mm", "201 mm", "20", "x", "-20 mm"] {
        assert!(typed.parse::<TagSize>().is_err(), "{typed}");
    }
    for typed in ["71", "2401", "", "-300", "3e2", "99999999"] {
        assert!(typed.parse::<PrinterDpi>().is_err(), "{typed}");
    }
    assert!("300dpi".parse::<PrinterDpi>().is_ok_and(|d| d.get() == 300));
    assert!("q".parse::<Level>().is_ok_and(|l| l == Level::Q));
    assert!("X".parse::<Level>().is_err());
}

#[test]
fn the_drawings_are_repeatable() {
    let drawn = || {
        let plan = planned("20 mm", 300, Level::Q)?;
        Ok::<_, DrawError>((svg(&plan), png(&plan)?, pdf(&plan)?))
    };
    let (one, other) = (drawn().ok(), drawn().ok());
    assert!(one.is_some() && one == other);
    let (svg, png, pdf) = one.unwrap_or_default();
    assert!(svg.contains("<title>01H7-K2M9-0101-Y</title>"));
    assert!(png.starts_with(b"\x89PNG") && png.windows(4).any(|w| w == b"pHYs"));
    assert!(pdf.starts_with(b"%PDF-1.7"));
}

#[test]
fn a_text_too_long_for_any_symbol_is_refused() {
    assert!(matches!(Symbol::of(&"A".repeat(5000), Level::L), Err(DrawError::NotDrawable { .. })));
}
