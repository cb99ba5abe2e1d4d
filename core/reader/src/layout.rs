//! Where a symbol has what, for versions 1 to 40: finders, timing, alignment,
//! format and version information, data (ISO/IEC 18004, clauses 6.3 and 7.7 to
//! 7.10, annexes C and D). Tables that the general reader has come from it.

use std::sync::{LazyLock, OnceLock};

use rxing::qrcode::common::{Version, VersionRef};

use super::numbers::real;

/// The largest version that a symbol's size is guessed of: larger ones say which they are.
const SMALL: usize = 10;
/// The largest version.
const LARGEST: usize = 40;
/// The smallest version that says which it is.
const SAYING: usize = 7;

/// A module whose colour the standard fixes, counted from the upper left.
#[derive(Clone, Copy)]
pub struct Known {
    pub column: i32,
    pub row: i32,
    pub dark: bool,
    pub weight: f32,
}

/// A border between two modules of different colours.
#[derive(Clone, Copy)]
pub struct Border {
    /// Where it is, in modules from the symbol's middle.
    pub place: (f64, f64),
    /// Whether it is crossed along v.
    pub down: bool,
    /// Whether the module before it is the dark one.
    pub dark_first: bool,
}

/// A version's plan.
pub struct Layout {
    pub number: usize,
    /// Modules a side.
    pub side: usize,
    pub version: VersionRef,
    /// The modules of data, in the order in which their bits come.
    pub order: Vec<(u8, u8)>,
    /// What is known, with one ring of the quiet zone; of a large symbol, what is near its
    /// finders comes first.
    pub known: Vec<Known>,
    /// How many of these are near the finders.
    pub near: usize,
    /// The borders between known modules.
    pub borders: Vec<Border>,
}

/// The plans of versions 1 to 10, smallest first.
pub static LAYOUTS: LazyLock<Vec<Layout>> =
    LazyLock::new(|| (1..=SMALL).filter_map(Layout::of).collect());

/// The plans of the versions above, each made when it is first needed.
static LARGE: [OnceLock<Option<Layout>>; LARGEST - SMALL] =
    [const { OnceLock::new() }; LARGEST - SMALL];

/// The plan of a version above 10.
fn large(number: usize) -> Option<&'static Layout> {
    let slot = LARGE.get(number.checked_sub(SMALL + 1)?)?;
    slot.get_or_init(|| Layout::of(number)).as_ref()
}

/// The plans of the versions above 10 that a symbol may be of by its version information, the
/// likeliest first: `dark` says how dark each of its 18 modules is, the first the least
/// significant, from both copies.
pub fn large_by_bits(dark: &[f32; 18]) -> [Option<&'static Layout>; 2] {
    let score = |number: usize| {
        let bits = version_bits(number);
        let signed = |at: usize| if bits >> at & 1 == 1 { 1.0 } else { -1.0 };
        dark.iter().enumerate().map(|(at, dark)| dark * signed(at)).sum::<f32>()
    };
    let all: f32 = dark.iter().map(|dark| dark.abs()).sum();
    let (mut best, mut second) = ((all * SAID, 0), (all * SAID, 0));
    for scored in (SAYING..=LARGEST).map(|number| (score(number), number)) {
        if scored.0 > best.0 {
            (best, second) = (scored, best);
        } else if scored.0 > second.0 {
            second = scored;
        }
    }
    [large(best.1), large(second.1)]
}

/// The share of version information that must speak for a version.
const SAID: f32 = 0.5;

impl Layout {
    fn of(number: usize) -> Option<Self> {
        let version = Version::getVersionForNumber(u32::try_from(number).ok()?).ok()?;
        let side = 17 + 4 * number;
        let mut plan =
            Plan { side, known: vec![None; side * side], reserved: vec![false; side * side] };
        plan.finders();
        plan.timing();
        let centres: Vec<usize> = version
            .getAlignmentPatternCenters()
            .iter()
            .filter_map(|c| usize::try_from(*c).ok())
            .collect();
        plan.alignment(&centres);
        plan.reserve(number);
        let mut known = plan.all_known();
        known.extend(quiet_ring(side));
        let borders = borders(&known, side);
        let near = if number > SMALL { near_first(&mut known, side) } else { known.len() };
        Some(Self { number, side, version, order: plan.order(), known, near, borders })
    }
}

struct Plan {
    side: usize,
    /// Dark or light, and how much it says.
    known: Vec<Option<(bool, f32)>>,
    reserved: Vec<bool>,
}

impl Plan {
    fn set(&mut self, column: usize, row: usize, dark: bool, weight: f32) {
        let at = row * self.side + column;
        if let (Some(known), Some(reserved)) = (self.known.get_mut(at), self.reserved.get_mut(at)) {
            *known = Some((dark, weight));
            *reserved = true;
        }
    }

    fn finders(&mut self) {
        let far = self.side - 7;
        for (left, top) in [(0, 0), (far, 0), (0, far)] {
            for row in top.saturating_sub(1)..(top + 8).min(self.side) {
                for column in left.saturating_sub(1)..(left + 8).min(self.side) {
                    let away = (column.abs_diff(left + 3)).max(row.abs_diff(top + 3));
                    self.set(column, row, away != 2 && away != 4, 0.5);
                }
            }
        }
    }

    fn timing(&mut self) {
        for at in 8..self.side - 8 {
            self.set(at, 6, at % 2 == 0, 1.0);
            self.set(6, at, at % 2 == 0, 1.0);
        }
    }

    fn alignment(&mut self, centres: &[usize]) {
        let last = self.side - 7;
        for (column, row) in centres.iter().flat_map(|c| centres.iter().map(move |r| (*c, *r))) {
            if [(6, 6), (6, last), (last, 6)].contains(&(column, row)) {
                continue;
            }
            for (x, y) in
                (column - 2..=column + 2).flat_map(|x| (row - 2..=row + 2).map(move |y| (x, y)))
            {
                let away = x.abs_diff(column).max(y.abs_diff(row));
                self.set(x, y, away != 1, 1.0);
            }
        }
    }

    fn reserve(&mut self, number: usize) {
        let side = self.side;
        for at in 0..9 {
            for (column, row) in [(at, 8), (8, at)] {
                self.hold(column, row);
            }
        }
        for at in side - 8..side {
            self.hold(at, 8);
            self.hold(8, at);
        }
        self.set(8, side - 8, true, 0.5);
        if number >= 7 {
            let bits = version_bits(number);
            for at in 0..18 {
                let dark = bits >> at & 1 == 1;
                let (along, across) = (at / 3, side - 11 + at % 3);
                self.set(along, across, dark, 0.5);
                self.set(across, along, dark, 0.5);
            }
        }
    }

    fn hold(&mut self, column: usize, row: usize) {
        if let Some(reserved) = self.reserved.get_mut(row * self.side + column) {
            *reserved = true;
        }
    }

    fn all_known(&self) -> Vec<Known> {
        let place = |at: usize| {
            Some((i32::try_from(at % self.side).ok()?, i32::try_from(at / self.side).ok()?))
        };
        let all = self.known.iter().enumerate();
        all.filter_map(|(at, known)| {
            let ((dark, weight), (column, row)) = ((*known)?, place(at)?);
            // The one dark module does not lie the same way in a mirrored symbol.
            let lone = column == 8 && usize::try_from(row).ok()? == self.side - 8;
            (!lone).then_some(Known { column, row, dark, weight })
        })
        .collect()
    }

    /// Two columns at a time from the right, up and down by turns, passing over
    /// the timing column.
    fn order(&self) -> Vec<(u8, u8)> {
        let mut order = Vec::new();
        let mut right = self.side - 1;
        let mut up = true;
        loop {
            if right == 6 {
                right -= 1;
            }
            for step in 0..self.side {
                let row = if up { self.side - 1 - step } else { step };
                for column in [right, right - 1] {
                    if self.reserved.get(row * self.side + column) == Some(&false) {
                        // At most 177 modules a side.
                        order.extend(u8::try_from(column).ok().zip(u8::try_from(row).ok()));
                    }
                }
            }
            up = !up;
            if right < 3 {
                return order;
            }
            right -= 2;
        }
    }
}

/// Puts what is near the finders first; how much that is.
fn near_first(known: &mut [Known], side: usize) -> usize {
    const NEAR: i32 = 14;
    let end = i32::try_from(side).unwrap_or(0);
    let far = |k: &Known| {
        let from_end = |at: i32| end - 1 - at;
        let corners = [(k.column, k.row), (from_end(k.column), k.row), (k.column, from_end(k.row))];
        !corners.into_iter().any(|(x, y)| x.max(y) < NEAR)
    };
    known.sort_by_key(far);
    known.iter().take_while(|known| !far(known)).count()
}

/// Where two known modules side by side are of different colours.
fn borders(known: &[Known], side: usize) -> Vec<Border> {
    let half = real(side) / 2.0;
    // With the ring.
    let wide = side + 2;
    let place = |column: i32, row: i32| {
        let (column, row) = (usize::try_from(column + 1).ok()?, usize::try_from(row + 1).ok()?);
        (column < wide).then_some(row * wide + column)
    };
    let mut dark = vec![None; wide * wide];
    for known in known {
        if let Some(slot) = place(known.column, known.row).and_then(|at| dark.get_mut(at)) {
            *slot = Some(known.dark);
        }
    }
    let dark = |column, row| place(column, row).and_then(|at| dark.get(at).copied().flatten());
    let pairs = known
        .iter()
        .flat_map(|k| [(k, (k.column + 1, k.row), false), (k, (k.column, k.row + 1), true)]);
    let different = pairs.filter(|(k, next, _)| dark(next.0, next.1) == Some(!k.dark));
    let border = |(k, _, down): (&Known, _, bool)| {
        let (u, v) = if down { (0.5, 1.0) } else { (1.0, 0.5) };
        let place = (f64::from(k.column) + u - half, f64::from(k.row) + v - half);
        Border { place, down, dark_first: k.dark }
    };
    different.map(border).collect()
}

/// The ring around the symbol, of which the corners say nothing new.
fn quiet_ring(side: usize) -> Vec<Known> {
    let end = i32::try_from(side).unwrap_or(0);
    let light = |column, row| Known { column, row, dark: false, weight: 0.3 };
    (0..end).flat_map(|at| [light(at, -1), light(at, end), light(-1, at), light(end, at)]).collect()
}

/// The remainder of a number shifted by the length of a generator.
fn remainder(value: u32, generator: u32) -> u32 {
    let length = generator.ilog2();
    let mut rest = value << length;
    while rest > 0 && rest.ilog2() >= length {
        rest ^= generator << (rest.ilog2() - length);
    }
    rest
}

/// The 18 bits of version information (annex D).
fn version_bits(number: usize) -> u32 {
    let number = u32::try_from(number).unwrap_or(0);
    number << 12 | remainder(number, 0x1F25)
}

/// The 15 bits of format information for five bits of level and mask (annex C).
pub fn format_bits(data: u32) -> u32 {
    (data << 10 | remainder(data, 0x537)) ^ 0x5412
}

/// The two places of each of the 15 bits of format information, the most
/// significant first, as (column, row) (figure 25).
pub fn format_places(side: usize) -> [[(usize, usize); 15]; 2] {
    let mut first = [(0, 0); 15];
    let mut second = [(0, 0); 15];
    for at in 0..15 {
        let across = if at < 6 { at } else { at + 1 };
        first[at] = match at {
            0..=7 => (across, 8),
            8 => (8, 7),
            _ => (8, 14 - at),
        };
        second[at] = if at < 7 { (8, side - 1 - at) } else { (side - 15 + at, 8) };
    }
    [first, second]
}

/// Whether a mask turns a module over (table 10).
pub const fn masked(mask: u32, column: usize, row: usize) -> bool {
    match mask {
        0 => (row + column).is_multiple_of(2),
        1 => row.is_multiple_of(2),
        2 => column.is_multiple_of(3),
        3 => (row + column).is_multiple_of(3),
        4 => (row / 2 + column / 3).is_multiple_of(2),
        5 => row * column % 2 + row * column % 3 == 0,
        6 => (row * column % 2 + row * column % 3).is_multiple_of(2),
        _ => ((row + column) % 2 + row * column % 3).is_multiple_of(2),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn format_and_version_bits_are_the_standards_examples() {
        // ISO/IEC 18004, annex C: level M, mask 5; annex D: version 7.
        assert_eq!(format_bits(0b00101), 0b100_0000_1100_1110);
        assert_eq!(version_bits(7), 0b00_0111_1100_1001_0100);
    }

    #[test]
    fn every_version_has_room_for_its_code_words() {
        // ISO/IEC 18004, table 1: data modules of versions 1 to 10, 20, 30 and 40.
        let table = [208, 359, 567, 807, 1079, 1383, 1568, 1936, 2336, 2768, 8683, 17483, 29648];
        let large = [20, 30, 40].into_iter().filter_map(super::large);
        let counted: Vec<usize> = LAYOUTS.iter().chain(large).map(|l| l.order.len()).collect();
        assert_eq!(counted, table);
        assert!(super::large(41).is_none() && super::large(10).is_none());
    }

    #[test]
    fn version_information_is_told_from_most_of_its_modules() {
        for number in 11..=40 {
            let bits = version_bits(number);
            let mut dark = std::array::from_fn(|at| if bits >> at & 1 == 1 { 0.8 } else { -0.8 });
            // Three of 18 may be wrong: any two versions differ in eight.
            for wrong in [2, 9, 16] {
                dark[wrong] *= -0.9;
            }
            let said = large_by_bits(&dark)[0].map(|layout| layout.number);
            assert_eq!(said, Some(number));
        }
    }
}
