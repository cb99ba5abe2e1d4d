//! Where a store's work is, said for anyone who tries it out: a test that kills the
//! program does so at a point that it was told, not after a time that it guessed.
//! Release builds have none of it, and nothing is said unless it is asked for.

#[cfg(debug_assertions)]
pub use listening::announce;
#[cfg(debug_assertions)]
pub(crate) use listening::{announced, reached};
#[cfg(not(debug_assertions))]
pub(crate) use silent::{announced, reached};

#[cfg(not(debug_assertions))]
mod silent {
    pub(crate) const fn reached(_: &str) {}

    #[allow(clippy::unnecessary_wraps, reason = "as where somebody may listen")]
    pub(crate) fn announced(
        connection: rusqlite::Connection,
    ) -> rusqlite::Result<rusqlite::Connection> {
        Ok(connection)
    }
}

#[cfg(debug_assertions)]
mod listening {
    use std::sync::OnceLock;

    use rusqlite::Connection;
    use rusqlite::trace::{TraceEvent, TraceEventCodes};

    /// So much of a statement tells it from others.
    const NAMED: usize = 60;

    static LISTENER: OnceLock<fn(&str)> = OnceLock::new();

    /// Tells `to` every point that stores which are opened from here on reach: each
    /// statement before it runs, by its beginning; `COMMIT done` once one is through;
    /// and where a file takes its place. The work waits until `to` returns. Only the
    /// first call counts.
    pub fn announce(to: fn(&str)) {
        let _ = LISTENER.set(to);
    }

    /// A point that is no statement is reached.
    pub(crate) fn reached(point: &str) {
        if let Some(to) = LISTENER.get().filter(|_| !point.is_empty()) {
            to(point);
        }
    }

    /// Announces the statements of a connection, if anybody listens.
    pub(crate) fn announced(mut connection: Connection) -> rusqlite::Result<Connection> {
        if LISTENER.get().is_none() {
            return Ok(connection);
        }
        let both = TraceEventCodes::SQLITE_TRACE_STMT | TraceEventCodes::SQLITE_TRACE_PROFILE;
        connection.trace_v2(
            both,
            Some(|event: TraceEvent<'_>| match event {
                TraceEvent::Stmt(_, sql) => reached(&named(sql)),
                TraceEvent::Profile(statement, _) if named(&statement.sql()) == "COMMIT" => {
                    reached("COMMIT done");
                }
                _ => {}
            }),
        )?;
        Ok(connection)
    }

    /// The beginning of a statement in one line, without the comments before it.
    fn named(sql: &str) -> String {
        let lines = sql.lines().map(str::trim).filter(|line| !line.starts_with("--"));
        let words: Vec<&str> = lines.flat_map(str::split_whitespace).collect();
        words.join(" ").chars().take(NAMED).collect()
    }
}
