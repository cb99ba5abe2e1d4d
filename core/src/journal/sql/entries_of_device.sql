SELECT d.id, e.seq, e.on_day, e.at_ms, e.at_count, e.written_by, e.kind, e.version, e.body,
    e.previous, e.signature, e.hash, s.why
FROM device d
JOIN entry e ON e.device = d.number
LEFT JOIN set_aside s ON s.entry = e.number
WHERE d.id = ?1 AND e.seq > ?2
ORDER BY e.seq, e.hash
