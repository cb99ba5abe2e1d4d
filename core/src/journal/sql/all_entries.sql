SELECT d.id, e.seq, e.on_day, e.at_ms, e.at_count, e.written_by, e.kind, e.version, e.body, e.signature, e.hash
FROM entry e
JOIN device d ON d.number = e.device
ORDER BY e.number
