-- What owners' keys said of devices: each with whether this device wrote it down, and whether it
-- came here after this device wrote something at or after a time (milliseconds UTC).
SELECT json_extract(e.body, '$.warrant'),
       e.device = s.device,
       e.number > coalesce(
           (SELECT min(o.number) FROM entry o WHERE o.device = s.device AND o.at_ms >= ?1),
           e.number)
FROM fleet_entry t
JOIN entry e ON e.number = t.entry
CROSS JOIN store s
WHERE e.kind = 'enrolled' AND e.version = 1
