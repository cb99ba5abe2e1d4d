-- Devices that sign are known by their public key of 32 bytes; each entry of
-- theirs names the hash of the one before it, so that one signature covers all
-- up to it. SQLite cannot alter a check: the tables are made anew.
CREATE TABLE device_new (
    -- Each device that has written an entry here; a short number saves room.
    number     INTEGER PRIMARY KEY,
    -- 16 random bytes for a device that does not sign, else its public key.
    id         BLOB NOT NULL UNIQUE CHECK (length(id) IN (16, 32)),
    -- How many different seq it has here: fewer than newest_seq is a gap.
    entries    INTEGER NOT NULL DEFAULT 0,
    newest_seq INTEGER NOT NULL DEFAULT 0,
    -- 1 once one seq stands for different entries: the device was copied.
    forked     INTEGER NOT NULL DEFAULT 0,
    -- Of the entries that are believed.
    newest_on  INTEGER NOT NULL DEFAULT 0,
    newest_ms  INTEGER NOT NULL DEFAULT 0,
    newest_count INTEGER NOT NULL DEFAULT 0
) STRICT;

INSERT INTO device_new (number, id, entries, newest_seq, newest_on, newest_ms, newest_count)
SELECT number, id, entries, newest_seq, newest_on, newest_ms, newest_count FROM device;

UPDATE device_new SET forked = 1 WHERE number IN (
    SELECT device FROM entry GROUP BY device, seq HAVING count(*) > 1
);

DROP TABLE device;
ALTER TABLE device_new RENAME TO device;

CREATE TABLE store_new (
    only_row INTEGER PRIMARY KEY CHECK (only_row = 1),
    -- Which device this store writes as; none before its first entry, or when
    -- it has to take a new identity.
    device   INTEGER REFERENCES device (number),
    -- The owner's key of the fleet that this store belongs to, if any.
    owner    BLOB CHECK (length(owner) = 32)
) STRICT;

-- A device without a key takes a new identity before its next entry.
INSERT INTO store_new (only_row) SELECT only_row FROM store;
DROP TABLE store;
ALTER TABLE store_new RENAME TO store;

-- The hash of the device's entry before it; none for a first one, and for a
-- device that does not sign.
ALTER TABLE entry ADD COLUMN previous BLOB CHECK (length(previous) = 32);

-- Entries that are kept but not, or not wholly, believed, and why.
CREATE TABLE set_aside (
    entry INTEGER PRIMARY KEY REFERENCES entry (number),
    why   TEXT NOT NULL
) STRICT;

-- Digests of bundles that were taken in whole.
CREATE TABLE merged (
    digest BLOB PRIMARY KEY CHECK (length(digest) = 32)
) STRICT, WITHOUT ROWID;
