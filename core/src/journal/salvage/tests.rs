//! Rows are made out as SQLite itself reads them.

use std::collections::BTreeMap;
use std::path::Path;

use proptest::prelude::*;
use rusqlite::types::Value as Sql;
use rusqlite::{Connection, params};

use super::pages::Pages;
use super::rows::{self, Value};
use crate::file::beside;

fn good<T, E: std::fmt::Display>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|e| unreachable!("{e}"))
}

/// A table of one text, one number and some bytes in each row.
fn table(path: &Path, page: u32, rows: &[(i64, String, Vec<u8>)]) -> Connection {
    let store = good(Connection::open(path));
    good(store.pragma_update(None, "page_size", page));
    good(store.pragma_update(None, "journal_mode", "WAL"));
    good(store.execute_batch("CREATE TABLE t (id INTEGER PRIMARY KEY, n INTEGER, s TEXT, b BLOB)"));
    for (n, s, b) in rows {
        good(store.execute("INSERT INTO t (n, s, b) VALUES (?1, ?2, ?3)", params![n, s, b]));
    }
    store
}

fn made_out(path: &Path) -> BTreeMap<i64, Vec<Value>> {
    let mut pages = good(Pages::open(&path, &beside(path, "-wal")));
    let mut all = BTreeMap::new();
    for at in 0..pages.count() {
        let Some(image) = pages.image(at) else { continue };
        rows::each(&image, |n| pages.page(n), |id, row| drop(all.insert(id, row.to_vec())));
    }
    all
}

fn as_sqlite_reads(store: &Connection) -> BTreeMap<i64, Vec<Value>> {
    let mut statement = good(store.prepare("SELECT id, n, s, b FROM t"));
    let rows = statement.query_map([], |row| {
        let value = |column| -> rusqlite::Result<Value> {
            Ok(match row.get::<_, Sql>(column)? {
                Sql::Null => Value::Null,
                Sql::Integer(n) => Value::Integer(n),
                Sql::Text(text) => Value::Text(text),
                Sql::Blob(bytes) => Value::Blob(bytes),
                Sql::Real(_) => Value::Other,
            })
        };
        Ok((row.get(0)?, vec![Value::Null, value(1)?, value(2)?, value(3)?]))
    });
    good(good(rows).collect())
}

/// Numbers about every border between the lengths in which they are kept.
fn number() -> impl Strategy<Value = i64> {
    prop_oneof![
        any::<i64>(),
        (0_u32..63, -2_i64..3).prop_map(|(bits, off)| (1_i64 << bits).wrapping_add(off)),
        (0_u32..63, -2_i64..3).prop_map(|(bits, off)| (-(1_i64 << bits)).wrapping_add(off)),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// The reference is SQLite, which made the file. Rows of up to 20,000 bytes
    /// go on in other pages, whatever the size of a page.
    #[test]
    fn rows_are_what_sqlite_reads(
        page in prop_oneof![Just(512_u32), Just(1024), Just(4096), Just(65_536)],
        rows in proptest::collection::vec(
            (number(), "[a-zé]{0,300}", proptest::collection::vec(any::<u8>(), 0..20_000)), 1..12,
        ),
        closed in any::<bool>(),
    ) {
        let folder = good(tempfile::tempdir());
        let path = folder.path().join("table");
        let store = table(&path, page, &rows);
        let read = as_sqlite_reads(&store);
        // Closing moves the log into the file; until then all is in the log.
        let open = if closed {
            good(store.close().map_err(|(_, e)| e));
            None
        } else {
            Some(store)
        };
        let mut found = made_out(&path);
        // The first page says which tables there are, in rows of five.
        found.retain(|_, row| row.len() == 4);
        prop_assert_eq!(found, read);
        drop(open);
    }

    #[test]
    fn any_bytes_are_no_rows_and_no_harm(
        mut page in proptest::collection::vec(any::<u8>(), 512..1024),
        table in any::<bool>(),
    ) {
        if table && let Some(first) = page.first_mut() {
            *first = 0x0D;
        }
        rows::each(&page, |n| (n % 3 != 0).then(|| vec![0; 512]), |_, _| ());
    }
}
