//! A large invented fleet for benchmarks: lines of a journal, made from a number.

#![allow(dead_code, reason = "each benchmark needs a part of it")]

use std::io::Cursor;
use std::path::{Path, PathBuf};

use chrono::{Days, NaiveDate, NaiveTime};
use hosewright_core::Logbook;
use hosewright_core::device::{DeviceKey, FolderKeyring};
use hosewright_core::hose::Label;
use hosewright_core::journal::{Moment, Stamp, entry_of_line, line_of_entry};
use hosewright_core::tag::Code;
use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;
use rusqlite::Connection;

/// Hoses in one part of the making: memory stays flat in the size of the fleet.
const PART: u64 = 500;
/// Looks at each hose besides what registers, fits and tests it: with these a hose has
/// about twenty entries.
const LOOKS: u64 = 17;
/// From so many hoses on they have five entries each: two looks.
const MANY_HOSES: u64 = 1_000_000;
const FEW_LOOKS: u64 = 2;

/// When the signed fleet was written up: 10 June 2026, in milliseconds.
const WRITTEN_UP_MS: i64 = 1_781_049_600_000;

/// The day on which the fleet is asked about.
pub fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 6, 15).unwrap_or_default()
}

/// Now, for the fleet.
pub fn moment() -> Option<Moment> {
    let time = today().and_time(NaiveTime::MIN).and_utc();
    Some(Moment { today: today(), time, by: Label::new("a name", "bench").ok()? })
}

/// The hose of a number.
pub fn code(number: u64) -> Option<Code> {
    // Spread over the whole range, as drawn codes are.
    let spread = number.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 4;
    (spread & !63..).find_map(Code::from_bits)
}

/// Keys for the benchmarks' devices.
pub fn keys() -> Box<FolderKeyring> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/bench-fleets/keys");
    Box::new(FolderKeyring::new(folder))
}

/// The rows that the answer for a hose in a set reads: those of the hose alone, and tag and
/// record of the others in its set.
pub fn raw_reads_of_set(raw: &Connection, code: u64) -> rusqlite::Result<usize> {
    let alone = raw_reads(raw, code)?;
    let sql = "SELECT tag.hose, record
               FROM hose_of_set own JOIN hose_of_set other USING (regulator_set)
               JOIN tag ON tag.tag = other.hose JOIN hose ON hose.hose = tag.hose
               WHERE own.hose = ?1 AND other.hose <> ?1";
    let mut others = raw.prepare_cached(sql)?;
    let others = others.query_map([code], |row| row.get::<_, String>(1))?;
    let others: Vec<String> = others.collect::<Result<_, _>>()?;
    Ok(others.iter().fold(alone, |sum, record| sum + record.len()))
}

/// The rows that the answer for a hose alone reads: tag, hose, set, fleet, devices.
pub fn raw_reads(raw: &Connection, code: u64) -> rusqlite::Result<usize> {
    let text = |sql: &str, of: &dyn rusqlite::ToSql| -> rusqlite::Result<String> {
        raw.prepare_cached(sql)?.query_row([of], |row| row.get(0))
    };
    let hose: u64 = raw
        .prepare_cached("SELECT hose FROM tag WHERE tag = ?1")?
        .query_row([code], |row| row.get(0))?;
    let record = text("SELECT record FROM hose WHERE hose = ?1", &hose)?;
    let of_hose = "SELECT record FROM regulator_set JOIN hose_of_set USING (regulator_set)
                   WHERE hose = ?1";
    let set = text(of_hose, &hose)?;
    let fleet = raw.prepare_cached("SELECT record FROM fleet")?.exists([])?;
    let devices: u64 = raw
        .prepare_cached("SELECT entries + newest_seq + newest_on + newest_ms FROM device")?
        .query_row([], |row| row.get(0))?;
    Ok(record.len() + set.len() + usize::from(fleet) + usize::from(devices > 0))
}

/// A store of that many hoses and about twenty times as many entries (of a million hoses five
/// times), written by a device that signs: made once, and kept under `target`.
pub fn signed(hoses: u64) -> Option<PathBuf> {
    let key = DeviceKey::from_secret(&[7; 32]);
    let mut previous = None;
    made(&format!("signed-{hoses}"), hoses, |lines| {
        let mut text = String::with_capacity(lines.len() * 2);
        let last = lines.lines().count();
        for (at, line) in lines.lines().enumerate() {
            let mut entry = entry_of_line(line).ok()?;
            entry.device = key.id();
            // Written up after it happened: a device's clock does not run backwards.
            entry.at = Stamp(WRITTEN_UP_MS + i64::try_from(entry.seq).ok()?, 0);
            entry.previous = previous;
            if (at + 1) % 256 == 0 || at + 1 == last {
                entry.signature = Some(key.sign(entry.canonical().as_bytes()));
            }
            previous = Some(entry.hash());
            text.push_str(&line_of_entry(&entry));
            text.push('\n');
        }
        Some(text)
    })
}

fn made(
    name: &str,
    hoses: u64,
    mut write: impl FnMut(String) -> Option<String>,
) -> Option<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/bench-fleets");
    std::fs::create_dir_all(&folder).ok()?;
    let path = folder.join(name);
    if path.exists() {
        return Some(path);
    }
    let making = folder.join(format!("{name}.making"));
    let _ = std::fs::remove_file(&making);
    let mut book = Logbook::open(&making, Box::new(ChaCha20Rng::seed_from_u64(1)), keys()).ok()?;
    let mut seq = 0;
    for first in (0..hoses).step_by(usize::try_from(PART).ok()?) {
        let looks = if hoses < MANY_HOSES { LOOKS } else { FEW_LOOKS };
        let lines = (first..hoses.min(first + PART)).filter_map(|n| lines(n, looks, &mut seq));
        let text = write(lines.collect())?;
        book.import_lines(&mut Cursor::new(text), false, chrono::NaiveDate::default(), |_, _| ())
            .ok()?;
        if first % (PART * 20) == 0 {
            eprintln!("{} of {hoses} hoses", first + PART);
        }
    }
    drop(book);
    std::fs::rename(making, &path).ok()?;
    Some(path)
}

fn lines(number: u64, looks: u64, seq: &mut u64) -> Option<String> {
    let hose = code(number)?;
    let set = format!("Set {:06}", number / 4);
    let start = NaiveDate::from_ymd_opt(2022, 1, 1)? + Days::new(number % 800);
    let mut text = String::new();
    let mut write = |on: NaiveDate, kind: &str, body: String| {
        *seq += 1;
        let ms = on.and_time(NaiveTime::MIN).and_utc().timestamp_millis();
        text.push_str(&format!(
            "{{\"at\":[{ms},{}],\"body\":{body},\"by\":\"bench\",\"device\":\"{:032x}\",\"kind\":\"{kind}\",\"on\":\"{on}\",\"seq\":{seq},\"v\":1}}\n",
            *seq % 1_000_000, 7
        ));
    };
    if number.is_multiple_of(4) {
        let ports = "[{\"name\":\"LP1\",\"thread\":\"3/8-24\"},{\"name\":\"LP2\",\"thread\":\"3/8-24\"},{\"name\":\"LP3\",\"thread\":\"3/8-24\"},{\"name\":\"LP4\",\"thread\":\"3/8-24\"}]";
        write(
            start,
            "assembled",
            format!("{{\"ports\":{ports},\"set\":\"{set}\",\"use\":\"rental\"}}"),
        );
    }
    write(
        start,
        "registered",
        format!(
            "{{\"construction\":\"rubber\",\"end_a\":\"3/8-24\",\"end_b\":\"9/16-18\",\"hose\":\"{hose}\",\"length\":\"75 cm\",\"lot\":\"L{}\",\"made\":\"{}\",\"maker\":\"Kelpline\",\"service\":\"second-stage\"}}",
            number % 400,
            start.format("%Y-%m")
        ),
    );
    write(
        start,
        "fitted",
        format!("{{\"hose\":\"{hose}\",\"port\":\"LP{}\",\"set\":\"{set}\"}}", number % 4 + 1),
    );
    write(
        start,
        "inspected",
        format!("{{\"hose\":\"{hose}\",\"kind\":\"leak-test\",\"test\":{{\"passed\":true}}}}"),
    );
    for look in 1..=looks {
        let kind = if look % 4 == 0 { "full" } else { "quick" };
        let seen =
            if look % 3 == 0 { ",\"findings\":[\"run:scuff\",\"seal-a:seal-dirty\"]" } else { "" };
        write(
            start + Days::new(look * 45),
            "inspected",
            format!("{{\"hose\":\"{hose}\",\"kind\":\"{kind}\"{seen}}}"),
        );
    }
    Some(text)
}
