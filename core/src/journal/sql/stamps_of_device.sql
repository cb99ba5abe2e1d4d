-- A device's own clock, newest first; what is withdrawn is left out.
SELECT e.at_ms, e.at_count, e.hash
FROM entry e
WHERE e.device = ?1 AND e.hash NOT IN (SELECT target FROM withdrawal WHERE counts = 1)
ORDER BY e.at_ms DESC, e.at_count DESC
