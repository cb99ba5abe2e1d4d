-- The branch within which a hose's own number is unique, and the one where it is: texts as they
-- are compared. The rows are worked out again by the program that adds them.
ALTER TABLE hose_row ADD COLUMN number_branch TEXT;
ALTER TABLE hose_row ADD COLUMN branch TEXT;

DROP INDEX row_number;
CREATE INDEX row_number ON hose_row (number, number_branch, location) WHERE number IS NOT NULL;
CREATE INDEX row_branch ON hose_row (branch) WHERE branch IS NOT NULL;

ALTER TABLE regulator_set ADD COLUMN branch TEXT;
CREATE INDEX set_branch ON regulator_set (branch, name, regulator_set) WHERE branch IS NOT NULL;
CREATE INDEX set_by_use ON regulator_set (json_extract(record, '$.use'), name, regulator_set);

-- All of this is filled when the store is opened next.
UPDATE projection SET rules = 0;
