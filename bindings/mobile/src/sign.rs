//! The verdicts and their signs, after ISO 3864-1.

use hosewright_core::inspection;
use hosewright_core::set_picture::colour;
use hosewright_core::words;

use crate::Words;

/// What may be done with a hose, from best to worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, uniffi::Enum)]
pub enum Verdict {
    /// Nothing known against it.
    Ready,
    /// Usable; something to compare next time.
    Watch,
    /// Not to be dived until it is put right.
    Hold,
    /// Never again.
    Retire,
}

impl From<inspection::Verdict> for Verdict {
    fn from(verdict: inspection::Verdict) -> Self {
        match verdict {
            inspection::Verdict::Ready => Self::Ready,
            inspection::Verdict::Watch => Self::Watch,
            inspection::Verdict::Hold => Self::Hold,
            inspection::Verdict::Retire => Self::Retire,
        }
    }
}

impl From<Verdict> for inspection::Verdict {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Ready => Self::Ready,
            Verdict::Watch => Self::Watch,
            Verdict::Hold => Self::Hold,
            Verdict::Retire => Self::Retire,
        }
    }
}

/// The shape of a verdict's sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum Shape {
    /// Safe condition: a square.
    Square,
    /// Warning: a triangle.
    Triangle,
    /// Mandatory action: a disc.
    Disc,
    /// Prohibition: a ring with a bar.
    RingWithBar,
}

/// How a verdict is shown: a word, a shape and a colour together, never the
/// colour alone.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Sign {
    /// The verdict.
    pub verdict: Verdict,
    /// Its word.
    pub word: Words,
    /// What it means, in one line.
    pub meaning: Words,
    /// Its shape.
    pub shape: Shape,
    /// Its safety colour, as 0xRRGGBB.
    pub colour: u32,
    /// The standard's contrast colour for what is on it, as 0xRRGGBB.
    pub contrast: u32,
}

/// The signs of all verdicts, from best to worst.
#[uniffi::export]
#[must_use]
pub fn verdict_signs() -> Vec<Sign> {
    inspection::Verdict::ALL.iter().map(|verdict| sign(*verdict)).collect()
}

fn sign(verdict: inspection::Verdict) -> Sign {
    let (shape, contrast) = match verdict {
        inspection::Verdict::Ready => (Shape::Square, 0x00FF_FFFF),
        // Black is the contrast colour of yellow alone (ISO 3864-1).
        inspection::Verdict::Watch => (Shape::Triangle, 0),
        inspection::Verdict::Hold => (Shape::Disc, 0x00FF_FFFF),
        inspection::Verdict::Retire => (Shape::RingWithBar, 0x00FF_FFFF),
    };
    Sign {
        verdict: verdict.into(),
        word: verdict.word().into(),
        meaning: words::verdict(verdict).into(),
        shape,
        colour: rgb(colour(verdict)),
        contrast,
    }
}

/// A colour that is written as `#RRGGBB`.
pub(crate) fn rgb(colour: &str) -> u32 {
    u32::from_str_radix(colour.trim_start_matches('#'), 16).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_verdict_has_a_sign_of_its_own() {
        let signs = verdict_signs();
        let colours: Vec<u32> = signs.iter().map(|sign| sign.colour).collect();
        assert_eq!(colours, [0x0023_7F52, 0x00F9_A900, 0x0000_5387, 0x009B_2423]);
        let shapes: Vec<Shape> = signs.iter().map(|sign| sign.shape).collect();
        assert_eq!(shapes, [Shape::Square, Shape::Triangle, Shape::Disc, Shape::RingWithBar]);
    }
}
