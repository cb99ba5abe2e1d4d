//! The threshold: each pixel against the mean of the square around it.

use super::dark::Dark;
use super::memory::reserve;
use super::numbers::{narrow, pixel};
use super::view::View;

/// A place in 65,536ths of a pixel.
pub type Fixed = (i32, i32);

const HALF: i32 = 1 << 15;

/// The largest radius of the squares.
pub const WIDEST: usize = 20;

/// What counts as noise in a picture that is smoothed, and in one as it is.
const SMOOTHED: u16 = 5;
const ROUGH: u16 = 12;

/// A picture, perhaps halved and smoothed, and what is left of each of its
/// pixels when the mean around it is taken away: below zero is dark.
#[derive(Default)]
pub struct Levelled {
    pub width: usize,
    pub height: usize,
    /// Pixels of the frame a pixel, 1 or 2.
    pub scale: usize,
    /// Fewer grey levels between light and dark are noise.
    pub noise: u16,
    /// Which pixels are darker than what is around them.
    pub dark: Dark,
    luma: Vec<u8>,
    away: Vec<i16>,
    half: Vec<u8>,
    line: Vec<u16>,
    fours: Vec<u16>,
    columns: Vec<u32>,
    sums: Vec<u32>,
    means: Vec<i16>,
}

impl Levelled {
    /// Looks at a frame again: at half its size or at its own, smoothed (1-2-1
    /// both ways) or not, against squares of `radius` pixels to each side.
    pub fn fill(&mut self, view: &View<'_>, halved: bool, smooth: bool, radius: usize) {
        self.scale = if halved { 2 } else { 1 };
        (self.width, self.height) = (view.width / self.scale, view.height / self.scale);
        self.noise = if smooth { SMOOTHED } else { ROUGH };
        self.luma.clear();
        if self.width == 0 || self.height == 0 {
            // Nothing of the frame before is left.
            self.dark.fill(&[], self.width, self.height);
            return;
        }
        let mut half = std::mem::take(&mut self.half);
        half.clear();
        if halved {
            view.halve(&mut half);
        }
        let view = View::new(&half, self.width, self.height, self.width).unwrap_or(*view);
        if smooth {
            self.smooth(&view);
        } else {
            (0..self.height).for_each(|y| self.luma.extend_from_slice(view.row(y)));
        }
        self.half = half;
        self.take_away(radius);
        self.dark.fill(&self.away, self.width, self.height);
    }

    /// Makes room for a frame of so many pixels.
    pub fn reserve(&mut self, width: usize, height: usize) {
        self.dark.reserve(width, height);
        reserve(&mut self.luma, width * height);
        reserve(&mut self.half, (width / 2) * (height / 2));
        reserve(&mut self.away, width * height);
        reserve(&mut self.line, width + 2);
        reserve(&mut self.fours, width.div_ceil(2) * height.div_ceil(2));
        reserve(&mut self.columns, width.div_ceil(2) + WIDEST + 1);
        reserve(&mut self.sums, width.div_ceil(2) + WIDEST + 2);
        reserve(&mut self.means, width + 1);
    }

    fn row(&self, y: usize) -> &[u8] {
        let start = y.min(self.height - 1) * self.width;
        self.luma.get(start..start + self.width).unwrap_or_default()
    }

    /// Each pixel becomes the mean of the nine around it, weighed 1-2-1 both
    /// ways; beyond the edges the picture is carried on.
    fn smooth(&mut self, view: &View<'_>) {
        let mut line = std::mem::take(&mut self.line);
        self.luma.resize(self.width * self.height, 0);
        line.resize(self.width + 2, 0);
        for (y, into) in self.luma.chunks_exact_mut(self.width).enumerate() {
            let (above, here, below) =
                (view.row(y.saturating_sub(1)), view.row(y), view.row(y + 1));
            let columns = above.iter().zip(here).zip(below);
            for (sum, ((a, b), c)) in line.iter_mut().skip(1).zip(columns) {
                *sum = u16::from(*a) + 2 * u16::from(*b) + u16::from(*c);
            }
            // The line is carried on by a pixel at both ends.
            line.copy_within(1..2, 0);
            line.copy_within(self.width..=self.width, self.width + 1);
            let (second, third) = (line.iter().skip(1), line.iter().skip(2));
            for (into, ((a, b), c)) in into.iter_mut().zip(line.iter().zip(second).zip(third)) {
                // At most 16 · 255, so the upper byte is all that is left.
                *into = ((a + 2 * b + c + 8) << 4).to_be_bytes()[0];
            }
        }
        self.line = line;
    }

    /// Fills `away` from `luma`; beyond the edges the picture is carried on. Two by two pixels
    /// have a mean in common: that of so many to each side, and of themselves.
    fn take_away(&mut self, radius: usize) {
        let reach = radius / 2;
        self.add_fours();
        let mut columns = std::mem::take(&mut self.columns);
        let mut away = std::mem::take(&mut self.away);
        let mut means = std::mem::take(&mut self.means);
        let mut sums = std::mem::take(&mut self.sums);
        let pairs = self.width.div_ceil(2);
        columns.clear();
        columns.resize(pairs + 2 * reach + 1, 0);
        away.resize(self.luma.len(), 0);
        means.resize(2 * pairs, 0);
        let inner = reach..reach + pairs;
        for at in 0..=2 * reach {
            let sums = columns.get_mut(inner.clone()).unwrap_or_default();
            let fours = self.fours_of(at.saturating_sub(reach));
            sums.iter_mut().zip(fours).for_each(|(sum, v)| *sum += u32::from(*v));
        }
        for (at, into) in away.chunks_mut(2 * self.width).enumerate() {
            carry_on(&mut columns, reach);
            slide(&columns, reach, &mut sums, &mut means);
            for (row, into) in into.chunks_exact_mut(self.width).enumerate() {
                for ((into, v), mean) in into.iter_mut().zip(self.row(2 * at + row)).zip(&means) {
                    *into = i16::from(*v) - *mean;
                }
            }
            let gone = self.fours_of(at.saturating_sub(reach));
            let comes = self.fours_of(at + reach + 1);
            let sums = columns.get_mut(inner.clone()).unwrap_or_default();
            for ((sum, gone), comes) in sums.iter_mut().zip(gone).zip(comes) {
                *sum = (*sum + u32::from(*comes)).wrapping_sub(u32::from(*gone));
            }
        }
        self.columns = columns;
        self.away = away;
        self.means = means;
        self.sums = sums;
    }

    /// The sums of two by two pixels; the last of odd rows or columns counts twice.
    fn add_fours(&mut self) {
        let mut fours = std::mem::take(&mut self.fours);
        fours.clear();
        for y in (0..self.height).step_by(2) {
            let (above, below) = (self.row(y), self.row(y + 1));
            let sum = |(a, b): (&[u8; 2], &[u8; 2])| {
                let [a, b, c, d] = [a[0], a[1], b[0], b[1]].map(u16::from);
                a + b + c + d
            };
            let ((above, odd), (below, other)) = (above.as_chunks(), below.as_chunks());
            fours.extend(above.iter().zip(below).map(sum));
            let last = odd.iter().zip(other).map(|(a, b)| 2 * (u16::from(*a) + u16::from(*b)));
            fours.extend(last);
        }
        self.fours = fours;
    }

    /// The sums of two rows; beyond the last, its.
    fn fours_of(&self, at: usize) -> &[u16] {
        let pairs = self.width.div_ceil(2);
        let start = at.min((self.height - 1) / 2) * pairs;
        self.fours.get(start..start + pairs).unwrap_or_default()
    }

    /// A row of differences.
    pub fn aways(&self, y: usize) -> &[i16] {
        self.away.get(y * self.width..(y + 1) * self.width).unwrap_or_default()
    }

    /// The difference between four pixels' middles, in grey levels; `None`
    /// outside.
    pub fn away(&self, x: f64, y: f64) -> Option<f64> {
        if !(x >= 0.0 && y >= 0.0) {
            return None;
        }
        let (i, j) = (pixel(x), pixel(y));
        let (dx, dy) = (x - f64::from(i), y - f64::from(j));
        let (i, j) = (i as usize, j as usize);
        if i + 1 >= self.width || j + 1 >= self.height {
            return None;
        }
        let at = j * self.width + i;
        let top = self.away.get(at..at + 2)?;
        let low = self.away.get(at + self.width..at + self.width + 2)?;
        let across = |pair: &[i16]| match pair {
            [a, b] => f64::from(*a) + dx * (f64::from(*b) - f64::from(*a)),
            _ => 0.0,
        };
        let (top, low) = (across(top), across(low));
        Some(top + dy * (low - top))
    }

    /// Whether the pixel nearest to a place is darker than what is around it; `None` outside.
    pub fn is_dark_at(&self, place: Fixed) -> Option<bool> {
        // Below zero is far beyond the other edge.
        let [x, y] = [place.0, place.1].map(|v| (v.wrapping_add(HALF) >> 16).cast_unsigned());
        self.dark.get(x as usize, y as usize)
    }

    /// The picture that was levelled.
    pub fn view(&self) -> Option<View<'_>> {
        View::new(&self.luma, self.width, self.height, self.width)
    }
}

/// Carries sums on at both ends by their first and last, `reach` to the left
/// and one more to the right.
fn carry_on(columns: &mut [u32], reach: usize) {
    let last = columns.len().saturating_sub(reach + 2);
    let ends = [columns.get(reach), columns.get(last)].map(|v| v.copied().unwrap_or(0));
    columns.iter_mut().take(reach).for_each(|v| *v = ends[0]);
    columns.iter_mut().skip(last + 1).for_each(|v| *v = ends[1]);
}

/// Means of squares, rounded up, from sums of two columns, for each pair of pixels.
fn slide(columns: &[u32], reach: usize, sums: &mut Vec<u32>, means: &mut [i16]) {
    let wide = 2 * reach + 1;
    let area = u32::try_from(4 * wide * wide).unwrap_or(1);
    let share = (1 << 20) / area;
    // Of all columns before each.
    let mut sum = 0_u32;
    sums.clear();
    sums.push(0);
    sums.extend(columns.iter().map(|column| {
        sum = sum.wrapping_add(*column);
        sum
    }));
    let ends = sums.get(wide..).unwrap_or_default();
    for ((pair, end), begin) in means.as_chunks_mut::<2>().0.iter_mut().zip(ends).zip(&*sums) {
        // At most 2^28: 255 · area · 2^20 / area.
        let mean = (end.wrapping_sub(*begin) * share + (1 << 20) - 1) >> 20;
        *pair = [narrow(mean.cast_signed()); 2];
    }
}
