//! A view in black and white, by thresholds of blocks of eight by eight pixels: each is the mean
//! of five by five blocks' own, as the general reader has it, which takes far longer.

use rxing::common::{BitArray, BitMatrix};

use super::bits;
use super::view::View;

/// The side of a block in pixels.
const BLOCK: usize = 8;
/// Blocks each way whose thresholds are put together.
const AROUND: usize = 5;
/// A view with a shorter side has too few blocks.
pub const SHORTEST: usize = BLOCK * AROUND;
/// A block with fewer grey levels is all light or all dark.
const EVEN: u8 = 24;

/// The darkest, the lightest and the mean grey of a block.
#[derive(Clone, Copy)]
struct Block {
    low: u8,
    high: u8,
    mean: u8,
}

/// What the blocks of a view show.
pub struct Blocks {
    wide: usize,
    all: Vec<Block>,
}

impl Blocks {
    /// None of a view that is too small.
    pub fn of(view: &View<'_>) -> Option<Self> {
        if view.width.min(view.height) < SHORTEST {
            return None;
        }
        let wide = view.width.div_ceil(BLOCK);
        let mut all = Vec::with_capacity(wide * view.height.div_ceil(BLOCK));
        let (mut low, mut high) = (vec![0; view.width], vec![0; view.width]);
        let mut sums = vec![0_u16; view.width];
        for first in (0..view.height).step_by(BLOCK) {
            let end = (first + BLOCK).min(view.height);
            low.fill(u8::MAX);
            high.fill(0);
            sums.fill(0);
            for row in (first..end).map(|y| view.row(y)) {
                low.iter_mut().zip(row).for_each(|(low, v)| *low = (*low).min(*v));
                high.iter_mut().zip(row).for_each(|(high, v)| *high = (*high).max(*v));
                sums.iter_mut().zip(row).for_each(|(sum, v)| *sum += u16::from(*v));
            }
            let rows = u16::try_from(end - first).unwrap_or(1);
            let parts = low.chunks(BLOCK).zip(high.chunks(BLOCK)).zip(sums.chunks(BLOCK));
            all.extend(parts.map(|((low, high), sums)| block(low, high, sums, rows)));
        }
        Some(Self { wide, all })
    }

    /// The dark pixels of the view; of its negative, if light is taken for dark.
    pub fn dark(&self, view: &View<'_>, inverted: bool) -> Option<BitMatrix> {
        let [width, height] = [view.width, view.height].map(u32::try_from);
        let mut matrix = BitMatrix::new(width.ok()?, height.ok()?).ok()?;
        let own = self.own_thresholds(inverted);
        let (mut blocks, mut wide) = (vec![0; self.wide], vec![0; self.wide * BLOCK]);
        let mut line = vec![0; self.wide * BLOCK];
        let mut packed = BitArray::with_size(view.width);
        let turn = if inverted { u8::MAX } else { 0 };
        for y in 0..view.height {
            if y % BLOCK == 0 {
                around(&own, self.wide, y / BLOCK, &mut blocks);
                let places = wide.chunks_exact_mut(BLOCK).zip(&blocks);
                places.for_each(|(place, threshold)| place.fill(*threshold));
            }
            for ((dark, v), threshold) in line.iter_mut().zip(view.row(y)).zip(&wide) {
                *dark = u8::from(*v ^ turn <= *threshold);
            }
            pack(&line, &mut packed);
            matrix.setRow(u32::try_from(y).ok()?, &packed);
        }
        Some(matrix)
    }

    /// What parts dark and light in each block alone. An even one is taken for light, or for dark
    /// where those before are lighter than its darkest.
    fn own_thresholds(&self, inverted: bool) -> Vec<u8> {
        let mut own: Vec<u8> = Vec::with_capacity(self.all.len());
        for (at, block) in self.all.iter().enumerate() {
            let (low, mean) = if inverted {
                (u8::MAX - block.high, u8::MAX - block.mean)
            } else {
                (block.low, block.mean)
            };
            let before = |back: usize| at.checked_sub(back).and_then(|at| own.get(at)).copied();
            let inside = at > self.wide && !at.is_multiple_of(self.wide);
            let near = [before(self.wide), before(1), before(1), before(self.wide + 1)];
            let near = near.map(|v| u16::from(v.unwrap_or(0))).iter().sum::<u16>() / 4;
            own.push(match block.high - block.low {
                range if range > EVEN => mean,
                _ if inside && u16::from(low) < near => near.to_le_bytes()[0],
                _ => low / 2,
            });
        }
        own
    }
}

fn block(low: &[u8], high: &[u8], sums: &[u16], rows: u16) -> Block {
    let sum: u32 = sums.iter().map(|sum| u32::from(*sum)).sum();
    let count = u32::from(rows) * u32::try_from(sums.len()).unwrap_or(1);
    Block {
        low: low.iter().copied().min().unwrap_or(0),
        high: high.iter().copied().max().unwrap_or(0),
        mean: u8::try_from(sum / count.max(1)).unwrap_or(u8::MAX),
    }
}

/// The means around each block of a row of blocks; at the rims, around the nearest inner one.
fn around(own: &[u8], wide: usize, row: usize, blocks: &mut [u8]) {
    let high = own.len() / wide;
    let first = row.saturating_sub(AROUND / 2).min(high - AROUND);
    let mut columns = vec![0_u16; wide];
    for row in own.chunks_exact(wide).skip(first).take(AROUND) {
        columns.iter_mut().zip(row).for_each(|(sum, v)| *sum += u16::from(*v));
    }
    for (x, block) in blocks.iter_mut().enumerate() {
        let first = x.saturating_sub(AROUND / 2).min(wide - AROUND);
        let sum: u16 = columns.iter().skip(first).take(AROUND).sum();
        *block = u8::try_from(sum / 25).unwrap_or(u8::MAX);
    }
}

/// Ones and zeros as bits.
fn pack(line: &[u8], packed: &mut BitArray) {
    const WORD: usize = size_of::<usize>();
    let size = packed.get_size();
    for (at, word) in line.chunks(8 * WORD).enumerate().take_while(|(at, _)| at * 8 * WORD < size) {
        let mut bytes = [0; WORD];
        for (byte, eight) in bytes.iter_mut().zip(word.as_chunks::<8>().0) {
            *byte = bits::of_eight(*eight);
        }
        packed.setBulk(at * 8 * WORD, usize::from_le_bytes(bytes));
    }
}
