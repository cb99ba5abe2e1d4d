-- The journal. Nothing in these tables is ever changed but a device's tally.
CREATE TABLE device (
    -- Each device that has written an entry here; a short number saves room.
    number     INTEGER PRIMARY KEY,
    id         BLOB NOT NULL UNIQUE CHECK (length(id) = 16),
    -- How many different seq it has here: fewer than newest_seq is a gap.
    entries    INTEGER NOT NULL DEFAULT 0,
    newest_seq INTEGER NOT NULL DEFAULT 0,
    newest_on  INTEGER NOT NULL DEFAULT 0,
    newest_ms  INTEGER NOT NULL DEFAULT 0,
    newest_count INTEGER NOT NULL DEFAULT 0
) STRICT;

CREATE TABLE store (
    -- One row: which device this store writes as.
    only_row INTEGER PRIMARY KEY CHECK (only_row = 1),
    device   INTEGER NOT NULL REFERENCES device (number)
) STRICT;

CREATE TABLE entry (
    number    INTEGER PRIMARY KEY,
    device    INTEGER NOT NULL REFERENCES device (number),
    seq       INTEGER NOT NULL CHECK (seq > 0),
    -- Days of the common era: the day on which it happened.
    on_day    INTEGER NOT NULL,
    -- The hybrid clock when it was written: milliseconds UTC and a counter.
    at_ms     INTEGER NOT NULL,
    at_count  INTEGER NOT NULL,
    written_by TEXT NOT NULL,
    kind      TEXT NOT NULL,
    version   INTEGER NOT NULL,
    -- The fields of the kind as canonical JSON, exactly as they are hashed.
    body      TEXT NOT NULL,
    -- SHA-256 of the canonical bytes of the whole entry.
    hash      BLOB NOT NULL CHECK (length(hash) = 32),
    -- Ed25519 over the canonical bytes; none for an unsigned entry.
    signature BLOB,
    -- A copied device may write the same number twice: both are kept.
    UNIQUE (device, seq, hash)
) STRICT;

CREATE TABLE hose_entry (
    hose  INTEGER NOT NULL,
    entry INTEGER NOT NULL REFERENCES entry (number),
    PRIMARY KEY (hose, entry)
) STRICT, WITHOUT ROWID;

CREATE TABLE set_entry (
    regulator_set TEXT NOT NULL,
    entry INTEGER NOT NULL REFERENCES entry (number),
    PRIMARY KEY (regulator_set, entry)
) STRICT, WITHOUT ROWID;

CREATE TABLE fleet_entry (
    entry INTEGER PRIMARY KEY REFERENCES entry (number)
) STRICT;

-- What answers read: folded from the journal, and rebuilt from it at will.
CREATE TABLE hose (
    hose   INTEGER PRIMARY KEY,
    record TEXT NOT NULL
) STRICT;

CREATE TABLE tag (
    tag   INTEGER NOT NULL,
    hose  INTEGER NOT NULL,
    -- Sorts as the moment the tag was given to the hose.
    since TEXT NOT NULL,
    -- 1 while the tag is the hose's own, 0 once it was replaced.
    current INTEGER NOT NULL,
    PRIMARY KEY (tag, hose)
) STRICT, WITHOUT ROWID;

CREATE INDEX tag_of_hose ON tag (hose);

CREATE TABLE barcode (
    text TEXT NOT NULL,
    hose INTEGER NOT NULL,
    PRIMARY KEY (text, hose)
) STRICT, WITHOUT ROWID;

CREATE INDEX barcode_of_hose ON barcode (hose);

CREATE TABLE regulator_set (
    name   TEXT PRIMARY KEY,
    record TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE fleet (
    only_row INTEGER PRIMARY KEY CHECK (only_row = 1),
    record   TEXT NOT NULL
) STRICT;
