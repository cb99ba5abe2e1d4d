-- The first day on which a hose's verdict is at least so bad by itself: the first day there is
-- where it is from the beginning, the last where it never is. Without an entry no verdict
-- becomes better, so that three days say them all.
DROP TABLE standing;
ALTER TABLE hose_row ADD COLUMN watch_from INTEGER NOT NULL DEFAULT 0;
ALTER TABLE hose_row ADD COLUMN hold_from INTEGER NOT NULL DEFAULT 0;
ALTER TABLE hose_row ADD COLUMN retire_from INTEGER NOT NULL DEFAULT 0;

CREATE INDEX row_watch ON hose_row (watch_from, hold_from);
CREATE INDEX row_hold ON hose_row (hold_from, retire_from);
CREATE INDEX row_retire ON hose_row (retire_from);

-- With the verdict, so that no row is read to count.
DROP INDEX row_location;
DROP INDEX row_service;
DROP INDEX row_maker;
DROP INDEX row_branch;
CREATE INDEX row_location ON hose_row (location, watch_from, hold_from, retire_from, rental);
CREATE INDEX row_service ON hose_row (service, watch_from, hold_from, retire_from, rental);
CREATE INDEX row_maker ON hose_row (maker, watch_from, hold_from, retire_from, rental)
    WHERE maker IS NOT NULL;
CREATE INDEX row_branch ON hose_row (branch, watch_from, hold_from, retire_from, rental)
    WHERE branch IS NOT NULL;

-- All that lists are filtered by, to count by several of them.
CREATE INDEX row_filter ON hose_row (
    location, service, maker, branch, lot, regulator_set, due, looked,
    watch_from, hold_from, retire_from, rental, registered_ms, registered_count
);

-- All of this is filled when the store is opened next.
UPDATE projection SET rules = 0;
