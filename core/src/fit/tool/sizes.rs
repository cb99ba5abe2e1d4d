//! The sizes of spanners and hexagon keys, with what their standards allow.

use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use crate::fit::thread::Limits;

/// An open or ring spanner.
pub(super) struct Spanner {
    pub(super) name: &'static str,
    pub(super) nominal: Length,
    /// Its opening.
    pub(super) opening: Limits,
    /// The smallest good nut of its own size.
    pub(super) own_nut_least: Length,
}

/// A hexagon key.
pub(super) struct Key {
    pub(super) name: &'static str,
    pub(super) nominal: Length,
    /// Across its flats.
    pub(super) thickness: Limits,
    /// The widest good socket of its own size.
    pub(super) own_socket_most: Length,
}

/// Inch spanners, in sixteenths.
const INCH_SPANNERS: &[(&str, f64)] = &[
    ("7/16 in", 7.0),
    ("1/2 in", 8.0),
    ("9/16 in", 9.0),
    ("5/8 in", 10.0),
    ("11/16 in", 11.0),
    ("3/4 in", 12.0),
    ("13/16 in", 13.0),
    ("7/8 in", 14.0),
    ("15/16 in", 15.0),
    ("1 in", 16.0),
    ("1-1/16 in", 17.0),
];

/// Metric spanners: size, gap over it least and most (ISO 691, from memory,
/// unconfirmed), smallest nut of that size in mm. The nuts of 14 to 17, 19, 22
/// and 24 mm are of DIN 475-1, series 1; the others follow the same tolerance
/// grade, from memory, unconfirmed.
const METRIC_SPANNERS: &[(&str, f64, f64, f64, f64)] = &[
    ("10 mm", 10.0, 0.04, 0.19, 9.78),
    ("11 mm", 11.0, 0.04, 0.19, 10.73),
    ("12 mm", 12.0, 0.04, 0.24, 11.73),
    ("13 mm", 13.0, 0.04, 0.24, 12.73),
    ("14 mm", 14.0, 0.05, 0.27, 13.73),
    ("15 mm", 15.0, 0.05, 0.27, 14.73),
    ("16 mm", 16.0, 0.05, 0.27, 15.73),
    ("17 mm", 17.0, 0.05, 0.30, 16.73),
    ("18 mm", 18.0, 0.05, 0.30, 17.73),
    ("19 mm", 19.0, 0.06, 0.36, 18.67),
    ("20 mm", 20.0, 0.06, 0.36, 19.67),
    ("21 mm", 21.0, 0.06, 0.36, 20.67),
    ("22 mm", 22.0, 0.06, 0.36, 21.67),
    ("23 mm", 23.0, 0.06, 0.36, 22.67),
    ("24 mm", 24.0, 0.06, 0.36, 23.67),
    ("27 mm", 27.0, 0.08, 0.48, 26.67),
];

/// Metric keys (JIS B 4648:2008, the sizes of ISO 2936): size, least thickness,
/// widest socket of that size (ISO 4762, from memory, unconfirmed), in mm.
const METRIC_KEYS: &[(&str, f64, f64, f64)] = &[
    ("2 mm", 2.0, 1.96, 2.08),
    ("2.5 mm", 2.5, 2.46, 2.58),
    ("3 mm", 3.0, 2.96, 3.08),
    ("4 mm", 4.0, 3.95, 4.095),
    ("5 mm", 5.0, 4.95, 5.14),
    ("6 mm", 6.0, 5.95, 6.14),
    ("8 mm", 8.0, 7.94, 8.175),
    ("10 mm", 10.0, 9.94, 10.175),
];

/// Inch keys (ASME B18.3): size, nominal, thickest, thinnest, widest socket of
/// that size (from memory, unconfirmed), in inches.
const INCH_KEYS: &[(&str, f64, f64, f64, f64)] = &[
    ("3/32 in", 3.0 / 32.0, 0.0937, 0.0927, 0.0952),
    ("1/8 in", 1.0 / 8.0, 0.1250, 0.1235, 0.1270),
    ("9/64 in", 9.0 / 64.0, 0.1406, 0.1391, 0.1426),
    ("5/32 in", 5.0 / 32.0, 0.1562, 0.1547, 0.1587),
    ("3/16 in", 3.0 / 16.0, 0.1875, 0.1860, 0.1900),
    ("7/32 in", 7.0 / 32.0, 0.2187, 0.2172, 0.2217),
    ("1/4 in", 1.0 / 4.0, 0.2500, 0.2485, 0.2530),
    ("5/16 in", 5.0 / 16.0, 0.3125, 0.3110, 0.3160),
    ("3/8 in", 3.0 / 8.0, 0.3750, 0.3735, 0.3790),
];

/// Every spanner, metric first.
pub(super) fn spanners() -> Vec<Spanner> {
    let metric = METRIC_SPANNERS.iter().map(|&(name, size, least, most, nut)| Spanner {
        name,
        nominal: mm(size),
        opening: Limits { least: mm(size + least), most: mm(size + most) },
        own_nut_least: mm(nut),
    });
    metric.chain(INCH_SPANNERS.iter().map(inch_spanner)).collect()
}

/// The opening by ASME B18.2.2: at least 1.005 W + 0.001 in, and up to
/// 0.005 W + 0.004 in more. The smallest nut of 9/16 is 0.5545 in (BS 1768); the
/// others are taken in proportion, unconfirmed.
fn inch_spanner(&(name, sixteenths): &(&'static str, f64)) -> Spanner {
    let width = sixteenths / 16.0;
    let least = 1.005 * width + 0.001;
    Spanner {
        name,
        nominal: inches(width),
        opening: Limits { least: inches(least), most: inches(least + 0.005 * width + 0.004) },
        own_nut_least: inches(width * 0.5545 / 0.5625),
    }
}

/// Every key, metric first.
pub(super) fn keys() -> Vec<Key> {
    let metric = METRIC_KEYS.iter().map(|&(name, size, least, socket)| Key {
        name,
        nominal: mm(size),
        thickness: Limits { least: mm(least), most: mm(size) },
        own_socket_most: mm(socket),
    });
    let imperial = INCH_KEYS.iter().map(|&(name, size, most, least, socket)| Key {
        name,
        nominal: inches(size),
        thickness: Limits { least: inches(least), most: inches(most) },
        own_socket_most: inches(socket),
    });
    metric.chain(imperial).collect()
}

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn inches(value: f64) -> Length {
    Length::new::<inch>(value)
}
