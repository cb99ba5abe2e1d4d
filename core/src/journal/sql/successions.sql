SELECT json_extract(e.body, '$.succession')
FROM fleet_entry t
JOIN entry e ON e.number = t.entry
WHERE e.kind = 'succeeded' AND e.version = 1
