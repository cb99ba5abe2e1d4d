UPDATE device
SET entries = entries + ?2,
    newest_seq = max(newest_seq, ?3),
    newest_on = max(newest_on, ?4),
    newest_count = CASE WHEN (?5, ?6) > (newest_ms, newest_count) THEN ?6 ELSE newest_count END,
    newest_ms = max(newest_ms, ?5)
WHERE number = ?1
