//! The branches' table on a PostgreSQL server: entries are rows.
//!
//! The server runs no code of ours. It is told apart by an id that it draws when the table is
//! made; a row's place is drawn by it too. Additions hold one lock, so that a row is never seen
//! before those that lie before it. A row is what its line is: the same line is kept once, and one
//! that somebody changed there does not keep out the one that it was.

mod address;
mod tls;

pub use address::{is_address, read};

use std::time::Duration;

use hosewright_core::device::DeviceId;
use hosewright_core::journal::{
    AddedRows, BranchError, BranchHeld, BranchRow, BranchRows, BranchTable, NewBranchRow,
};
use postgres::{Client, IsolationLevel};

/// The shape of the tables that this program knows.
const VERSION: i32 = 1;
/// How long it may take to be connected, where the address says nothing of it.
const CONNECTING: Duration = Duration::from_secs(10);
/// The lock that additions hold: any number that nothing else is likely to choose.
const LOCK: i64 = 0x686f_7365_7772_7401;

const SCHEMA: &str = "
    CREATE TABLE IF NOT EXISTS hosewright_table (
        only_row boolean PRIMARY KEY DEFAULT true CHECK (only_row),
        version  integer NOT NULL,
        id       uuid NOT NULL DEFAULT gen_random_uuid()
    );
    CREATE TABLE IF NOT EXISTS hosewright_entry (
        position bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
        device   bytea NOT NULL,
        seq      bigint NOT NULL,
        line     text NOT NULL
    );
    CREATE TABLE IF NOT EXISTS hosewright_branch (
        device bytea PRIMARY KEY,
        header text NOT NULL
    );
    CREATE UNIQUE INDEX IF NOT EXISTS hosewright_entry_of_line ON hosewright_entry (md5(line));
    CREATE INDEX IF NOT EXISTS hosewright_entry_of_device
        ON hosewright_entry (device, seq, position);";

/// The table, and the connection to its server.
pub struct Server {
    client: Client,
    id: String,
}

impl Server {
    /// Connects, with this pass word or that of the address or the environment, and makes the
    /// tables where there are none.
    ///
    /// # Errors
    /// [`BranchError`] if the server can't be reached or used.
    pub fn open(address: &str, pass_word: Option<&str>) -> Result<Self, BranchError> {
        let (mut settings, authority) = read(address)?;
        if let Some(word) = pass_word {
            settings.password(word);
        }
        if settings.get_connect_timeout().is_none() {
            settings.connect_timeout(CONNECTING);
        }
        let mut client =
            settings.connect(tls::connector(authority.as_deref())?).map_err(|e| said(&e))?;
        let found = version(&mut client)?;
        if found.is_none() {
            make(&mut client)?;
        }
        match version(&mut client)? {
            Some((VERSION, id)) => Ok(Self { client, id }),
            Some((found, _)) => Err(BranchError(format!(
                "a later Hosewright made its tables (version {found}, this program knows \
                 {VERSION}); update this program"
            ))),
            None => {
                Err(BranchError("its tables are not whole: hosewright_table is empty".to_owned()))
            }
        }
    }
}

/// The version of the tables and their id; nothing if there are none.
fn version(client: &mut Client) -> Result<Option<(i32, String)>, BranchError> {
    let there = "SELECT to_regclass('hosewright_table') IS NOT NULL
                 AND to_regclass('hosewright_branch') IS NOT NULL";
    let there: bool =
        client.query_one(there, &[]).and_then(|row| row.try_get(0)).map_err(|e| said(&e))?;
    if !there {
        return Ok(None);
    }
    let found = client.query_opt("SELECT version, id::text FROM hosewright_table", &[]);
    let found = found.map_err(|e| said(&e))?;
    found.map(|row| Ok((row.try_get(0)?, row.try_get(1)?))).transpose().map_err(|e| said(&e))
}

/// Makes the tables; of several that do so at once the first one does.
fn make(client: &mut Client) -> Result<(), BranchError> {
    let mut work = client.transaction().map_err(|e| said(&e))?;
    let made = work
        .execute("SELECT pg_advisory_xact_lock($1)", &[&LOCK])
        .and_then(|_| work.batch_execute(SCHEMA))
        .and_then(|()| {
            let sql = "INSERT INTO hosewright_table (version) VALUES ($1) ON CONFLICT DO NOTHING";
            work.execute(sql, &[&VERSION])
        });
    made.map_err(|e| said(&e))?;
    work.commit().map_err(|e| said(&e))
}

impl BranchTable for Server {
    fn id(&mut self) -> Result<String, BranchError> {
        Ok(self.id.clone())
    }

    fn holds(&mut self) -> Result<Vec<BranchHeld>, BranchError> {
        let sql =
            "SELECT device, count(DISTINCT seq), max(seq) FROM hosewright_entry GROUP BY device";
        let rows = self.client.query(sql, &[]).map_err(|e| said(&e))?;
        let held = rows.iter().map(|row| {
            let device: &[u8] = row.try_get(0)?;
            let (numbers, newest): (i64, i64) = (row.try_get(1)?, row.try_get(2)?);
            Ok((DeviceId::from_bytes(device), numbers, newest))
        });
        let held: Vec<_> = held.collect::<Result<_, postgres::Error>>().map_err(|e| said(&e))?;
        // What names no device was not written by any program of ours, and means none.
        let held = held.into_iter().filter_map(|(device, numbers, newest)| {
            let (numbers, newest_seq) = (u64::try_from(numbers).ok()?, u64::try_from(newest).ok()?);
            Some(BranchHeld { device: device?, numbers, newest_seq })
        });
        Ok(held.collect())
    }

    fn rows(
        &mut self,
        which: BranchRows,
        after: u64,
        most: usize,
    ) -> Result<Vec<BranchRow>, BranchError> {
        let (after, most) = (signed(after), i64::try_from(most).unwrap_or(i64::MAX));
        let rows = match which {
            BranchRows::All => self.client.query(
                "SELECT position, line FROM hosewright_entry WHERE position > $1
                 ORDER BY position LIMIT $2",
                &[&after, &most],
            ),
            BranchRows::Of(device, first, last) => self.client.query(
                "SELECT position, line FROM hosewright_entry
                 WHERE device = $3 AND seq BETWEEN $4 AND $5 AND position > $1
                 ORDER BY position LIMIT $2",
                &[&after, &most, &device.bytes(), &signed(first), &signed(last)],
            ),
        };
        let rows = rows.map_err(|e| said(&e))?;
        let read = rows.iter().map(|row| {
            let position: i64 = row.try_get(0)?;
            Ok(BranchRow { position: unsigned(position), line: row.try_get(1)? })
        });
        read.collect::<Result<_, postgres::Error>>().map_err(|e| said(&e))
    }

    fn add(&mut self, rows: &[NewBranchRow], read: u64) -> Result<AddedRows, BranchError> {
        let devices: Vec<&[u8]> = rows.iter().map(|row| row.device.bytes()).collect();
        let numbers: Vec<i64> = rows.iter().map(|row| signed(row.seq)).collect();
        let lines: Vec<&str> = rows.iter().map(|row| row.line.as_str()).collect();
        let others = "SELECT EXISTS (SELECT FROM hosewright_entry WHERE position > $1)";
        let sql = "WITH added AS (
                       INSERT INTO hosewright_entry (device, seq, line)
                       SELECT device, seq, line
                       FROM unnest($1::bytea[], $2::bigint[], $3::text[])
                           WITH ORDINALITY AS new (device, seq, line, place)
                       ORDER BY place ON CONFLICT DO NOTHING
                       RETURNING position, line)
                   SELECT count(*) OVER (), position, line FROM added
                   ORDER BY position DESC LIMIT 1";
        let build = self.client.build_transaction().isolation_level(IsolationLevel::ReadCommitted);
        let mut work = build.start().map_err(|e| said(&e))?;
        work.execute("SELECT pg_advisory_xact_lock($1)", &[&LOCK]).map_err(|e| said(&e))?;
        let others = work.query_one(others, &[&signed(read)]).and_then(|row| row.try_get(0));
        let others: bool = others.map_err(|e| said(&e))?;
        let added = work.query_opt(sql, &[&devices, &numbers, &lines]).map_err(|e| said(&e))?;
        work.commit().map_err(|e| said(&e))?;
        let Some(last) = added else { return Ok(AddedRows::default()) };
        let new: i64 = last.try_get(0).map_err(|e| said(&e))?;
        let row = BranchRow {
            position: unsigned(last.try_get(1).map_err(|e| said(&e))?),
            line: last.try_get(2).map_err(|e| said(&e))?,
        };
        Ok(AddedRows { new: unsigned(new), last: Some(row).filter(|_| !others) })
    }

    fn headers(&mut self) -> Result<Vec<String>, BranchError> {
        let rows = self.client.query("SELECT header FROM hosewright_branch ORDER BY device", &[]);
        let rows = rows.map_err(|e| said(&e))?;
        rows.iter().map(|row| row.try_get(0)).collect::<Result<_, _>>().map_err(|e| said(&e))
    }

    fn leave(&mut self, device: &DeviceId, header: &str) -> Result<(), BranchError> {
        let sql = "INSERT INTO hosewright_branch (device, header) VALUES ($1, $2)
                   ON CONFLICT (device) DO UPDATE SET header = excluded.header";
        self.client.execute(sql, &[&device.bytes(), &header]).map_err(|e| said(&e))?;
        Ok(())
    }
}

/// A number of the server's, which has none below nothing.
fn unsigned(number: i64) -> u64 {
    u64::try_from(number).unwrap_or(0)
}

/// A number as the server has it, which knows none without a sign.
fn signed(number: u64) -> i64 {
    i64::try_from(number).unwrap_or(i64::MAX)
}

/// What went wrong, with what the server said of it.
fn said(error: &postgres::Error) -> BranchError {
    if let Some(server) = error.as_db_error() {
        return BranchError(format!("it says “{}”", server.message()));
    }
    let mut why = error.to_string();
    let mut source = std::error::Error::source(error);
    while let Some(deeper) = source {
        let deeper_words = deeper.to_string();
        if !why.contains(&deeper_words) {
            why = format!("{why}: {deeper_words}");
        }
        source = deeper.source();
    }
    BranchError(why)
}
