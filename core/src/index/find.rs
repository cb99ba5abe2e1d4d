//! Looking for a hose by whatever someone has at hand.
//!
//! Trigrams find a text anywhere in another, from three characters on; of shorter
//! ones the beginning of own number, set, ticket and code counts. If nothing has
//! all that was typed, whatever has most of its trigrams comes near, the rarer ones first.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, params};

use super::slips::{FAR, MOST_WORDS, apart};
use super::text::{Texts, spelled};
use crate::journal::StoreError;
use crate::tag::Code;

/// A hose that was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hit {
    /// The hose.
    pub hose: Code,
    /// How well it answers to what was typed: less is better.
    pub rank: u32,
    /// Whether it has all that was typed; else it only comes near.
    pub whole: bool,
}

/// So many hoses are found in each way: more are not told apart by what was typed.
const LOOKED_AT: usize = 200;

/// So many hoses' texts are read to choose among them.
const READ: usize = 1_000;

/// A hose with an own number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Numbered {
    /// The hose.
    pub hose: Code,
    /// Whether it is in use.
    pub in_use: bool,
    /// The branch within which the number is unique, as texts are compared.
    pub branch: Option<String>,
}

/// The hoses with an own number, spelled as [`spelled`] has it.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn numbered(connection: &Connection, number: &str) -> Result<Vec<Numbered>, StoreError> {
    let mut statement = connection.prepare_cached(NUMBERED)?;
    let read = |row: &rusqlite::Row<'_>| {
        let hose = Code::from_bits(row.get(0)?);
        let (in_use, branch) = (row.get(1)?, row.get(2)?);
        Ok(hose.map(|hose| Numbered { hose, in_use, branch }))
    };
    let rows: Vec<_> = statement.query_map([number], read)?.collect::<Result<_, _>>()?;
    Ok(rows.into_iter().flatten().collect())
}

/// The hoses in use that have an own number which another of their branch has too,
/// together.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn doubled(connection: &Connection) -> Result<Vec<Vec<Code>>, StoreError> {
    let mut statement = connection.prepare(DOUBLED)?;
    let numbers = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
    let numbers: Vec<(String, Option<String>)> = numbers.collect::<Result<_, _>>()?;
    let in_use = |(number, branch): &(String, Option<String>)| {
        let all = numbered(connection, number)?.into_iter();
        Ok(all.filter(|one| one.in_use && one.branch == *branch).map(|one| one.hose).collect())
    };
    numbers.iter().map(in_use).collect()
}

const NUMBERED: &str = "SELECT hose, location <> 'retired', number_branch FROM hose_row WHERE number = ?1 ORDER BY tag";
const DOUBLED: &str = "SELECT number, number_branch FROM hose_row
    WHERE number IS NOT NULL AND location <> 'retired'
    GROUP BY number, number_branch HAVING count(*) > 1";
const NUMBER_BEGINS: &str =
    "SELECT hose FROM hose_row WHERE number >= ?1 AND number < ?2 ORDER BY number LIMIT ?3";
const SET_BEGINS: &str =
    "SELECT hose FROM hose_row WHERE by_set >= ?1 AND by_set < ?2 ORDER BY by_set LIMIT ?3";
const TAG_BEGINS: &str = "SELECT hose FROM tag WHERE tag BETWEEN ?1 AND ?2 ORDER BY tag LIMIT ?3";
const ON_TICKET: &str = "SELECT DISTINCT h.hose FROM regulator_set t
    CROSS JOIN hose_of_set h ON h.regulator_set = t.regulator_set
    WHERE json_extract(t.record, '$.out') IS NOT NULL AND t.name IS NOT NULL LIMIT ?1";
const LOT_BEGINS: &str =
    "SELECT hose FROM hose_row WHERE lot >= ?1 AND lot < ?2 ORDER BY lot LIMIT ?3";
const HAVING: &str = "SELECT rowid FROM hose_text WHERE hose_text MATCH ?1 LIMIT ?2";

fn bits(
    statement: &mut rusqlite::Statement<'_>,
    parameters: impl rusqlite::Params,
) -> Result<Vec<Code>, StoreError> {
    let rows = statement.query_map(parameters, |row| row.get(0))?;
    let bits: Vec<u64> = rows.collect::<Result<_, _>>()?;
    Ok(bits.into_iter().filter_map(Code::from_bits).collect())
}

/// The hoses that a text could mean, best first.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn find(connection: &Connection, typed: &str) -> Result<Vec<Hit>, StoreError> {
    let whole = spelled(typed);
    if whole.is_empty() {
        return Ok(Vec::new());
    }
    let words: Vec<String> = typed.split_whitespace().map(spelled).collect();
    let words: Vec<String> = words.into_iter().filter(|word| !word.is_empty()).collect();
    let mut found = beginning(connection, typed, &whole)?;
    if whole.chars().count() >= FEWEST {
        found.extend(matching(connection, &whole, &words)?);
    }
    if found.is_empty() {
        found = near(connection, &whole, &words)?;
    }
    found.sort_by_key(|hit| (hit.rank, hit.hose));
    let mut seen = BTreeSet::new();
    found.retain(|hit| seen.insert(hit.hose));
    Ok(found)
}

/// A trigram's length.
const FEWEST: usize = 3;

/// By the beginning of an own number, a code, a set and a ticket.
fn beginning(connection: &Connection, typed: &str, whole: &str) -> Result<Vec<Hit>, StoreError> {
    let hits = |hoses: Vec<Code>, rank: u32| {
        hoses.into_iter().map(move |hose| Hit { hose, rank, whole: true })
    };
    let named = numbered(connection, whole)?.into_iter();
    let hit = |one: Numbered| Hit { hose: one.hose, rank: u32::from(!one.in_use), whole: true };
    let mut all: Vec<Hit> = named.map(hit).collect();
    let after = format!("{whole}\u{10FFFF}");
    let mut begins = connection.prepare_cached(NUMBER_BEGINS)?;
    all.extend(hits(bits(&mut begins, params![whole, after, LOOKED_AT])?, 2));
    if let Some(prefix) = Code::prefix(typed) {
        let range = prefix.bits();
        let mut begins = connection.prepare_cached(TAG_BEGINS)?;
        let range = params![range.start(), range.end(), LOOKED_AT];
        all.extend(hits(bits(&mut begins, range)?, if is_whole(typed) { 0 } else { 3 }));
    }
    if whole.chars().count() >= FEWEST {
        return Ok(all);
    }
    let key = super::text::sorting(whole);
    let mut begins = connection.prepare_cached(SET_BEGINS)?;
    // A number that is not typed to its end sorts elsewhere: it is looked for as it is.
    let after = format!("{key}\u{10FFFF}");
    all.extend(hits(bits(&mut begins, params![key, after, LOOKED_AT])?, 4));
    let mut out = connection.prepare_cached(ON_TICKET)?;
    for hose in bits(&mut out, [LOOKED_AT])? {
        let place = texts(connection, hose)?.map(|texts| texts[5].clone()).unwrap_or_default();
        if place.split(' ').any(|word| word.starts_with(whole)) {
            all.push(Hit { hose, rank: 5, whole: true });
        }
    }
    Ok(all)
}

fn is_whole(typed: &str) -> bool {
    Code::parse(typed).is_ok()
}

fn texts(connection: &Connection, hose: Code) -> Result<Option<Texts>, StoreError> {
    let sql = "SELECT rowid, number, code, lot, maker, model, place, description, note
               FROM hose_text WHERE rowid = ?1";
    let mut statement = connection.prepare_cached(sql)?;
    let mut rows = statement.query([hose.bits()])?;
    Ok(rows.next()?.map(read).transpose()?.map(|(_, texts)| texts))
}

fn read(row: &rusqlite::Row<'_>) -> rusqlite::Result<(u64, Texts)> {
    let mut texts = Texts::default();
    for (at, text) in texts.iter_mut().enumerate() {
        *text = row.get(at + 1)?;
    }
    Ok((row.get(0)?, texts))
}

/// A text as FTS5 takes it: whole, whatever is in it.
fn phrase(text: &str) -> String {
    format!("\"{}\"", text.replace('"', "\"\""))
}

/// By having all of it somewhere: as one text, or word by word. Of what many have, those
/// that it names by themselves go first: a set, a lot or an own number that begins so.
fn matching(
    connection: &Connection,
    whole: &str,
    words: &[String],
) -> Result<Vec<Hit>, StoreError> {
    let mut ways = vec![phrase(whole)];
    let long: Vec<String> =
        words.iter().filter(|w| w.chars().count() >= FEWEST).map(|w| phrase(w)).collect();
    if words.len() > 1 && !long.is_empty() {
        ways.push(long.join(" AND "));
    }
    let mut hoses = BTreeSet::new();
    let mut having = connection.prepare_cached(HAVING)?;
    for way in &ways {
        let found = having.query_map(params![way, READ], |row| row.get::<_, u64>(0))?;
        let found: Vec<u64> = found.collect::<Result<_, _>>()?;
        if found.len() < READ {
            hoses.extend(found);
            continue;
        }
        hoses.extend(found.into_iter().take(LOOKED_AT));
        let (key, after) = (super::text::sorting(whole), format!("{whole}\u{10FFFF}"));
        let mut begins = connection.prepare_cached(SET_BEGINS)?;
        let sets = params![key, format!("{key}\u{10FFFF}"), LOOKED_AT];
        hoses.extend(bits(&mut begins, sets)?.into_iter().map(Code::bits));
        let mut begins = connection.prepare_cached(LOT_BEGINS)?;
        let lots = params![whole, after, LOOKED_AT];
        hoses.extend(bits(&mut begins, lots)?.into_iter().map(Code::bits));
    }
    let mut all = Vec::new();
    for hose in hoses.into_iter().filter_map(Code::from_bits) {
        let Some(texts) = texts(connection, hose)? else { continue };
        let rank = ranked(&texts, whole, words);
        all.extend(rank.map(|rank| Hit { hose, rank, whole: true }));
    }
    Ok(all)
}

/// How well texts answer to what was typed; nothing if a word of it is nowhere.
fn ranked(texts: &Texts, whole: &str, words: &[String]) -> Option<u32> {
    let mut best: Option<u32> = None;
    for (column, text) in (0_u32..).zip(texts) {
        let way = if text == whole || text.split(' ').any(|word| word == whole) {
            0
        } else if text.starts_with(whole) {
            1
        } else if text.contains(whole) {
            2
        } else {
            continue;
        };
        let rank = 10 * way + column + u32::from(way > 0 || column > 0) * 4;
        best = Some(best.map_or(rank, |before| before.min(rank)));
    }
    let has = |word: &String| texts.iter().any(|text| text.contains(word.as_str()));
    if best.is_some() || words.is_empty() || !words.iter().all(has) {
        return best;
    }
    // Word by word: the nearer they come to whole words, the better.
    let apart = if words.len() <= MOST_WORDS { apart(texts, words, FAR) } else { 0 };
    Some(40 + u32::try_from(apart).unwrap_or(u32::MAX / 8).min(100))
}

/// By having many of its trigrams: a character is wrong, missing or in the wrong
/// place.
fn near(connection: &Connection, whole: &str, words: &[String]) -> Result<Vec<Hit>, StoreError> {
    let mut wanted = BTreeSet::new();
    for text in words.iter().map(String::as_str).chain([whole]) {
        wanted.extend(trigrams(text));
    }
    let most = whole.chars().count().div_ceil(4);
    let mut all = Vec::new();
    for (hose, texts) in alike(connection, wanted.into_iter().take(MOST_TRIGRAMS))? {
        let apart = apart(&texts, words, most);
        if apart <= most {
            let rank = 200 + u32::try_from(apart).unwrap_or(u32::MAX / 2);
            all.push(Hit { hose, rank, whole: false });
        }
    }
    Ok(all)
}

/// Of longer texts so many are enough.
const MOST_TRIGRAMS: usize = 64;

/// A trigram of more hoses than this says little of which one is meant.
const COMMON: usize = 2_000;

/// The hoses that have the most of some trigrams, the rarer the better. Only the
/// hoses of rare ones are gone through, so that it takes as long in any fleet.
fn alike(
    connection: &Connection,
    trigrams: impl Iterator<Item = String>,
) -> Result<Vec<(Code, Texts)>, StoreError> {
    let mut having = connection.prepare_cached(HAVING)?;
    let mut scores: BTreeMap<u64, u32> = BTreeMap::new();
    let mut common = Vec::new();
    for trigram in trigrams {
        let hoses = having.query_map(params![phrase(&trigram), COMMON], |row| row.get(0))?;
        let hoses: Vec<u64> = hoses.collect::<Result<_, _>>()?;
        if hoses.len() >= COMMON {
            common.push(trigram);
            continue;
        }
        let weight = 1 + (COMMON / (hoses.len() + 1)).checked_ilog2().unwrap_or(0);
        for hose in hoses {
            *scores.entry(hose).or_default() += weight;
        }
    }
    if scores.len() < LOOKED_AT {
        let phrases: Vec<String> = common.iter().map(|trigram| phrase(trigram)).collect();
        for way in [" AND ", " OR "].iter().filter(|_| !phrases.is_empty()) {
            let hoses = having
                .query_map(params![phrases.join(way), LOOKED_AT], |row| row.get::<_, u64>(0))?;
            for hose in hoses {
                scores.entry(hose?).or_default();
            }
        }
    }
    let mut best: Vec<(u32, u64)> = scores.into_iter().map(|(hose, score)| (score, hose)).collect();
    let better = |(score, hose): &(u32, u64)| (std::cmp::Reverse(*score), *hose);
    best.sort_unstable_by_key(better);
    let mut read = Vec::new();
    for (score, hose) in best.into_iter().take(READ) {
        let Some(hose) = Code::from_bits(hose) else { continue };
        let Some(texts) = texts(connection, hose)? else { continue };
        let has = |trigram: &&String| texts.iter().any(|text| text.contains(trigram.as_str()));
        let more = common.iter().filter(has).count();
        read.push((score + u32::try_from(more).unwrap_or(0), hose, texts));
    }
    read.sort_by_key(|(score, hose, _)| (std::cmp::Reverse(*score), *hose));
    let looked_at = read.into_iter().take(LOOKED_AT);
    Ok(looked_at.map(|(_, hose, texts)| (hose, texts)).collect())
}

fn trigrams(text: &str) -> Vec<String> {
    let letters: Vec<char> = text.chars().collect();
    letters.windows(FEWEST).map(|three| three.iter().collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::index::ask::tests::{plan, store};
    use crate::record::ANY_RENTAL_SET;

    #[test]
    fn every_way_of_finding_searches_an_index() {
        let (_folder, store) = store();
        for sql in [
            NUMBERED,
            NUMBER_BEGINS,
            SET_BEGINS,
            TAG_BEGINS,
            ON_TICKET,
            LOT_BEGINS,
            HAVING,
            ANY_RENTAL_SET,
        ] {
            let plan = plan(&store, sql);
            // The index of texts is a search, though SQLite calls it a scan; and these hold
            // nothing but the sets that are out, or the answer itself.
            let few = |line: &String| {
                line.starts_with("SCAN hose_text VIRTUAL TABLE INDEX ")
                    || line.contains("INDEX set_out")
                    || line.contains("INDEX set_for_rental")
                    || line == "SCAN CONSTANT ROW"
            };
            let searched = plan.iter().all(|line| !line.starts_with("SCAN") || few(line));
            assert!(searched, "{sql}: {plan:?}");
        }
    }
}
