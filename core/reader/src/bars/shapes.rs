//! How the digits of EAN and UPC look (ISO/IEC 15420, 4.3.2): two bars and two
//! spaces in seven modules, for many blurs and inks.

use std::sync::LazyLock;

use crate::numbers::{real, short};

/// Widths of set A from the left space on; set C has the colours changed, set B
/// is set C walked from its end.
const SET_A: [[u8; 4]; 10] = [
    [3, 2, 1, 1],
    [2, 2, 2, 1],
    [2, 1, 2, 2],
    [1, 4, 1, 1],
    [1, 1, 3, 2],
    [1, 2, 3, 1],
    [1, 1, 1, 4],
    [1, 3, 1, 2],
    [1, 2, 1, 3],
    [3, 1, 1, 2],
];

/// Samples of a digit.
pub const SAMPLES: usize = 28;
/// A digit's samples, their mean taken away, of length 1; light is up.
pub type Shape = [f32; SAMPLES];
/// Sets A and B, a digit each.
pub const SHAPES: usize = 20;

const BLURS: [f64; 4] = [0.25, 0.5, 0.8, 1.15];
/// How much wider than printed a bar is, in modules.
const INKS: [f64; 3] = [-0.35, 0.0, 0.35];

/// A blur and an ink: the shapes of sets A and B, and those of C (times -1).
pub struct Look {
    pub left: [Shape; SHAPES],
    pub right: [Shape; SHAPES],
}

/// The look of middle blur and even ink.
pub const PLAIN: usize = 4;

pub static LOOKS: LazyLock<Vec<Look>> = LazyLock::new(|| {
    let of = |blur: f64, ink: f64| -> [Shape; SHAPES] {
        std::array::from_fn(|at| shape(&widths(at), blur, ink))
    };
    let looks = BLURS.iter().flat_map(|blur| INKS.iter().map(move |ink| (*blur, *ink)));
    looks.map(|(blur, ink)| Look { left: of(blur, ink), right: of(blur, -ink) }).collect()
});

fn widths(at: usize) -> [u8; 4] {
    let mut widths = SET_A[at % 10];
    if at >= 10 {
        widths.reverse();
    }
    widths
}

/// Where a sample lies, in modules from the digit's beginning.
pub fn place(sample: usize) -> f64 {
    (real(sample) + 0.5) * 7.0 / real(SAMPLES)
}

fn shape(widths: &[u8; 4], blur: f64, ink: f64) -> Shape {
    // Edges to light and dark by turns: dark is before, light behind.
    let mut edges = [0.0; 5];
    for at in 0..4 {
        edges[at + 1] = edges[at] + f64::from(widths[at]);
    }
    for (at, edge) in edges.iter_mut().enumerate() {
        *edge += if at % 2 == 0 { ink / 2.0 } else { -ink / 2.0 };
    }
    let light = |u: f64| {
        let turned = edges.iter().enumerate().map(|(at, edge)| {
            // The logistic curve that is nearest to a normal blur.
            let passed = 1.0 / (1.0 + (-1.702 * (u - edge) / blur).exp());
            if at % 2 == 0 { passed } else { -passed }
        });
        turned.sum::<f64>()
    };
    let mut shape = std::array::from_fn(|sample| short(light(place(sample))));
    normalise(&mut shape);
    shape
}

/// Takes the mean away and makes the length 1.
pub fn normalise(shape: &mut Shape) {
    let mean = shape.iter().sum::<f32>() / short(real(SAMPLES));
    shape.iter_mut().for_each(|v| *v -= mean);
    let length = shape.iter().map(|v| v * v).sum::<f32>().sqrt();
    shape.iter_mut().for_each(|v| *v /= length.max(1e-3));
}

/// The correlation of two shapes, by four sums at once.
pub fn likeness(a: &Shape, b: &Shape) -> f32 {
    let mut sums = [0.0; 4];
    for (a, b) in a.as_chunks::<4>().0.iter().zip(b.as_chunks::<4>().0) {
        sums.iter_mut().zip(a.iter().zip(b)).for_each(|(sum, (a, b))| *sum += a * b);
    }
    sums.iter().sum()
}
