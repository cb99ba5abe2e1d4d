-- What is in stock, by what must be the same for one hose to take another's
-- place, with what its likeness is told by: which hose fits is then found
-- without reading every hose. The last two are always nothing: SQLite then reads
-- the index alone.
CREATE INDEX hose_in_stock ON hose (
    json_extract(record, '$.specification.service'),
    json_extract(record, '$.specification.end_a'),
    lower(json_extract(record, '$.specification.end_b')),
    json_extract(record, '$.specification.construction'),
    json_extract(record, '$.specification.length'),
    json_extract(record, '$.seat'),
    json_extract(record, '$.retired')
) WHERE json_extract(record, '$.seat') IS NULL AND json_extract(record, '$.retired') IS NULL;

-- Every lot on record with its makers and hoses.
CREATE INDEX hose_of_lot ON hose (
    json_extract(record, '$.origin.lot'), json_extract(record, '$.origin.maker')
) WHERE json_extract(record, '$.origin.lot') IS NOT NULL;

-- The sets that are with a hirer.
CREATE INDEX set_out ON regulator_set (name) WHERE json_extract(record, '$.out') IS NOT NULL;
