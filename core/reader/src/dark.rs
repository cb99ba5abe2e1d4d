//! Dark pixels as bits, along rows and along columns, so that runs are counted and not walked.

use super::bits;
use super::memory::reserve;

/// How many pixels a word has.
const WORD: usize = 64;

/// Which pixels of a picture are dark.
#[derive(Default)]
pub struct Dark {
    width: usize,
    height: usize,
    /// Each row begins with a word of its own, and so does each column.
    rows: Vec<u64>,
    columns: Vec<u64>,
}

impl Dark {
    /// Makes room for a picture of so many pixels.
    pub fn reserve(&mut self, width: usize, height: usize) {
        reserve(&mut self.rows, width.div_ceil(WORD) * height);
        reserve(&mut self.columns, width * height.div_ceil(WORD));
    }

    /// Takes in a picture row by row; below zero is dark.
    pub fn fill(&mut self, aways: &[i16], width: usize, height: usize) {
        (self.width, self.height) = (width, height);
        self.rows.clear();
        for row in aways.chunks_exact(width.max(1)).take(height) {
            self.rows.extend(row.chunks(WORD).map(dark_bits));
        }
        self.turn();
    }

    /// Fills the columns from the rows, a square of words at a time.
    fn turn(&mut self) {
        let (across, down) = (self.width.div_ceil(WORD), self.height.div_ceil(WORD));
        self.columns.clear();
        self.columns.resize(self.width * down, 0);
        for (left, top) in (0..down).flat_map(|top| (0..across).map(move |left| (left, top))) {
            let mut square = [0; WORD];
            let rows = self.rows.iter().skip(top * WORD * across + left).step_by(across);
            square.iter_mut().zip(rows).for_each(|(into, word)| *into = *word);
            transpose(&mut square);
            let columns = self.columns.iter_mut().skip(left * WORD * down + top).step_by(down);
            columns.zip(square).for_each(|(into, word)| *into = word);
        }
    }

    /// A row's words.
    pub fn row(&self, y: usize) -> &[u64] {
        let across = self.width.div_ceil(WORD);
        self.rows.get(y * across..(y + 1) * across).unwrap_or_default()
    }

    /// The pixels of a row.
    pub fn along(&self, y: usize) -> Run<'_> {
        Run { words: self.row(y), length: self.width }
    }

    /// The pixels of a column.
    pub fn down(&self, x: usize) -> Run<'_> {
        let down = self.height.div_ceil(WORD);
        let words = self.columns.get(x * down..(x + 1) * down).unwrap_or_default();
        Run { words, length: self.height }
    }

    /// Whether a pixel is dark; `None` outside.
    pub fn get(&self, x: usize, y: usize) -> Option<bool> {
        if x >= self.width || y >= self.height {
            return None;
        }
        let word = self.rows.get(y * self.width.div_ceil(WORD) + x / WORD)?;
        Some(word >> (x % WORD) & 1 == 1)
    }
}

/// The pixels of a row or of a column.
#[derive(Clone, Copy)]
pub struct Run<'a> {
    words: &'a [u64],
    length: usize,
}

impl Run<'_> {
    /// The first pixel from `from` on, before `end`, that is dark or that is light.
    pub fn next(&self, from: usize, end: usize, dark: bool) -> Option<usize> {
        let (end, unlike) = (end.min(self.length), if dark { 0 } else { u64::MAX });
        let mut at = from / WORD;
        let mut word = (self.words.get(at)? ^ unlike) & (u64::MAX << (from % WORD));
        while word == 0 {
            at += 1;
            if at * WORD >= end {
                return None;
            }
            word = self.words.get(at)? ^ unlike;
        }
        let found = at * WORD + place(word.trailing_zeros());
        (found < end).then_some(found)
    }

    /// The last pixel up to `from`, not before `least`, that is dark or that is light.
    pub fn previous(&self, from: usize, least: usize, dark: bool) -> Option<usize> {
        let unlike = if dark { 0 } else { u64::MAX };
        let mut at = from / WORD;
        let mut word = (self.words.get(at)? ^ unlike) & (u64::MAX >> (WORD - 1 - from % WORD));
        while word == 0 {
            if at * WORD <= least {
                return None;
            }
            at -= 1;
            word = self.words.get(at)? ^ unlike;
        }
        let found = at * WORD + WORD - 1 - place(word.leading_zeros());
        (found >= least).then_some(found)
    }
}

fn place(bit: u32) -> usize {
    usize::try_from(bit).unwrap_or(0)
}

/// A bit for each of up to 64 pixels, the first the lowest.
fn dark_bits(pixels: &[i16]) -> u64 {
    let mut flags = [0; WORD];
    flags.iter_mut().zip(pixels).for_each(|(flag, v)| *flag = u8::from(*v < 0));
    let mut bytes = [0; 8];
    for (byte, eight) in bytes.iter_mut().zip(flags.as_chunks().0) {
        *byte = bits::of_eight(*eight);
    }
    u64::from_le_bytes(bytes)
}

/// Bits of rows become bits of columns: halves of ever smaller squares change places.
fn transpose(square: &mut [u64; WORD]) {
    let (mut half, mut low) = (WORD / 2, u64::MAX >> (WORD / 2));
    while half > 0 {
        for first in (0..WORD).filter(|row| row & half == 0) {
            let swapped = ((square[first] >> half) ^ square[first + half]) & low;
            square[first] ^= swapped << half;
            square[first + half] ^= swapped;
        }
        half /= 2;
        low ^= low << half;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Pixels by chance, of sizes that fill no word.
    fn some() -> (Vec<i16>, Dark) {
        let mut chance = 7_u32;
        let aways: Vec<i16> = (0..150 * 70)
            .map(|_| {
                chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                if chance >> 30 == 0 { -1 } else { 1 }
            })
            .collect();
        let mut dark = Dark::default();
        dark.fill(&aways, 150, 70);
        (aways, dark)
    }

    #[test]
    fn rows_and_columns_show_the_same_pixels() {
        let (aways, dark) = some();
        for (x, y) in (0..70).flat_map(|y| (0..150).map(move |x| (x, y))) {
            let is_dark = aways[y * 150 + x] < 0;
            assert_eq!(dark.get(x, y), Some(is_dark), "{x} {y}");
            assert_eq!(dark.along(y).next(x, x + 1, true).is_some(), is_dark, "{x} {y}");
            assert_eq!(dark.down(x).next(y, y + 1, true).is_some(), is_dark, "{x} {y}");
        }
        assert_eq!((dark.get(150, 0), dark.get(0, 70)), (None, None));
    }

    #[test]
    fn runs_end_where_pixels_say() {
        let (aways, dark) = some();
        let run = dark.along(33);
        let is = |x: usize, colour: bool| (aways[33 * 150 + x] < 0) == colour;
        for (from, colour) in (0..150).flat_map(|from: usize| [(from, true), (from, false)]) {
            for reach in [1, 5, 64, 200_usize] {
                let (end, least) = (from + reach, (from + 1).saturating_sub(reach));
                let next = (from..end.min(150)).find(|x| is(*x, colour));
                assert_eq!(run.next(from, end, colour), next, "{from} {reach} {colour}");
                let previous = (least..=from).rev().find(|x| is(*x, colour));
                assert_eq!(run.previous(from, least, colour), previous, "{from} {reach} {colour}");
            }
        }
    }
}
