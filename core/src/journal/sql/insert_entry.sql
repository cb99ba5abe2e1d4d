INSERT INTO entry (device, seq, on_day, at_ms, at_count, written_by, kind, version, body, hash, previous, signature)
VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)
ON CONFLICT (device, seq, hash) DO NOTHING
