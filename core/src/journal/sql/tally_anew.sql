WITH believed AS (
    SELECT e.on_day, e.at_ms, e.at_count
    FROM entry e
    LEFT JOIN set_aside s ON s.entry = e.number
    WHERE e.device = ?1 AND (s.why IS NULL OR s.why IN ('doubled', 'back-dated', 'rights-taken'))
        AND e.hash NOT IN (SELECT target FROM withdrawal WHERE counts = 1)
)
UPDATE device
SET newest_on = coalesce((SELECT max(on_day) FROM believed), 0),
    newest_ms = coalesce((SELECT max(at_ms) FROM believed), 0),
    newest_count = coalesce(
        (SELECT at_count FROM believed ORDER BY at_ms DESC, at_count DESC LIMIT 1), 0)
WHERE number = ?1
