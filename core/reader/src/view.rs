//! A grey picture that is looked at in place.

use super::numbers::{pixel, real, short};

/// Grey values whose rows start `stride` bytes apart. Every row is whole.
#[derive(Clone, Copy)]
pub struct View<'a> {
    luma: &'a [u8],
    pub width: usize,
    pub height: usize,
    stride: usize,
}

impl<'a> View<'a> {
    /// A view; `None` if a row would not be whole.
    pub fn new(luma: &'a [u8], width: usize, height: usize, stride: usize) -> Option<Self> {
        let end = stride.checked_mul(height.checked_sub(1)?)?.checked_add(width)?;
        let good = width > 0 && stride >= width && end <= luma.len();
        good.then_some(Self { luma, width, height, stride })
    }

    pub fn row(&self, y: usize) -> &'a [u8] {
        let start = y.min(self.height - 1) * self.stride;
        self.luma.get(start..start + self.width).unwrap_or_default()
    }

    /// The part from a pixel on that has so many columns and rows at most.
    pub fn part(&self, (x, y): (usize, usize), width: usize, height: usize) -> Option<Self> {
        let width = width.min(self.width.checked_sub(x)?);
        let height = height.min(self.height.checked_sub(y)?);
        View::new(self.luma.get(y * self.stride + x..)?, width, height, self.stride)
    }

    /// Appends the mean of every two by two pixels, row by row.
    pub fn halve(&self, luma: &mut Vec<u8>) {
        for y in 0..self.height / 2 {
            let (above, below) = (self.row(2 * y), self.row(2 * y + 1));
            let pairs = above.as_chunks().0.iter().zip(below.as_chunks().0);
            luma.extend(pairs.map(|(a, b)| mean_of_four(*a, *b)));
        }
    }

    /// The grey between the middles of four pixels; beyond an edge, the edge's.
    pub fn grey(&self, x: f64, y: f64) -> f32 {
        let (x, y) = (x.clamp(0.0, real(self.width - 1)), y.clamp(0.0, real(self.height - 1)));
        let (i, j) = (pixel(x), pixel(y));
        let (dx, dy) = (short(x - f64::from(i)), short(y - f64::from(j)));
        let (i, j) = (i as usize, j as usize);
        let right = usize::from(i + 1 < self.width);
        let down = if j + 1 < self.height { self.stride } else { 0 };
        let at = j * self.stride + i;
        let pixel = |at: usize| self.luma.get(at).map_or(0.0, |v| f32::from(*v));
        let (a, b) = (pixel(at), pixel(at + right));
        let (c, d) = (pixel(at + down), pixel(at + down + right));
        let top = a + dx * (b - a);
        top + dy * (c + dx * (d - c) - top)
    }
}

/// The longer side above which a picture is first halved: a tag fills a fair
/// part of a photo, so nothing is lost, and time is saved.
const LARGE: usize = 2000;

/// Room for a picture that was made smaller.
#[derive(Default)]
pub struct Halved {
    luma: Vec<u8>,
    spare: Vec<u8>,
    width: usize,
    height: usize,
}

impl Halved {
    /// Halves a large picture until it is none; how many times smaller it is.
    pub fn fill(&mut self, view: &View<'_>) -> f64 {
        (self.width, self.height) = (view.width, view.height);
        self.luma.clear();
        let mut smaller = 1.0;
        while self.width.max(self.height) > LARGE && self.width.min(self.height) >= 2 {
            let mut spare = std::mem::take(&mut self.spare);
            spare.clear();
            self.view().unwrap_or(*view).halve(&mut spare);
            self.spare = std::mem::replace(&mut self.luma, spare);
            (self.width, self.height) = (self.width / 2, self.height / 2);
            smaller *= 2.0;
        }
        smaller
    }

    /// What was made smaller, or none.
    pub fn view(&self) -> Option<View<'_>> {
        View::new(&self.luma, self.width, self.height, self.width)
    }
}

/// Below so many pixels a picture may well be a symbol alone, a pixel or two a module.
const TINY: usize = 50_000;
/// How many times larger a tiny picture is made, and how many of its pixels of quiet it gets
/// around it.
pub const LARGER: usize = 3;
pub const QUIET: usize = 6;

/// A tiny picture made larger, with quiet around it, since it may have been cut off at a symbol's
/// very edge. Its sides follow.
pub fn enlarged(view: &View<'_>) -> Option<(Vec<u8>, usize, usize)> {
    if view.width * view.height > TINY {
        return None;
    }
    let (width, height) = (view.width + 2 * QUIET, view.height + 2 * QUIET);
    let mut around = vec![255; width * height];
    for (y, row) in around.chunks_exact_mut(width).skip(QUIET).take(view.height).enumerate() {
        row.get_mut(QUIET..QUIET + view.width)?.copy_from_slice(view.row(y));
    }
    let mut luma = Vec::with_capacity(around.len() * LARGER * LARGER);
    for row in around.chunks_exact(width) {
        for _ in 0..LARGER {
            luma.extend(row.iter().flat_map(|grey| [*grey; LARGER]));
        }
    }
    Some((luma, width * LARGER, height * LARGER))
}

fn mean_of_four(above: [u8; 2], below: [u8; 2]) -> u8 {
    let [a, b, c, d] = [above[0], above[1], below[0], below[1]].map(u16::from);
    // At most 255.
    ((a + b + c + d + 2) / 4).to_le_bytes()[0]
}
