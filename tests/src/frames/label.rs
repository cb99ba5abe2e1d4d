//! A printed label: the symbol, its quiet zone, a strip of letters, and what
//! wear has done to it.

use hosewright_core::tag::photo::Chance;
use qrcode::{Color, EcLevel, QrCode, Version};

/// A label in modules from the symbol's middle, u to the right and v down.
pub struct Label {
    modules: Vec<bool>,
    /// Modules a side.
    pub side: usize,
    /// Half of the label's width, and how far it reaches up and down.
    pub half: f64,
    pub up: f64,
    pub down: f64,
    pub ink: f64,
    pub paper: f64,
    pub inverted: bool,
    marks: Vec<Mark>,
    letters: Vec<bool>,
}

/// A scratch or a scuff: a capsule from one place to another, lighter or darker.
struct Mark {
    from: (f64, f64),
    to: (f64, f64),
    radius: f64,
    /// The part of the old grey that is left, and the grey that comes.
    left: f64,
    grey: f64,
}

/// What of a label is chosen.
pub struct Print {
    pub version: i16,
    pub level: EcLevel,
    pub text: String,
    pub ink: f64,
    pub paper: f64,
    pub inverted: bool,
    pub wear: f64,
    pub letters: bool,
}

impl Label {
    pub fn of(print: &Print, chance: &mut Chance) -> Option<Self> {
        let version = Version::Normal(print.version);
        let code = QrCode::with_version(print.text.as_bytes(), version, print.level).ok()?;
        let side = code.width();
        let half = side as f64 / 2.0 + chance.between(4.0, 5.0);
        let modules = code.to_colors().into_iter().map(|c| c == Color::Dark).collect();
        let down = if print.letters { half + 5.0 } else { half };
        let mut label = Self {
            modules,
            side,
            half,
            up: half,
            down,
            ink: print.ink,
            paper: print.paper,
            inverted: print.inverted,
            marks: Vec::new(),
            letters: (0..400).map(|_| chance.between(0.0, 1.0) < 0.5).collect(),
        };
        label.wear(print.wear, chance);
        Some(label)
    }

    fn wear(&mut self, amount: f64, chance: &mut Chance) {
        let half = self.half;
        let scratches = (amount * 9.0 + chance.between(0.0, 1.0)) as usize;
        let place =
            |chance: &mut Chance| (chance.between(-half, half), chance.between(-half, half));
        for _ in 0..scratches * usize::from(amount > 0.0) {
            let from = place(chance);
            let angle = chance.between(0.0, std::f64::consts::TAU);
            let long = chance.between(0.3, 1.6) * half;
            let to = (from.0 + long * angle.cos(), from.1 + long * angle.sin());
            let light = chance.between(0.0, 1.0) < 0.7;
            let grey = if light { chance.between(0.7, 1.0) } else { chance.between(0.05, 0.4) };
            let radius = chance.between(0.12, 0.25 + 0.3 * amount);
            self.marks.push(Mark { from, to, radius, left: chance.between(0.0, 0.3), grey });
        }
        let scuffs = (amount * 4.0) as usize;
        for _ in 0..scuffs {
            let from = place(chance);
            let to = (from.0 + chance.between(-1.5, 1.5), from.1 + chance.between(-1.5, 1.5));
            let radius = chance.between(0.4, 0.8 + 1.0 * amount);
            let light = chance.between(0.0, 1.0) < 0.75;
            let grey = if light { chance.between(0.6, 0.95) } else { chance.between(0.1, 0.35) };
            self.marks.push(Mark { from, to, radius, left: chance.between(0.1, 0.5), grey });
        }
    }

    /// How much light a place gives back, 0 to 1; `None` beside the label.
    pub fn albedo(&self, u: f64, v: f64) -> Option<f64> {
        if u.abs() > self.half || v < -self.up || v > self.down {
            return None;
        }
        let dark = self.is_dark(u, v) != self.inverted;
        let mut grey = if dark { self.ink } else { self.paper };
        for mark in &self.marks {
            if mark.covers(u, v) {
                grey = mark.left * grey + (1.0 - mark.left) * mark.grey * self.paper;
            }
        }
        Some(grey)
    }

    fn is_dark(&self, u: f64, v: f64) -> bool {
        let n = self.side as f64;
        let (x, y) = (u + n / 2.0, v + n / 2.0);
        if x >= 0.0 && y >= 0.0 && x < n && y < n {
            return self.modules[y as usize * self.side + x as usize];
        }
        // Letters, about three modules high, under the quiet zone.
        let line = v - self.up;
        if line > 0.5 && line < 3.5 && u.abs() < self.half - 1.0 {
            let (column, row) = (((u + self.half) / 0.6) as usize, ((line - 0.5) / 0.6) as usize);
            return column % 4 != 3 && self.letters[(column * 5 + row) % self.letters.len()];
        }
        false
    }
}

impl Mark {
    fn covers(&self, u: f64, v: f64) -> bool {
        let (du, dv) = (self.to.0 - self.from.0, self.to.1 - self.from.1);
        let (pu, pv) = (u - self.from.0, v - self.from.1);
        let along = ((pu * du + pv * dv) / (du * du + dv * dv).max(1e-9)).clamp(0.0, 1.0);
        (pu - along * du).hypot(pv - along * dv) < self.radius
    }
}
