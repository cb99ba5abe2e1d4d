//! What lines say, put together.

use super::digits::likeliest;
use super::ean::{self, Fit, Shapes, Sighting, Table};
use super::kind::{Kind, Sense};
use crate::frame::Found;
use crate::numbers::{real, short};

/// Where a line says something.
#[derive(Clone, Copy)]
pub struct Place {
    pub sense: Sense,
    /// Which of its parallels the line is.
    pub across: f64,
    pub start: f64,
    pub end: f64,
    pub ends: [(f64, f64); 2],
}

impl Place {
    /// Whether another line may cross the same bars.
    fn meets(&self, other: &Self) -> bool {
        let long = (self.end - self.start).max(other.end - other.start);
        let near = |a: f64, b: f64| (a - b).abs() < 0.12 * long;
        self.sense == other.sense
            && (self.across - other.across).abs() < 0.25 * long
            && near(self.start, other.start)
            && near(self.end, other.end)
    }
}

impl Place {
    /// How far another line's ends are from those that go on with this one's,
    /// in modules or so; none if they do not.
    fn distance(&self, next: &Self) -> Option<f64> {
        let apart = next.across - self.across;
        let long = self.end - self.start;
        let (start, end) = (next.start - self.start, next.end - self.end);
        // Bars may lean, and all by about as much.
        let room = 0.015 * long + 0.6 * apart;
        let far = (start - end).abs();
        let near = start.abs().max(end.abs()) < room && far < 0.015 * long + 0.15 * apart;
        (self.sense == next.sense && apart > 0.0 && apart < 0.25 * long && near)
            .then_some(far + 0.2 * (start + end).abs())
    }
}

/// What some lines across the same bars say.
struct Group {
    said: Said,
    places: Vec<Place>,
}

impl Group {
    /// Whether the last line is this, and says the same by other edges.
    fn is_of(&self, place: &Place) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() < 1.0;
        self.places.last().is_some_and(|last| {
            let same = last.sense == place.sense && near(last.across, place.across);
            same && near(last.start, place.start) && near(last.end, place.end)
        })
    }
}

enum Said {
    Text(Kind, String),
    Digits(Box<Digits>),
}

/// Digits as some lines show them. Lines next to each other are put together
/// first, as one line less noisy.
struct Digits {
    kind: ean::Kind,
    fit: Fit,
    table: Table,
    shapes: Shapes,
    /// How many lines the shapes are of.
    waiting: usize,
}

/// How many lines are put together.
const TOGETHER: usize = 6;

impl Digits {
    fn add(&mut self, shapes: &Shapes) {
        for (sum, shape) in self.shapes.iter_mut().zip(shapes) {
            sum.iter_mut().zip(shape).for_each(|(sum, v)| *sum += v);
        }
        self.waiting += 1;
        if self.waiting == TOGETHER {
            self.weigh();
        }
    }

    fn weigh(&mut self) {
        let lines = short(real(std::mem::take(&mut self.waiting)));
        let table = ean::table(self.kind, &self.shapes);
        for (sum, row) in self.table.iter_mut().zip(&table) {
            sum.iter_mut().zip(row).for_each(|(sum, score)| *sum += lines * score);
        }
        self.shapes = Shapes::default();
    }
}

#[derive(Default)]
pub struct Votes {
    groups: Vec<Group>,
    /// Whether anything was said since this was last asked.
    heard: bool,
}

/// What is read, and the lines that say so.
struct Reading {
    text: String,
    places: Vec<Place>,
}

impl Votes {
    /// Whether anything was said since this was last asked.
    pub fn heard(&mut self) -> bool {
        std::mem::take(&mut self.heard)
    }

    pub fn add_text(&mut self, kind: Kind, place: Place, text: String) {
        self.heard = true;
        let same = |group: &&mut Group| {
            matches!(&group.said, Said::Text(k, t) if *k == kind && *t == text)
                && group.places.last().is_some_and(|last| last.meets(&place))
        };
        match self.groups.iter_mut().find(same) {
            Some(group) if group.is_of(&place) => {}
            Some(group) => group.places.push(place),
            None => self.groups.push(Group { said: Said::Text(kind, text), places: vec![place] }),
        }
    }

    pub fn add_digits(&mut self, seen: &Sighting, place: Place) {
        let same = |group: &Group| {
            let Said::Digits(digits) = &group.said else { return false };
            digits.kind == seen.kind && digits.fit == seen.fit
        };
        if self.groups.iter().any(|group| same(group) && group.is_of(&place)) {
            return;
        }
        let mut best: Option<(f64, &mut Group)> = None;
        for group in &mut self.groups {
            let last = group.places.last().filter(|_| same(group));
            let Some(far) = last.and_then(|last| last.distance(&place)) else { continue };
            if best.as_ref().is_none_or(|best| far < best.0) {
                best = Some((far, group));
            }
        }
        // Guards alone are seen in many patterns; again on the next line, in few.
        self.heard |= seen.fit != Fit::Guards || best.is_some();
        if let Some((_, group)) = best {
            if let Said::Digits(digits) = &mut group.said {
                digits.add(&seen.shapes);
            }
            group.places.push(place);
        } else {
            let digits = Digits {
                kind: seen.kind,
                fit: seen.fit,
                table: Table::default(),
                shapes: seen.shapes,
                waiting: 1,
            };
            self.groups.push(Group { said: Said::Digits(Box::new(digits)), places: vec![place] });
        }
    }
}

/// What was read, one text a place.
#[derive(Default)]
pub struct Readings {
    all: Vec<Reading>,
}

impl Readings {
    /// Adds what enough lines agree on; whether that is anything.
    pub fn add(&mut self, votes: Votes) -> bool {
        let before = self.all.len();
        self.all.extend(votes.groups.into_iter().filter_map(reading));
        self.all.len() > before
    }

    pub fn found(mut self) -> Vec<Found> {
        self.all.sort_by(|a, b| b.weight().total_cmp(&a.weight()));
        let mut kept: Vec<Reading> = Vec::new();
        for reading in self.all {
            if !kept.iter().any(|k| k.covers(&reading)) {
                kept.push(reading);
            }
        }
        kept.into_iter().map(Reading::found).collect()
    }
}

fn reading(group: Group) -> Option<Reading> {
    let lines = group.places.len();
    match group.said {
        Said::Text(kind, text) => {
            let least = match kind {
                Kind::Code128 | Kind::Code93 => 2,
                Kind::Code39 | Kind::Itf | Kind::Codabar => 3,
            };
            (lines >= least).then_some(Reading { text, places: group.places })
        }
        Said::Digits(digits) => {
            digits.text(lines).map(|text| Reading { text, places: group.places })
        }
    }
}

impl Digits {
    /// The text, if it is clearly likelier than any other: how much each digit
    /// must look like one on every line, by how much the text must lead on every
    /// line, and by how much in all, was found with real pictures. Fewer digits
    /// must be surer.
    fn text(mut self: Box<Self>, lines: usize) -> Option<String> {
        let (count, least, lead, in_all): (f32, f32, f32, f32) = match self.kind {
            ean::Kind::Ean13 => (12.0, 1.2, 0.7, 5.0),
            ean::Kind::Ean8 => (8.0, 1.6, 1.2, 6.0),
            ean::Kind::UpcE => (6.0, 2.0, 1.2, 8.0),
        };
        if lines < 2 {
            return None;
        }
        if self.waiting > 0 {
            self.weigh();
        }
        let lines = short(real(lines));
        let row = |row: &[f32; 20]| row.iter().copied().fold(0.0, f32::max);
        let most: f32 = self.table.iter().map(row).sum();
        if most < least * count * lines {
            return None;
        }
        let best = likeliest(self.kind, &self.table)?;
        let sure = best.score >= least * count * lines && best.lead >= in_all.max(lead * lines);
        sure.then_some(best.text)
    }
}

impl Reading {
    /// Longer symbols hide what lies within them.
    fn weight(&self) -> f64 {
        let long = self.places.iter().map(|p| p.end - p.start).fold(0.0, f64::max);
        long * (1.0 + 0.01 * real(self.places.len().min(20)))
    }

    /// The smallest and the largest x and y.
    fn bounds(&self) -> [(f64, f64); 2] {
        let ends = || self.places.iter().flat_map(|p| p.ends);
        let least = ends().fold((f64::MAX, f64::MAX), |m, p| (m.0.min(p.0), m.1.min(p.1)));
        let most = ends().fold((f64::MIN, f64::MIN), |m, p| (m.0.max(p.0), m.1.max(p.1)));
        [least, most]
    }

    /// Whether another lies among the same bars.
    fn covers(&self, other: &Self) -> bool {
        let [a, b] = self.bounds();
        let [c, d] = other.bounds();
        let share = |a: f64, b: f64, c: f64, d: f64| {
            let common = b.min(d) - a.max(c) + 1.0;
            common / ((d - c).min(b - a) + 1.0)
        };
        share(a.0, b.0, c.0, d.0) > 0.3 && share(a.1, b.1, c.1, d.1) > 0.3
    }

    fn found(self) -> Found {
        let middle = self.places.get(self.places.len() / 2);
        let corners = middle.map(|p| p.ends.map(|(x, y)| (short(x), short(y))).to_vec());
        let bytes = self.text.clone().into_bytes();
        Found { text: self.text, bytes, corners: corners.unwrap_or_default() }
    }
}
