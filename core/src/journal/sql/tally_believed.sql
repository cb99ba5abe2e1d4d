UPDATE device
SET newest_on = max(newest_on, ?2),
    newest_count = CASE WHEN (?3, ?4) > (newest_ms, newest_count) THEN ?4 ELSE newest_count END,
    newest_ms = max(newest_ms, ?3)
WHERE number = ?1
