//! Makers' own barcodes: lines across the picture, what each seems to say, and
//! what enough of them agree on.

mod code128;
mod code39;
mod digits;
mod ean;
mod itf;
mod kind;
mod line;
mod shapes;
mod tiles;
mod votes;
mod widths;

use self::kind::{Kind, Sense};
use self::line::{Line, Ray};
use self::tiles::Tiles;
use self::votes::{Place, Votes};
use self::widths::Widths;
use super::frame::Found;
use super::numbers::real;
use super::view::View;

type Read = fn(&Widths<'_>, usize) -> Option<(String, usize)>;

const READERS: [(Kind, Read); 5] = [
    (Kind::Code128, code128::read),
    (Kind::Code93, code39::read_93),
    (Kind::Code39, code39::read_39),
    (Kind::Itf, itf::read_itf),
    (Kind::Codabar, itf::read_codabar),
];

/// Lines with fewer edges have no barcode.
const FEWEST: usize = 28;
/// About so many lines go each way if there is something on them.
const LINES: usize = 100;
/// One of so many is looked at first.
const COARSE: usize = 3;

/// The barcodes in a view.
pub fn barcodes(view: &View<'_>) -> Vec<Found> {
    let mut line = Line::default();
    let mut votes = Votes::default();
    let mut found = votes::Readings::default();
    let tiles = Tiles::of(view);
    let step = (view.width.min(view.height) / LINES).max(1);
    for way in [0, 1] {
        let heard: Vec<u8> = lines(view, way, step)
            .step_by(COARSE)
            .map(|at| look(view, &tiles, &mut line, (way, at), ALL, &mut votes))
            .collect();
        // All lines only where those did not do.
        if !found.add(std::mem::take(&mut votes)) && heard.iter().any(|senses| *senses != 0) {
            for (number, at) in lines(view, way, step).enumerate() {
                let near =
                    (number / COARSE).saturating_sub(1)..(number / COARSE + 3).min(heard.len());
                let senses = heard.get(near).unwrap_or_default().iter().fold(0, |all, s| all | s);
                look(view, &tiles, &mut line, (way, at), senses, &mut votes);
            }
            found.add(std::mem::take(&mut votes));
        }
    }
    found.found()
}

/// Which rows are looked at, or which columns.
fn lines(view: &View<'_>, way: usize, step: usize) -> impl Iterator<Item = usize> {
    let across = if way == 0 { view.height } else { view.width };
    (step / 2..across).step_by(step)
}

/// The part of a row or column between two pixels.
fn ray(view: &View<'_>, (way, at): (usize, usize), (from, to): (usize, usize)) -> Ray {
    let length = if way == 0 { view.width } else { view.height };
    // Pictures' rims are often spoilt.
    let (from, to) = (from.max(1), to.min(length.saturating_sub(1)));
    let (start, along) = if way == 0 {
        ((real(from), real(at)), (1.0, 0.0))
    } else {
        ((real(at), real(from)), (0.0, 1.0))
    };
    Ray { from: start, along, length: to.saturating_sub(from) }
}

/// A bit for each sense in which a line can be looked at.
const ALL: u8 = 0b1111;

/// Looks at a row or column where bars may lie, in some senses, by two kinds of edges; in which
/// of them it seems to say something.
fn look(
    view: &View<'_>,
    tiles: &Tiles,
    line: &mut Line,
    (way, at): (usize, usize),
    senses: u8,
    votes: &mut Votes,
) -> u8 {
    if senses == 0 {
        return 0;
    }
    let parts = tiles.parts(way, at);
    let mut heard = 0;
    for part in parts {
        let ray = (&ray(view, (way, at), part), way);
        line.fill(view, ray.0);
        if line.edges.len() < FEWEST {
            continue;
        }
        heard |= look_all_ways(line, ray, senses, votes);
        if line.find_plain_edges() && line.edges.len() >= FEWEST {
            heard |= look_all_ways(line, ray, senses, votes);
        }
    }
    heard
}

fn look_all_ways(line: &mut Line, (ray, way): (&Ray, usize), senses: u8, votes: &mut Votes) -> u8 {
    let mut heard = 0;
    for light in [false, true] {
        for turned in [false, true] {
            let bit = 1 << (2 * u8::from(light) + u8::from(turned));
            if senses & bit != 0 {
                look_along(line, ray, Sense { way, turned, light }, votes);
                heard |= if votes.heard() { bit } else { 0 };
            }
            line.turn();
        }
        line.invert();
    }
    heard
}

fn look_along(line: &Line, ray: &Ray, sense: Sense, votes: &mut Votes) {
    let last = real(line.length().saturating_sub(1));
    let place = |start: f64, end: f64| {
        let (start, end) = if sense.turned { (last - end, last - start) } else { (start, end) };
        let ends = [ray.at(start), ray.at(end)];
        let (across, first) = if sense.way == 0 { (ray.from.1, ray.from.0) } else { ray.from };
        Place { sense, across, start: first + start, end: first + end, ends }
    };
    ean::sightings(line, |seen| votes.add_digits(&seen, place(seen.start, seen.end)));
    let first = usize::from(!line.begins_dark);
    let widths = Widths::new(line.edges.get(first..).unwrap_or_default());
    for start in (0..widths.count()).step_by(2).filter(|start| widths.may_begin(*start)) {
        for (kind, read) in READERS {
            if let Some((text, count)) = read(&widths, start) {
                let place = place(widths.begin(start), widths.begin(start + count));
                votes.add_text(kind, place, text);
            }
        }
    }
}
