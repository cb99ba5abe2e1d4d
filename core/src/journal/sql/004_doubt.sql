-- A set has an identity of its own: a code's bits. Earlier programs knew it by
-- its name, from which its identity is worked out (filled in by the program).
CREATE TABLE set_entry_new (
    regulator_set INTEGER NOT NULL,
    entry INTEGER NOT NULL REFERENCES entry (number),
    PRIMARY KEY (regulator_set, entry)
) STRICT, WITHOUT ROWID;

-- Which entries another takes back, and whether that one counts.
CREATE TABLE withdrawal (
    target BLOB NOT NULL CHECK (length(target) = 32),
    entry  INTEGER NOT NULL REFERENCES entry (number),
    counts INTEGER NOT NULL,
    PRIMARY KEY (target, entry)
) STRICT, WITHOUT ROWID;

-- Which unsigned entries another says may be believed.
CREATE TABLE admission (
    target BLOB NOT NULL CHECK (length(target) = 32),
    entry  INTEGER NOT NULL REFERENCES entry (number),
    PRIMARY KEY (target, entry)
) STRICT, WITHOUT ROWID;

-- When this device last met another of its fleet: days of the common era. It is
-- no entry, since it belongs to the device and not to the record.
CREATE TABLE meeting (
    only_row INTEGER PRIMARY KEY CHECK (only_row = 1),
    met_on   INTEGER NOT NULL
) STRICT;

-- What is folded by other rules than this program's is folded anew when it is
-- opened.
CREATE TABLE projection (
    only_row INTEGER PRIMARY KEY CHECK (only_row = 1),
    rules    INTEGER NOT NULL
) STRICT;

INSERT INTO projection (only_row, rules) VALUES (1, 0);

DELETE FROM hose;
DELETE FROM tag;
DELETE FROM barcode;
DELETE FROM fleet;
DROP TABLE regulator_set;
DROP INDEX hose_of_lot;

CREATE TABLE regulator_set (
    regulator_set INTEGER PRIMARY KEY,
    -- Its name in small letters, by which people call it; nothing for one that
    -- is part of another, or is no more.
    name   TEXT,
    record TEXT NOT NULL
) STRICT;

CREATE INDEX set_by_name ON regulator_set (name);

-- The sets that are with a hirer.
CREATE INDEX set_out ON regulator_set (name) WHERE json_extract(record, '$.out') IS NOT NULL;

-- Every lot that a hose may be of, with its maker; an empty text is unknown.
CREATE TABLE lot (
    lot   TEXT NOT NULL,
    maker TEXT NOT NULL,
    hose  INTEGER NOT NULL,
    PRIMARY KEY (lot, maker, hose)
) STRICT, WITHOUT ROWID;

CREATE INDEX lot_of_hose ON lot (hose);
