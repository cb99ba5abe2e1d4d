DELETE FROM hose_row;
DELETE FROM span;
DELETE FROM due;
DELETE FROM total;
DELETE FROM hose_of_set;
-- Quicker than taking every text out.
DROP TABLE hose_text;
CREATE VIRTUAL TABLE hose_text USING fts5 (
    number, code, lot, maker, model, place, description, note, tokenize = 'trigram'
);
