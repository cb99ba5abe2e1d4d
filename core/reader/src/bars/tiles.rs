//! Where bars may lie, before any line is looked at: what changes along rows and along columns,
//! tile by tile. Bars change along a line and little across it.

use crate::view::View;

/// The side of a tile in pixels.
pub const TILE: usize = 16;
/// So many tiles of a line are weighed together.
const WINDOW: usize = 5;
/// Bars change so much more along a line than across it, in percent.
const ALONG: u32 = 120;
/// Less change in a window is an even ground.
const LEAST: u32 = 5 * 128;
/// Tiles looked at beyond those that show bars: the quiet zones. More of a large picture.
const BEYOND: usize = 4;
const PLAIN_SIDE: usize = 1280;

/// What changes in each tile of a view, row by row of tiles.
#[derive(Default)]
pub struct Tiles {
    wide: usize,
    high: usize,
    beyond: usize,
    /// Along rows, and along columns.
    change: [Vec<u32>; 2],
}

impl Tiles {
    pub fn of(view: &View<'_>) -> Self {
        let (wide, high) = (view.width.div_ceil(TILE), view.height.div_ceil(TILE));
        let beyond = BEYOND * (view.width.max(view.height) / PLAIN_SIDE).max(1);
        let change = [vec![0; wide * high], vec![0; wide * high]];
        let mut tiles = Self { wide, high, beyond, change };
        tiles.fill(view);
        tiles
    }

    /// Two rows are taken together, and places two pixels apart are compared, so that noise
    /// counts for less.
    fn fill(&mut self, view: &View<'_>) {
        let (mut here, mut before) = (vec![0; view.width], vec![0; view.width]);
        for y in (0..view.height.saturating_sub(1)).step_by(2) {
            for (mean, (a, b)) in here.iter_mut().zip(view.row(y).iter().zip(view.row(y + 1))) {
                *mean = a.midpoint(*b);
            }
            let first = y / TILE * self.wide;
            let [along, down] = &mut self.change;
            add(along.get_mut(first..).unwrap_or_default(), &here, here.get(2..));
            if y > 0 {
                add(down.get_mut(first..).unwrap_or_default(), &here, Some(&before));
            }
            std::mem::swap(&mut here, &mut before);
        }
    }

    /// The parts of a line, in pixels, on which bars may lie: along rows (0) or columns (1), at
    /// a row or column.
    pub fn parts(&self, way: usize, at: usize) -> Vec<(usize, usize)> {
        let count = if way == 0 { self.wide } else { self.high };
        let tile = |n: usize| {
            let at = at / TILE;
            let place = if way == 0 { at * self.wide + n } else { n * self.wide + at };
            let change = |way: usize| self.change.get(way).and_then(|c| c.get(place)).copied();
            (change(way).unwrap_or(0), change(1 - way).unwrap_or(0))
        };
        let mut parts: Vec<(usize, usize)> = Vec::new();
        let window = WINDOW.min(count);
        for first in 0..=count - window {
            let add = |sum: (u32, u32), n: usize| (sum.0 + tile(n).0, sum.1 + tile(n).1);
            let (along, across) = (first..first + window).fold((0, 0), add);
            if along < LEAST || along * 100 < across * ALONG {
                continue;
            }
            let (from, to) = (first.saturating_sub(self.beyond), first + window + self.beyond);
            match parts.last_mut().filter(|last| last.1 >= from * TILE) {
                Some(last) => last.1 = to * TILE,
                None => parts.push((from * TILE, to * TILE)),
            }
        }
        parts
    }
}

/// Adds to each tile how far two rows of values are apart in it.
fn add(tiles: &mut [u32], one: &[u8], other: Option<&[u8]>) {
    let pairs = one.chunks(TILE).zip(other.unwrap_or_default().chunks(TILE));
    for (sum, (a, b)) in tiles.iter_mut().zip(pairs) {
        *sum += a.iter().zip(b).map(|(a, b)| u32::from(a.abs_diff(*b))).sum::<u32>();
    }
}
