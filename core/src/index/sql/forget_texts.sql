DELETE FROM hose_text WHERE rowid IN (SELECT value FROM json_each(?1));
