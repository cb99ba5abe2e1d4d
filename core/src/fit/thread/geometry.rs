//! Unified inch threads by the formulas of ASME B1.1, classes 2A and 2B.

use uom::si::f64::Length;
use uom::si::length::inch;

use crate::measure::MeasureError;

/// From the least to the most that a good part measures, both included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// The least.
    pub least: Length,
    /// The most.
    pub most: Length,
}

impl Limits {
    /// How far `measured` lies outside; nothing if it lies inside.
    #[must_use]
    pub fn distance(self, measured: Length) -> Length {
        let none = Length::new::<inch>(0.0);
        (self.least - measured).max(measured - self.most).max(none)
    }

    fn inches(least: f64, most: f64) -> Self {
        Self { least: Length::new::<inch>(least), most: Length::new::<inch>(most) }
    }
}

/// The rule by which ASME B1.1 takes the length of engagement that the pitch
/// diameter's tolerance is reckoned from (from memory; confirmed by twelve
/// printed rows of its table).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Series {
    /// UNC, UNF, 4-UN, 6-UN and 8-UN: the engagement is the diameter.
    Graded,
    /// Every other UN series, UNEF and UNS: the engagement is nine pitches.
    Constant,
}

/// A unified inch thread: a nominal diameter of 0.05 to 6 in and 4 to 80
/// threads per inch, which is what ASME B1.1 covers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnifiedThread {
    /// Nominal diameter, inches.
    diameter: f64,
    per_inch: u32,
    series: Series,
}

/// Class 2A, the outside thread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct External {
    /// How far the largest good male stays under the nominal size.
    pub allowance: Length,
    /// The crests: what a caliper measures over a male thread.
    pub major: Limits,
    /// The pitch diameter.
    pub pitch: Limits,
}

/// Class 2B, the inside thread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Internal {
    /// The bore: what a caliper measures inside a female thread.
    pub minor: Limits,
    /// The pitch diameter.
    pub pitch: Limits,
}

impl UnifiedThread {
    /// A thread of that nominal diameter and number of threads per inch.
    ///
    /// # Errors
    /// [`MeasureError::OutOfRange`] if ASME B1.1 has no such thread.
    pub fn new(
        diameter: Length,
        threads_per_inch: u32,
        series: Series,
    ) -> Result<Self, MeasureError> {
        let inches = diameter.get::<inch>();
        if !(0.05..=6.0).contains(&inches) {
            return Err(out_of_range(format!("{inches} in"), "thread diameter", "0.05 in", "6 in"));
        }
        if !(4..=80).contains(&threads_per_inch) {
            let typed = format!("{threads_per_inch} threads per inch");
            return Err(out_of_range(typed, "thread", "4 threads per inch", "80"));
        }
        Ok(Self::known(inches, threads_per_inch, series))
    }

    /// A thread of our own table, in inches.
    pub(super) const fn known(diameter: f64, per_inch: u32, series: Series) -> Self {
        Self { diameter, per_inch, series }
    }

    fn pitch_in(self) -> f64 {
        1.0 / f64::from(self.per_inch)
    }

    /// The pitch, P = 1/n.
    #[must_use]
    pub fn pitch(self) -> Length {
        Length::new::<inch>(self.pitch_in())
    }

    fn pitch_diameter_in(self) -> f64 {
        self.diameter - 0.649_519_1 * self.pitch_in()
    }

    /// The basic pitch diameter, D − 0.6495191 P.
    #[must_use]
    pub fn pitch_diameter(self) -> Length {
        Length::new::<inch>(self.pitch_diameter_in())
    }

    fn minor_diameter_in(self) -> f64 {
        self.diameter - 1.082_531_8 * self.pitch_in()
    }

    /// The basic minor diameter of the inside thread, D1 = D − 1.0825318 P; the
    /// outside thread's root is another diameter, which no caliper reaches.
    #[must_use]
    pub fn minor_diameter(self) -> Length {
        Length::new::<inch>(self.minor_diameter_in())
    }

    /// Class 2A tolerance of the pitch diameter:
    /// 0.0015 D^(1/3) + 0.0015 √LE + 0.015 P^(2/3).
    fn pitch_tolerance_in(self) -> f64 {
        let engagement = match self.series {
            Series::Graded => self.diameter,
            Series::Constant => 9.0 * self.pitch_in(),
        };
        0.0015 * self.diameter.cbrt()
            + 0.0015 * engagement.sqrt()
            + 0.015 * two_thirds(self.pitch_in())
    }

    /// Class 2B tolerance of the minor diameter: 0.25 P − 0.40 P² from 1/4 in
    /// up; below it 0.05 P^(2/3) + 0.03 P/D − 0.002, and at most 0.394 P.
    fn minor_tolerance_in(self) -> f64 {
        let pitch = self.pitch_in();
        if self.diameter >= 0.25 {
            return 0.25 * pitch - 0.40 * pitch * pitch;
        }
        let small = 0.05 * two_thirds(pitch) + 0.03 * pitch / self.diameter - 0.002;
        small.min(0.394 * pitch)
    }

    /// The limits of class 2A (ASME B1.1): allowance 0.300 Td2, tolerance of
    /// the major diameter 0.060 P^(2/3). Nothing is rounded on the way.
    #[must_use]
    pub fn external(self) -> External {
        let tolerance = self.pitch_tolerance_in();
        let allowance = 0.300 * tolerance;
        let major = self.diameter - allowance;
        let pitch = self.pitch_diameter_in() - allowance;
        External {
            allowance: Length::new::<inch>(allowance),
            major: Limits::inches(major - 0.060 * two_thirds(self.pitch_in()), major),
            pitch: Limits::inches(pitch - tolerance, pitch),
        }
    }

    /// The limits of class 2B (ASME B1.1): tolerance of the pitch diameter
    /// 1.30 Td2. Nothing is rounded on the way.
    #[must_use]
    pub fn internal(self) -> Internal {
        let minor = self.minor_diameter_in();
        let pitch = self.pitch_diameter_in();
        Internal {
            minor: Limits::inches(minor, minor + self.minor_tolerance_in()),
            pitch: Limits::inches(pitch, pitch + 1.30 * self.pitch_tolerance_in()),
        }
    }
}

fn two_thirds(pitch: f64) -> f64 {
    pitch.powf(2.0 / 3.0)
}

fn out_of_range(
    typed: String,
    what: &'static str,
    least: &'static str,
    most: &'static str,
) -> MeasureError {
    MeasureError::OutOfRange { typed, what, least, most }
}
