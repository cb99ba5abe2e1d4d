//! Bits to data words: format, blocks, correction (ISO/IEC 18004, 7.5 to 7.10 and
//! 12), and whether what they say counts.

use rxing::qrcode::common::ErrorCorrectionLevel;

use super::galois::Syndromes;
use super::layout::{Layout, format_bits, format_places, masked};
use super::memory::reserve;
use super::segments::{Behind, Content, behind, content};

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
    /// A block's words, the least sure first; empty until that is asked.
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
    content: Option<Content>,
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

    /// What [`Bits::text`] has found.
    pub fn content(&self, at: usize) -> Option<&Content> {
        self.said.get(at)?.content.as_ref()
    }

    /// What the data say: where it is kept, or none if it does not count.
    fn read(&mut self, layout: &Layout) -> Option<usize> {
        let known = |said: &Said| said.version == layout.number && said.data == self.data;
        let at = self.said.iter().position(known).unwrap_or_else(|| {
            let read = content(&self.data, layout.number);
            let content = read.filter(|c| is_sound(&c.text, self.counts.0));
            let at = self.next;
            self.next = (at + 1) % SAID;
            self.said.resize_with(self.said.len().max(at + 1), Said::default);
            if let Some(slot) = self.said.get_mut(at) {
                *slot = Said { version: layout.number, data: self.data.clone(), content };
            }
            at
        });
        self.said.get(at)?.content.as_ref().map(|_| at)
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
/// Where nothing else proves a reading, one of so many check words may have been
/// needed in each block, where the standard's correction could use up two.
const PROVEN: usize = 3;

/// How much of what two copies of format information show must speak for one of its words, and
/// of what one shows if the other is spoilt. Chance seldom does; of what was read, 0.67 did.
const FORMAT: f32 = 0.5;
const ALONE: f32 = 0.85;

impl Bits<'_> {
    fn place(&self, (column, row): (usize, usize)) -> (usize, usize) {
        if self.mirrored { (row, column) } else { (column, row) }
    }

    fn dark(&self, place: (usize, usize)) -> f32 {
        let (column, row) = self.place(place);
        self.soft.get(row * self.layout.side + column).copied().unwrap_or(0.0).clamp(-1.0, 1.0)
    }

    /// The two most likely of the 32 words of format information, from both copies; none if
    /// neither both nor one alone looks like any.
    pub fn formats(&self) -> Option<[u32; 2]> {
        let copies = format_places(self.layout.side).map(|copy| copy.map(|p| self.dark(p)));
        let weights = copies.map(|copy| copy.iter().map(|dark| dark.abs()).sum::<f32>().max(1e-3));
        let score = |copy: &[f32; 15], bits: u32| {
            let signed = |at: usize| if bits >> (14 - at) & 1 == 1 { 1.0 } else { -1.0 };
            copy.iter().enumerate().map(|(at, dark)| dark * signed(at)).sum::<f32>()
        };
        let (mut best, mut alone) = ([(f32::MIN, 0); 2], 0.0_f32);
        for data in 0..32 {
            let bits = format_bits(data);
            let [one, other] = [0, 1].map(|at| score(&copies[at], bits));
            alone = alone.max(one / weights[0]).max(other / weights[1]);
            let scored = (one + other, data);
            if scored.0 > best[0].0 {
                best = [scored, best[0]];
            } else if scored.0 > best[1].0 {
                best[1] = scored;
            }
        }
        let together = best[0].0 / (weights[0] + weights[1]);
        (together > FORMAT || alone > ALONE).then(|| best.map(|(_, data)| data))
    }

    /// The code words, with the mask of a format taken off.
    fn words(&self, mask: u32, rooms: &mut Rooms) {
        rooms.words.clear();
        rooms.sure.clear();
        for bits in self.layout.order.chunks_exact(8) {
            let (mut word, mut sure) = (0, f32::MAX);
            for (column, row) in bits {
                let (column, row) = (usize::from(*column), usize::from(*row));
                let dark = self.dark((column, row));
                word = word << 1 | u8::from((dark > 0.0) != masked(mask, column, row));
                let (x, y) = self.place((column, row));
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
        let (mut changed, mut proven) = (0, true);
        for (at, size) in sizes().enumerate() {
            let plan = Interleaved { count, checks, least, short };
            plan.gather(rooms, at, size);
            let corrected = corrected(rooms, checks, erase)?;
            changed += corrected.bits;
            proven &= !corrected.erased && corrected.words * PROVEN <= checks;
            let data = rooms.block.get(..size)?;
            rooms.data.extend_from_slice(data);
        }
        let many = f64::from(changed) > MOST_CHANGED * super::numbers::real(8 * rooms.words.len());
        let behind = behind(&rooms.data, self.layout.number)?;
        (!many && (proven || behind == Behind::Standard)).then(|| rooms.read(self.layout))?
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

/// What it took to correct a block.
struct Corrected {
    words: usize,
    bits: u32,
    /// Whether words were given up for it.
    erased: bool,
}

/// Corrects the gathered block, giving up words in one way after the other.
fn corrected(rooms: &mut Rooms, checks: usize, erase: &[Erase]) -> Option<Corrected> {
    let syndromes = Syndromes::of(&rooms.block, checks)?;
    rooms.order.clear();
    for way in erase {
        choose_erased(rooms, checks, *way);
        let erased = *way != Erase::None;
        if erased && rooms.erased.is_empty() {
            continue;
        }
        rooms.received.clone_from(&rooms.block);
        if let Some(words) = syndromes.correct(&mut rooms.block, &rooms.erased) {
            let pairs = rooms.received.iter().zip(&rooms.block);
            let bits = pairs.map(|(a, b)| (a ^ b).count_ones()).sum();
            return Some(Corrected { words, bits, erased });
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
            if rooms.order.is_empty() {
                rooms.order.extend(0..rooms.places.len());
                rooms.order.sort_unstable_by(|a, b| sure(a).total_cmp(&sure(b)).then(a.cmp(b)));
            }
            rooms.erased.extend(rooms.order.iter().take((checks * twelfths / 12).min(most)));
        }
    }
}
