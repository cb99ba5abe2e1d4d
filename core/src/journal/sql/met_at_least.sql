-- What others of the fleet wrote is here, so they were met when they wrote it or
-- later: 719163 is the day 1970-01-01 of the common era.
INSERT INTO meeting (only_row, met_on)
SELECT 1, max(newest_ms) / 86400000 + 719163
FROM device, store
WHERE store.owner IS NOT NULL AND device.number IS NOT store.device
HAVING max(newest_ms) > 0
