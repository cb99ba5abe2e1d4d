//! Bits to text: format, blocks, correction, segments (ISO/IEC 18004, 7.3 to
//! 7.10 and 12). Segments' characters are the general reader's work.

use rxing::DecodeHints;
use rxing::qrcode::common::ErrorCorrectionLevel;
use rxing::qrcode::decoder::decoded_bit_stream_parser;

use super::galois::correct;
use super::layout::{Layout, format_bits, format_places, masked};
use super::memory::reserve;

/// How dark each module is and which are not to be trusted, row by row.
pub struct Bits<'a> {
    pub layout: &'a Layout,
    pub soft: &'a [f32],
    /// Blown-out modules; empty if that is no sign of anything.
    pub blown: &'a dyn Fn(usize, usize) -> bool,
    /// Columns for rows, as in a mirror.
    pub mirrored: bool,
}

/// Rooms that are used again for every symbol.
#[derive(Default)]
pub struct Rooms {
    counts: Counting,
    words: Vec<u8>,
    /// How sure the least sure of each word's bits is; below zero: not to be
    /// trusted at all.
    sure: Vec<f32>,
    block: Vec<u8>,
    received: Vec<u8>,
    places: Vec<usize>,
    order: Vec<usize>,
    erased: Vec<usize>,
    data: Vec<u8>,
    /// What data said before: most frames of a film say the same again.
    said: Vec<Said>,
    next: usize,
}

/// Data words of a version, and their text if it counts.
#[derive(Default)]
struct Said {
    version: usize,
    data: Vec<u8>,
    text: Option<String>,
}

/// As many tags as a frame may well show.
const SAID: usize = 16;

impl Rooms {
    /// Says which texts count.
    pub fn count_by(&mut self, counts: Counts) {
        self.counts = Counting(counts);
    }

    /// Makes room for symbols of so many code words.
    pub fn reserve(&mut self, words: usize) {
        for bytes in [&mut self.words, &mut self.block, &mut self.received, &mut self.data] {
            reserve(bytes, words);
        }
        reserve(&mut self.sure, words);
        for numbers in [&mut self.places, &mut self.order, &mut self.erased] {
            reserve(numbers, words);
        }
    }

    /// The text that [`Bits::text`] has found.
    pub fn text(&self, at: usize) -> &str {
        self.said.get(at).and_then(|said| said.text.as_deref()).unwrap_or_default()
    }

    /// What the data say: where it is kept, or none if it does not count.
    fn read(&mut self, layout: &Layout, level: ErrorCorrectionLevel) -> Option<usize> {
        let known = |said: &Said| said.version == layout.number && said.data == self.data;
        let at = self.said.iter().position(known).unwrap_or_else(|| {
            let hints = DecodeHints::default();
            let read = decoded_bit_stream_parser::decode(&self.data, layout.version, level, &hints);
            let text =
                read.ok().map(|r| r.getText().to_owned()).filter(|t| is_sound(t, self.counts.0));
            let at = self.next;
            self.next = (at + 1) % SAID;
            self.said.resize_with(self.said.len().max(at + 1), Said::default);
            if let Some(slot) = self.said.get_mut(at) {
                *slot = Said { version: layout.number, data: self.data.clone(), text };
            }
            at
        });
        self.said.get(at)?.text.as_ref().map(|_| at)
    }
}

/// Whether a text that was read counts. A reader that is pushed hard can misread a symbol, so
/// where a text has a check of its own, that decides; if it does not count, the search goes on.
pub type Counts = fn(&str) -> bool;

/// At first every text counts.
struct Counting(Counts);

impl Default for Counting {
    fn default() -> Self {
        Self(|_| true)
    }
}

/// Whether a text may be answered.
pub fn is_sound(text: &str, counts: Counts) -> bool {
    !text.is_empty() && counts(text)
}

/// How the words that are least sure are given up.
#[derive(Clone, Copy, PartialEq)]
pub enum Erase {
    None,
    Blown,
    /// This share, in twelfths, of the check words.
    Unsure(usize),
}

/// More changed bits than these are no reading.
const MOST_CHANGED: f64 = 0.42;

impl Bits<'_> {
    fn place(&self, (column, row): (usize, usize)) -> (usize, usize) {
        if self.mirrored { (row, column) } else { (column, row) }
    }

    fn dark(&self, place: (usize, usize)) -> f32 {
        let (column, row) = self.place(place);
        self.soft.get(row * self.layout.side + column).copied().unwrap_or(0.0).clamp(-1.0, 1.0)
    }

    /// The two most likely of the 32 words of format information, from both
    /// copies.
    pub fn formats(&self) -> [u32; 2] {
        let mut sums = [0.0_f32; 15];
        for copy in format_places(self.layout.side) {
            sums.iter_mut().zip(copy).for_each(|(sum, place)| *sum += self.dark(place));
        }
        let score = |data: u32| {
            let bits = format_bits(data);
            let signed = |at: usize| if bits >> (14 - at) & 1 == 1 { 1.0 } else { -1.0 };
            sums.iter().enumerate().map(|(at, sum)| sum * signed(at)).sum::<f32>()
        };
        let mut best = [(f32::MIN, 0); 2];
        for data in 0..32 {
            let scored = (score(data), data);
            if scored.0 > best[0].0 {
                best = [scored, best[0]];
            } else if scored.0 > best[1].0 {
                best[1] = scored;
            }
        }
        best.map(|(_, data)| data)
    }

    /// The code words, with the mask of a format taken off.
    fn words(&self, mask: u32, rooms: &mut Rooms) {
        rooms.words.clear();
        rooms.sure.clear();
        for bits in self.layout.order.chunks_exact(8) {
            let (mut word, mut sure) = (0, f32::MAX);
            for (column, row) in bits {
                let dark = self.dark((*column, *row));
                word = word << 1 | u8::from((dark > 0.0) != masked(mask, *column, *row));
                let (x, y) = self.place((*column, *row));
                sure = sure.min(if (self.blown)(x, y) { -1.0 } else { dark.abs() });
            }
            rooms.words.push(word);
            rooms.sure.push(sure);
        }
    }

    /// The text under a format, as a place in the rooms, or none.
    pub fn text(&self, format: u32, erase: &[Erase], rooms: &mut Rooms) -> Option<usize> {
        self.words(format & 7, rooms);
        // Two bits: 01 L, 00 M, 11 Q, 10 H (table 12).
        let level = match format >> 3 {
            1 => ErrorCorrectionLevel::L,
            0 => ErrorCorrectionLevel::M,
            3 => ErrorCorrectionLevel::Q,
            _ => ErrorCorrectionLevel::H,
        };
        let blocks = self.layout.version.getECBlocksForLevel(level);
        let checks = usize::try_from(blocks.getECCodewordsPerBlock()).ok()?;
        let sizes = || {
            let kinds = blocks.getECBlocks().iter();
            kinds.flat_map(|b| {
                (0..b.getCount()).map(|_| usize::try_from(b.getDataCodewords()).unwrap_or(0))
            })
        };
        let (count, least) = (sizes().count(), sizes().min()?);
        let short = sizes().filter(|size| *size == least).count();
        rooms.data.clear();
        let mut changed = 0;
        for (at, size) in sizes().enumerate() {
            let plan = Interleaved { count, checks, least, short };
            plan.gather(rooms, at, size);
            changed += corrected(rooms, checks, erase)?;
            let data = rooms.block.get(..size)?;
            rooms.data.extend_from_slice(data);
        }
        let many = f64::from(changed) > MOST_CHANGED * super::numbers::real(8 * rooms.words.len());
        if many || !padded_well(&rooms.data, self.layout.number) {
            return None;
        }
        rooms.read(self.layout, level)
    }
}

/// How blocks lie between each other: data words by turns, the longer blocks'
/// last ones behind the rest, then check words by turns.
struct Interleaved {
    /// How many blocks there are, and the check words of each.
    count: usize,
    checks: usize,
    /// The data words of the shorter blocks, which come first, and how many
    /// blocks those are.
    least: usize,
    short: usize,
}

impl Interleaved {
    /// Gathers a block of `size` data words.
    fn gather(&self, rooms: &mut Rooms, at: usize, size: usize) {
        let last = || (self.least * self.count + at).saturating_sub(self.short);
        let data = |n| if n < self.least { n * self.count + at } else { last() };
        let behind = rooms.words.len().saturating_sub(self.checks * self.count);
        rooms.places.clear();
        rooms.places.extend((0..size).map(data));
        rooms.places.extend((0..self.checks).map(|n| behind + n * self.count + at));
        rooms.block.clear();
        let words = rooms.places.iter().map(|p| rooms.words.get(*p).copied().unwrap_or(0));
        rooms.block.extend(words);
    }
}

/// Corrects the gathered block, giving up words in one way after the other;
/// how many bits were changed.
fn corrected(rooms: &mut Rooms, checks: usize, erase: &[Erase]) -> Option<u32> {
    for way in erase {
        choose_erased(rooms, checks, *way);
        if *way != Erase::None && rooms.erased.is_empty() {
            continue;
        }
        rooms.received.clone_from(&rooms.block);
        if correct(&mut rooms.block, checks, &rooms.erased).is_some() {
            let pairs = rooms.received.iter().zip(&rooms.block);
            return Some(pairs.map(|(a, b)| (a ^ b).count_ones()).sum());
        }
        rooms.block.clone_from(&rooms.received);
    }
    None
}

/// At least so many check words are left over for errors that nobody saw.
const LEFT_OVER: usize = 8;

fn choose_erased(rooms: &mut Rooms, checks: usize, way: Erase) {
    let most = checks.saturating_sub(LEFT_OVER.min(checks / 2));
    let sure =
        |at: &usize| rooms.places.get(*at).and_then(|p| rooms.sure.get(*p)).copied().unwrap_or(0.0);
    rooms.erased.clear();
    match way {
        Erase::None => {}
        Erase::Blown => {
            rooms.erased.extend((0..rooms.places.len()).filter(|at| sure(at) < 0.0));
            let bright = 5 * rooms.erased.len() > 2 * rooms.places.len();
            if bright || rooms.erased.len() > most {
                rooms.erased.clear();
            }
        }
        Erase::Unsure(twelfths) => {
            rooms.order.clear();
            rooms.order.extend(0..rooms.places.len());
            rooms.order.sort_unstable_by(|a, b| sure(a).total_cmp(&sure(b)).then(a.cmp(b)));
            rooms.erased.extend(rooms.order.iter().take((checks * twelfths / 12).min(most)));
        }
    }
}

/// Whether what follows the last segment is the standard's: a terminator of
/// zeros, and 11101100 and 00010001 by turns (7.4.9 and 7.4.10).
fn padded_well(data: &[u8], version: usize) -> bool {
    let Some(end) = segments_end(data, version) else { return false };
    let whole = (end + 4).min(8 * data.len()).div_ceil(8);
    let zero = (end..8 * whole).all(|at| bits(data, at, 1) == Some(0));
    let pads = data.get(whole..).unwrap_or_default();
    zero && pads.iter().zip([0xEC, 0x11].iter().cycle()).all(|(a, b)| a == b)
}

fn bits(data: &[u8], at: usize, count: usize) -> Option<usize> {
    (at..at + count).try_fold(0, |sum, at| {
        let byte = data.get(at / 8)?;
        Some(sum << 1 | usize::from(byte >> (7 - at % 8) & 1))
    })
}

/// Where the last segment ends (tables 2 and 3).
fn segments_end(data: &[u8], version: usize) -> Option<usize> {
    let large = version >= 10;
    let mut at = 0;
    loop {
        if at + 4 > 8 * data.len() {
            return Some(at);
        }
        let mode = bits(data, at, 4)?;
        let count = |wide: usize| bits(data, at + 4, wide);
        at = match mode {
            0 => return Some(at),
            1 => {
                let wide = if large { 12 } else { 10 };
                let n = count(wide)?;
                at + 4 + wide + n / 3 * 10 + [0, 4, 7][n % 3]
            }
            2 => {
                let wide = if large { 11 } else { 9 };
                let n = count(wide)?;
                at + 4 + wide + n / 2 * 11 + n % 2 * 6
            }
            4 => {
                let wide = if large { 16 } else { 8 };
                at + 4 + wide + count(wide)? * 8
            }
            8 => {
                let wide = if large { 10 } else { 8 };
                at + 4 + wide + count(wide)? * 13
            }
            5 => at + 4,
            9 => at + 12,
            7 => at + 12,
            _ => return None,
        };
        if at > 8 * data.len() {
            return None;
        }
    }
}
