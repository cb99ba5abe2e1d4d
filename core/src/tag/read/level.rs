//! The threshold: each pixel against the mean of the square around it.

use super::numbers::{narrow, real};
use super::view::View;

/// A picture, perhaps halved and smoothed, and what is left of each of its
/// pixels when the mean around it is taken away: below zero is dark.
#[derive(Default)]
pub struct Levelled {
    pub width: usize,
    pub height: usize,
    /// Pixels of the frame a pixel, 1 or 2.
    pub scale: usize,
    luma: Vec<u8>,
    away: Vec<i16>,
    smoothed: Vec<u8>,
    line: Vec<u16>,
    columns: Vec<u32>,
    padded: Vec<u32>,
}

impl Levelled {
    /// Looks at a frame anew: at half its size or at its own, smoothed (1-2-1
    /// both ways) or not, against squares of `radius` pixels to each side.
    pub fn fill(&mut self, view: &View<'_>, halved: bool, smooth: bool, radius: usize) {
        self.scale = if halved { 2 } else { 1 };
        (self.width, self.height) = (view.width / self.scale, view.height / self.scale);
        self.luma.clear();
        if halved {
            view.halve(&mut self.luma);
        } else {
            (0..self.height).for_each(|y| self.luma.extend_from_slice(view.row(y)));
        }
        if self.width > 0 && self.height > 0 {
            if smooth {
                self.smooth();
            }
            self.take_away(radius);
        }
    }

    fn row(&self, y: usize) -> &[u8] {
        let start = y.min(self.height - 1) * self.width;
        self.luma.get(start..start + self.width).unwrap_or_default()
    }

    fn smooth(&mut self) {
        let mut out = std::mem::take(&mut self.smoothed);
        let mut line = std::mem::take(&mut self.line);
        out.clear();
        for y in 0..self.height {
            let (above, here, below) =
                (self.row(y.saturating_sub(1)), self.row(y), self.row(y + 1));
            line.clear();
            // The line is carried on by a pixel at both ends.
            line.push(0);
            let columns = above.iter().zip(here).zip(below);
            line.extend(
                columns.map(|((a, b), c)| u16::from(*a) + 2 * u16::from(*b) + u16::from(*c)),
            );
            line.push(line.last().copied().unwrap_or(0));
            let second = line.get(1).copied().unwrap_or(0);
            line.iter_mut().take(1).for_each(|v| *v = second);
            let (second, third) = (line.iter().skip(1), line.iter().skip(2));
            let threes = line.iter().zip(second).zip(third);
            // At most 16 · 255, so the upper byte is all that is left.
            out.extend(threes.map(|((a, b), c)| ((a + 2 * b + c + 8) << 4).to_be_bytes()[0]));
        }
        self.smoothed = std::mem::replace(&mut self.luma, out);
        self.line = line;
    }

    /// Fills `away` from `luma`; beyond the edges the picture is carried on.
    fn take_away(&mut self, radius: usize) {
        let mut columns = std::mem::take(&mut self.columns);
        let mut away = std::mem::take(&mut self.away);
        let mut padded = std::mem::take(&mut self.padded);
        columns.clear();
        columns.resize(self.width, 0);
        away.clear();
        for at in 0..=2 * radius {
            let row = self.row(at.saturating_sub(radius));
            columns.iter_mut().zip(row).for_each(|(sum, v)| *sum += u32::from(*v));
        }
        for y in 0..self.height {
            subtract_means(self.row(y), &columns, radius, &mut padded, &mut away);
            let (gone, comes) = (self.row(y.saturating_sub(radius)), self.row(y + radius + 1));
            for ((sum, gone), comes) in columns.iter_mut().zip(gone).zip(comes) {
                *sum = (*sum + u32::from(*comes)).saturating_sub(u32::from(*gone));
            }
        }
        self.columns = columns;
        self.away = away;
        self.padded = padded;
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
        let (i, j) = (super::numbers::index(x), super::numbers::index(y));
        if i + 1 >= self.width || j + 1 >= self.height {
            return None;
        }
        let (dx, dy) = (x - real(i), y - real(j));
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

    /// Whether the pixel nearest to a place is darker than what is around it;
    /// `None` outside.
    pub fn is_dark(&self, x: f64, y: f64) -> Option<bool> {
        if !(x >= -0.5 && y >= -0.5) {
            return None;
        }
        let (i, j) = (super::numbers::index(x + 0.5), super::numbers::index(y + 0.5));
        let away = (i < self.width).then(|| self.away.get(j * self.width + i))??;
        Some(*away < 0)
    }

    /// The picture that was levelled.
    pub fn view(&self) -> Option<View<'_>> {
        View::new(&self.luma, self.width, self.height, self.width)
    }
}

/// Appends a row less its means, in grey levels, from sums of columns; `padded`
/// is room for them, carried on at both ends.
fn subtract_means(
    row: &[u8],
    columns: &[u32],
    radius: usize,
    padded: &mut Vec<u32>,
    away: &mut Vec<i16>,
) {
    let [first, last] = [columns.first(), columns.last()].map(|v| v.copied().unwrap_or(0));
    padded.clear();
    padded.resize(radius, first);
    padded.extend_from_slice(columns);
    padded.resize(columns.len() + 2 * radius + 1, last);
    let (start, rest) = padded.split_at(2 * radius + 1);
    let mut sum = start.iter().sum::<u32>().cast_signed();
    let area = i32::try_from((2 * radius + 1).pow(2)).unwrap_or(1);
    let share = (1 << 20) / area;
    let coming = rest.iter().chain(std::iter::once(&last));
    away.extend(row.iter().zip(padded.iter()).zip(coming).map(|((v, gone), comes)| {
        let value = ((i32::from(*v) * area - sum) * share) >> 20;
        sum += comes.cast_signed() - gone.cast_signed();
        narrow(value)
    }));
}
