//! Many caliper readings of known threads: the right one must come first, and
//! a wrong one must never be named with certainty.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use uom::si::f64::Length;
use uom::si::length::millimeter;

use super::{Gender, KnownThread, Pitch, Reading, catalogue, identify};

/// What a run over one thread counted.
#[derive(Default)]
struct Tally {
    right_first: u32,
    right_and_certain: u32,
    certain_but_wrong: u32,
    mistaken_for: Vec<(&'static str, u32)>,
}

/// From `-most` to `most`, evenly.
fn noise(rng: &mut ChaCha8Rng, most: f64) -> f64 {
    (f64::from(rng.next_u32()) / f64::from(u32::MAX) * 2.0 - 1.0) * most
}

/// A part made anywhere within its limits, measured with a caliper that is
/// good to 0.05 mm; the pitch over five threads with the same caliper, good to
/// 0.02 mm a thread.
fn reading(
    rng: &mut ChaCha8Rng,
    thread: &KnownThread,
    gender: Gender,
    pitch: bool,
) -> Option<Reading> {
    let limits = gender.limits(thread);
    let middle = (limits.least + limits.most) / 2.0;
    let half = (limits.most - limits.least).get::<millimeter>() / 2.0;
    let off = noise(rng, half) + noise(rng, 0.05);
    let measured = thread.pitch + Length::new::<millimeter>(noise(rng, 0.02));
    let pitch = if pitch { Some(Pitch::new(measured).ok()?) } else { None };
    Reading::new(gender, middle + Length::new::<millimeter>(off), pitch).ok()
}

fn run(thread: &KnownThread, gender: Gender, pitch: bool, times: u32) -> Tally {
    let mut rng = ChaCha8Rng::seed_from_u64(2026);
    let mut tally = Tally::default();
    for _ in 0..times {
        let Some(reading) = reading(&mut rng, thread, gender, pitch) else { continue };
        let answer = identify(&reading);
        let Some(first) = answer.candidates.first() else { continue };
        if first.thread == thread.name {
            tally.right_first += 1;
            tally.right_and_certain += u32::from(answer.certain);
            continue;
        }
        tally.certain_but_wrong += u32::from(answer.certain);
        match tally.mistaken_for.iter_mut().find(|(name, _)| *name == first.thread) {
            Some((_, times)) => *times += 1,
            None => tally.mistaken_for.push((first.thread, 1)),
        }
    }
    tally
}

fn print(thread: &KnownThread, gender: Gender, pitch: bool, times: u32, tally: &Tally) {
    println!(
        "{:9} {gender:?}, {} pitch: first {}, first and certain {}, certain but wrong {} of {times}; taken for {:?}",
        thread.name,
        if pitch { "with" } else { "without" },
        tally.right_first,
        tally.right_and_certain,
        tally.certain_but_wrong,
        tally.mistaken_for,
    );
}

#[test]
fn the_trades_threads_come_first_with_a_pitch() {
    for thread in catalogue().iter().filter(|t| t.trade.is_some()) {
        for gender in [Gender::Male, Gender::Female] {
            let tally = run(thread, gender, true, 10_000);
            print(thread, gender, true, 10_000, &tally);
            assert!(tally.right_first >= 9_900, "{} {gender:?}", thread.name);
            assert_eq!(tally.certain_but_wrong, 0, "{} {gender:?}", thread.name);
            assert!(tally.right_and_certain > 9_000, "{} {gender:?}", thread.name);
        }
    }
}

#[test]
fn no_thread_is_taken_for_another_with_certainty() {
    for thread in &catalogue() {
        let times = if thread.trade.is_some() { 10_000 } else { 1_000 };
        for gender in [Gender::Male, Gender::Female] {
            for pitch in [false, true] {
                let tally = run(thread, gender, pitch, times);
                print(thread, gender, pitch, times, &tally);
                let counted: u32 = tally.mistaken_for.iter().map(|(_, n)| n).sum();
                assert_eq!(tally.right_first + counted, times, "{} {gender:?}", thread.name);
                assert_eq!(tally.certain_but_wrong, 0, "{} {gender:?}", thread.name);
            }
        }
    }
}
