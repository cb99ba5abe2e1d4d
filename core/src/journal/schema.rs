//! Whether a store has the tables and indexes that the migrations make, and
//! rebuilding what can be.

use std::collections::BTreeMap;

use rusqlite::{Connection, Transaction};

use super::StoreError;
use super::store::in_memory;

/// The tables that are folded from the journal and can be rebuilt from it. All
/// others hold the journal itself.
const FOLDED: [&str; 17] = [
    "hose_row",
    "span",
    "due",
    "total",
    "hose_of_set",
    "set_tag",
    TEXTS,
    "hose",
    "tag",
    "barcode",
    "lot",
    "regulator_set",
    "fleet",
    "projection",
    "withdrawal",
    "admission",
    MEETING,
];

/// What hoses are looked for by: a table of FTS5, which has further tables of its own.
const TEXTS: &str = "hose_text";
const OF_TEXTS: &str = "hose_text_";

/// When this device met another is on no record: it starts again with the newest
/// entry of others.
const MEETING: &str = "meeting";

/// Something in a store that is not as the migrations make it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Flaw {
    /// A table, an index, a trigger or a view.
    kind: String,
    name: String,
    what: What,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum What {
    Missing,
    Altered,
    Foreign,
}

impl Flaw {
    /// Whether a table is missing or altered.
    #[must_use]
    pub fn is_of_table(&self) -> bool {
        self.kind == "table"
    }

    /// Whether it is of the journal itself: nothing can make that again.
    #[must_use]
    pub fn is_of_journal(&self) -> bool {
        self.is_of_table() && !FOLDED.contains(&self.name.as_str()) && !self.is_of_texts()
    }

    /// Whether it is of what hoses are looked for by: SQLite cannot go through the file then.
    #[must_use]
    pub fn is_of_texts(&self) -> bool {
        self.name == TEXTS || self.name.starts_with(OF_TEXTS)
    }

    /// What is wrong.
    #[must_use]
    pub fn words(&self) -> String {
        let what = match self.what {
            What::Missing => "is missing",
            What::Altered => "is not as this program makes it",
            What::Foreign => "does not belong there",
        };
        format!("the {} {} {what}", self.kind, self.name)
    }
}

struct Object {
    kind: String,
    sql: String,
}

/// What there is, by name. Indexes without a text belong to their tables.
fn objects(connection: &Connection) -> Result<BTreeMap<String, Object>, StoreError> {
    let sql = "SELECT name, type, sql FROM sqlite_schema
               WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\'";
    let mut statement = connection.prepare(sql)?;
    let rows = statement
        .query_map([], |row| Ok((row.get(0)?, Object { kind: row.get(1)?, sql: row.get(2)? })))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// A definition without what means nothing: comments, spaces, and the quotes that
/// SQLite puts round the name of a table that was renamed.
fn meaning(sql: &str) -> String {
    let code = sql.lines().map(|line| line.split("--").next().unwrap_or_default());
    code.flat_map(str::chars).filter(|c| !c.is_whitespace() && *c != '"').collect()
}

/// What is not as the migrations make it. Tables that someone added hold nothing
/// of ours and are passed over.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn flaws(connection: &Connection) -> Result<Vec<Flaw>, StoreError> {
    let (wanted, there) = (objects(&in_memory()?)?, objects(connection)?);
    let flaw =
        |name: &String, kind: &String, what| Flaw { kind: kind.clone(), name: name.clone(), what };
    let lacking = wanted.iter().filter_map(|(name, wanted)| match there.get(name) {
        None => Some(flaw(name, &wanted.kind, What::Missing)),
        Some(there) if meaning(&there.sql) != meaning(&wanted.sql) => {
            Some(flaw(name, &wanted.kind, What::Altered))
        }
        Some(_) => None,
    });
    let foreign =
        there.iter().filter(|(name, there)| there.kind != "table" && !wanted.contains_key(*name));
    let foreign = foreign.map(|(name, there)| flaw(name, &there.kind, What::Foreign));
    Ok(lacking.chain(foreign).collect())
}

/// Rebuilds whatever is not as the migrations make it; tables are empty then,
/// but for the day of the last meeting.
///
/// # Errors
/// [`StoreError::Damaged`] if the journal itself is hurt, or the store cannot
/// be written.
pub fn mend(work: &Transaction<'_>) -> Result<(), StoreError> {
    let flaws = flaws(work)?;
    if let Some(hurt) = flaws.iter().find(|flaw| flaw.is_of_journal()) {
        return Err(StoreError::Damaged { path: "file".into(), why: hurt.words() });
    }
    let mut wanted = objects(&in_memory()?)?;
    // Its own tables are made with it.
    wanted.retain(|name, _| !name.starts_with(OF_TEXTS));
    if flaws.iter().any(Flaw::is_of_texts) {
        drop_texts(work)?;
    }
    for flaw in flaws.iter().filter(|flaw| !flaw.is_of_texts()) {
        // One that fell with its table is gone already.
        if let Some(there) = objects(work)?.get(&flaw.name) {
            work.execute_batch(&format!("DROP {} {}", there.kind, quoted(&flaw.name)))?;
        }
    }
    for tables in [true, false] {
        let there = objects(work)?;
        let lacking = wanted.iter().filter(|(name, object)| {
            (object.kind == "table") == tables && !there.contains_key(*name)
        });
        for (_, object) in lacking {
            work.execute_batch(&object.sql)?;
        }
    }
    if flaws.iter().any(|flaw| flaw.name == MEETING) {
        work.execute_batch(include_str!("sql/met_at_least.sql"))?;
    }
    Ok(())
}

/// Takes the texts away, whichever of their tables are left: FTS5 itself drops nothing
/// of which it misses a part.
fn drop_texts(work: &Transaction<'_>) -> Result<(), StoreError> {
    work.execute_batch(&format!(
        "PRAGMA writable_schema = ON;
         DELETE FROM sqlite_schema WHERE name = '{TEXTS}';
         PRAGMA writable_schema = RESET;"
    ))?;
    for name in objects(work)?.keys().filter(|name| name.starts_with(OF_TEXTS)) {
        work.execute_batch(&format!("DROP TABLE {}", quoted(name)))?;
    }
    Ok(())
}

fn quoted(name: &str) -> String {
    format!("\"{}\"", name.replace('"', "\"\""))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn whatever_can_be_made_anew_is_found_and_made_anew() {
        let wanted = objects(&in_memory().unwrap()).unwrap();
        assert!(wanted.len() > FOLDED.len());
        for (name, object) in &wanted {
            let mut store = in_memory().unwrap();
            assert_eq!(flaws(&store).unwrap(), Vec::new());
            store.pragma_update(None, "foreign_keys", false).unwrap();
            store.execute_batch(&format!("DROP {} {}", object.kind, quoted(name))).unwrap();
            let found = flaws(&store).unwrap();
            assert!(found.iter().any(|flaw| flaw.name == *name), "{name}");
            let hurt = found.iter().any(Flaw::is_of_journal);
            let work = store.transaction().unwrap();
            let mended = mend(&work);
            assert_eq!(mended.is_err(), hurt, "{name}");
            if !hurt {
                assert_eq!(flaws(&work).unwrap(), Vec::new(), "{name}");
            }
        }
    }

    #[test]
    fn what_was_altered_or_added_is_put_right() {
        let mut store = in_memory().unwrap();
        store
            .execute_batch(
                "DROP TABLE tag; CREATE VIEW tag AS SELECT 1 AS hose;
                 ALTER TABLE fleet ADD COLUMN more TEXT;
                 DROP INDEX hose_in_stock; CREATE INDEX hose_in_stock ON hose (record);
                 CREATE TABLE \"my \"\"notes\"\"\" (note TEXT);
                 CREATE TRIGGER \"a \"\"trap\"\"\" AFTER INSERT ON hose BEGIN DELETE FROM hose; END;",
            )
            .unwrap();
        let said: Vec<String> = flaws(&store).unwrap().iter().map(Flaw::words).collect();
        assert_eq!(
            said,
            [
                "the table fleet is not as this program makes it",
                "the index hose_in_stock is not as this program makes it",
                "the table tag is not as this program makes it",
                "the index tag_of_hose is missing",
                "the trigger a \"trap\" does not belong there",
            ]
        );
        let work = store.transaction().unwrap();
        mend(&work).unwrap();
        assert_eq!(flaws(&work).unwrap(), Vec::new());
        work.prepare("SELECT note FROM \"my \"\"notes\"\"\"").unwrap();
    }

    #[test]
    fn a_comment_or_a_quote_changes_no_meaning() {
        let plain = meaning("CREATE TABLE a (b INTEGER)");
        assert_eq!(meaning("CREATE TABLE \"a\" (\n  -- What \"b\" is.\n  b INTEGER\n)"), plain);
        assert_ne!(meaning("CREATE TABLE a (b TEXT)"), plain);
    }
}
