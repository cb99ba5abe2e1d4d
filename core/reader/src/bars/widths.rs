//! Widths of bars and spaces by turns, and the character that they look like.

/// The widths between edges; every even one is a bar.
#[derive(Clone, Copy)]
pub struct Widths<'a> {
    edges: &'a [f64],
}

impl<'a> Widths<'a> {
    /// Widths between edges of which the first turns dark.
    pub fn new(edges: &'a [f64]) -> Self {
        Self { edges }
    }

    pub fn count(&self) -> usize {
        self.edges.len().saturating_sub(1)
    }

    pub fn get(&self, at: usize) -> Option<f64> {
        Some(self.edges.get(at + 1)? - self.edges.get(at)?)
    }

    pub fn some<const N: usize>(&self, at: usize) -> Option<[f64; N]> {
        let edges = self.edges.get(at..=at + N)?;
        Some(std::array::from_fn(|n| edges[n + 1] - edges[n]))
    }

    /// Where the bar of a width begins, and where it ends.
    pub fn begin(&self, at: usize) -> f64 {
        self.edges.get(at).copied().unwrap_or(0.0)
    }

    /// Whether a barcode may begin with a bar: it is quiet before.
    pub fn may_begin(&self, at: usize) -> bool {
        let Some(four) = self.some::<4>(at) else { return false };
        self.is_quiet_before(at, 1.6 * four.iter().sum::<f64>() / 4.0)
    }

    /// Whether there is so much light before a bar; the picture may end there.
    pub fn is_quiet_before(&self, at: usize, least: f64) -> bool {
        at == 0 || self.get(at - 1).is_none_or(|w| w >= least)
    }

    pub fn is_quiet_after(&self, at: usize, least: f64) -> bool {
        self.get(at + 1).is_none_or(|w| w >= least)
    }
}

/// How far from its pattern a character may be, in squares of modules.
const FAR: f64 = 1.6;

/// The pattern that six widths look like, if one does so clearly. What counts
/// most are widths from an edge to the next of its kind: ink and blur move both
/// alike.
pub fn nearest(widths: &[f64; 6], patterns: &[[u8; 6]], modules: f64) -> Option<usize> {
    let unit = widths.iter().sum::<f64>() / modules;
    let widths = widths.map(|w| w / unit);
    let far = |pattern: &[u8; 6]| {
        let off: [f64; 6] = std::array::from_fn(|n| widths[n] - f64::from(pattern[n]));
        let pairs = off.windows(2).map(|o| (o[0] + o[1]) * (o[0] + o[1])).sum::<f64>();
        // Ink makes all bars wider and all spaces narrower.
        let ink = (off[0] - off[1] + off[2] - off[3] + off[4] - off[5]) / 6.0;
        let inked = |n: usize| if n.is_multiple_of(2) { off[n] - ink } else { off[n] + ink };
        let rest = (0..6).map(|n| inked(n) * inked(n)).sum::<f64>();
        pairs + 0.5 * rest + 0.3 * ink * ink
    };
    let (mut best, mut second) = ((f64::MAX, 0), f64::MAX);
    for (at, pattern) in patterns.iter().enumerate() {
        let far = far(pattern);
        if far < best.0 {
            (best, second) = ((far, at), best.0);
        } else if far < second {
            second = far;
        }
    }
    (best.0 < FAR && second - best.0 > 0.15).then_some(best.1)
}
