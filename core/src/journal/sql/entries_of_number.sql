SELECT d.id, e.seq, e.on_day, e.at_ms, e.at_count, e.written_by, e.kind, e.version, e.body,
    e.previous, e.signature, e.hash, s.why
FROM entry e
JOIN device d ON d.number = e.device
LEFT JOIN set_aside s ON s.entry = e.number
WHERE e.device = ?1 AND e.seq = ?2
