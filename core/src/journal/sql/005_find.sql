-- What hoses are found, listed and counted by: worked out of what is folded, in
-- the transaction that folds it, and made again from it at will. Days are days of
-- the common era; a text is without capitals, spaces and hyphens.
CREATE TABLE hose_row (
    hose          INTEGER PRIMARY KEY,
    -- The tag that it carries.
    tag           INTEGER NOT NULL,
    -- The first day on which no entry about it lies ahead: on earlier ones the
    -- rules have to be asked.
    since         INTEGER NOT NULL,
    -- The shop's own number for it.
    number        TEXT,
    -- What it sorts by where it is listed by number; none comes last.
    by_number     TEXT NOT NULL,
    -- Where it is, as a word.
    location      TEXT NOT NULL,
    regulator_set INTEGER,
    -- The set's name and the port; none comes last.
    by_set        TEXT NOT NULL,
    service       TEXT,
    construction  TEXT,
    maker         TEXT,
    maker_shown   TEXT,
    lot           TEXT,
    lot_shown     TEXT,
    -- From when its age counts, made and in service; the last day there is where
    -- nobody knows.
    born          INTEGER NOT NULL,
    in_service    INTEGER NOT NULL,
    -- The end of its service; the last day there is while it serves.
    ended         INTEGER NOT NULL,
    -- When it was last looked at; the first day there is where it never was.
    looked        INTEGER NOT NULL,
    -- When something is due next; the first day there is for what was never done,
    -- the last where nothing is.
    due           INTEGER NOT NULL,
    -- 1 where its limits are those of rental.
    rental        INTEGER NOT NULL,
    -- When it was registered; none where it was not.
    registered_ms INTEGER,
    registered_count INTEGER,
    -- 1 for a customer's.
    customers     INTEGER NOT NULL,
    -- 1 where a finding retired it and nobody has taken it out of service.
    condemned     INTEGER NOT NULL
) STRICT;

CREATE INDEX row_since ON hose_row (since);
CREATE INDEX row_number ON hose_row (number, location) WHERE number IS NOT NULL;
CREATE INDEX row_by_number ON hose_row (by_number);
CREATE INDEX row_by_set ON hose_row (by_set);
CREATE INDEX row_born ON hose_row (born);
CREATE INDEX row_due ON hose_row (due);
CREATE INDEX row_looked ON hose_row (looked);
CREATE INDEX row_location ON hose_row (location);
CREATE INDEX row_service ON hose_row (service);
CREATE INDEX row_set ON hose_row (regulator_set) WHERE regulator_set IS NOT NULL;
CREATE INDEX row_maker ON hose_row (maker) WHERE maker IS NOT NULL;
CREATE INDEX row_lot ON hose_row (lot) WHERE lot IS NOT NULL;
CREATE INDEX row_condemned ON hose_row (tag) WHERE condemned = 1;
-- All that a lifetime needs, so that no other page is read.
CREATE INDEX row_life ON hose_row (
    customers, in_service, ended, construction, maker_shown, lot_shown
);

-- From which day to which each reason for a hose's verdict holds, both included.
CREATE TABLE span (
    hose      INTEGER NOT NULL,
    code      TEXT NOT NULL,
    -- 0 ready to 3 retire.
    verdict   INTEGER NOT NULL,
    first_day INTEGER NOT NULL,
    last_day  INTEGER NOT NULL,
    PRIMARY KEY (hose, code, verdict, first_day)
) STRICT, WITHOUT ROWID;

CREATE INDEX span_by_code ON span (code, first_day, last_day);

-- The worst of them, from the row's first day on without a gap.
CREATE TABLE standing (
    hose      INTEGER NOT NULL,
    first_day INTEGER NOT NULL,
    last_day  INTEGER NOT NULL,
    verdict   INTEGER NOT NULL,
    PRIMARY KEY (hose, first_day)
) STRICT, WITHOUT ROWID;

CREATE INDEX standing_by_verdict ON standing (verdict, first_day, last_day);

-- What is due for a hose, and by when.
CREATE TABLE due (
    hose   INTEGER NOT NULL,
    -- In the order in which things of one day are listed.
    what   INTEGER NOT NULL,
    on_day INTEGER NOT NULL,
    PRIMARY KEY (hose, what, on_day)
) STRICT, WITHOUT ROWID;

CREATE INDEX due_by_day ON due (on_day, what);

-- Sums over all hoses. Of verdicts, by how many more it is each day than the day
-- before.
CREATE TABLE total (
    what  TEXT NOT NULL,
    of    TEXT NOT NULL,
    day   INTEGER NOT NULL,
    hoses INTEGER NOT NULL,
    PRIMARY KEY (what, of, day)
) STRICT, WITHOUT ROWID;

-- The sets on which what holds for a hose depends: whatever is written about one
-- is worked out again for each of these hoses.
CREATE TABLE hose_of_set (
    regulator_set INTEGER NOT NULL,
    hose          INTEGER NOT NULL,
    PRIMARY KEY (regulator_set, hose)
) STRICT, WITHOUT ROWID;

CREATE INDEX set_of_hose ON hose_of_set (hose);

-- The tags that a set was given, beside its own code.
CREATE TABLE set_tag (
    tag           INTEGER NOT NULL,
    regulator_set INTEGER NOT NULL,
    PRIMARY KEY (tag, regulator_set)
) STRICT, WITHOUT ROWID;

CREATE INDEX tag_of_set ON set_tag (regulator_set);

-- Whether any set is for rental.
CREATE INDEX set_for_rental ON regulator_set (regulator_set)
    WHERE json_extract(record, '$.use') = 'rental';

-- The texts that a hose is looked for by.
CREATE VIRTUAL TABLE hose_text USING fts5 (
    number, code, lot, maker, model, place, description, note, tokenize = 'trigram'
);

-- All of this is made when the store is opened next.
UPDATE projection SET rules = 0;
