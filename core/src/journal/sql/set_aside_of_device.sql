SELECT s.why, count(*)
FROM device d
JOIN entry e ON e.device = d.number
JOIN set_aside s ON s.entry = e.number
WHERE d.id = ?1
GROUP BY s.why
ORDER BY s.why
