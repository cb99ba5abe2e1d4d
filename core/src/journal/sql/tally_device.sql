UPDATE device
SET entries = entries + ?2,
    forked = max(forked, ?3),
    newest_seq = max(newest_seq, ?4),
    newest_on = max(newest_on, ?5),
    newest_count = CASE WHEN (?6, ?7) > (newest_ms, newest_count) THEN ?7 ELSE newest_count END,
    newest_ms = max(newest_ms, ?6)
WHERE number = ?1
