-- Sets that are packed and wait to go out.
CREATE INDEX set_packed ON regulator_set (name) WHERE json_extract(record, '$.packed') IS NOT NULL;
