-- The device and number of a withdrawn entry, found by whom its withdrawal is about.
SELECT e.device, e.seq
FROM withdrawal w
JOIN hose_entry a ON a.entry = w.entry
JOIN hose_entry b ON b.hose = a.hose
JOIN entry e ON e.number = b.entry
WHERE w.target = ?1 AND e.hash = ?1
UNION
SELECT e.device, e.seq
FROM withdrawal w
JOIN set_entry a ON a.entry = w.entry
JOIN set_entry b ON b.regulator_set = a.regulator_set
JOIN entry e ON e.number = b.entry
WHERE w.target = ?1 AND e.hash = ?1
UNION
SELECT e.device, e.seq
FROM withdrawal w
JOIN fleet_entry a ON a.entry = w.entry
JOIN fleet_entry b
JOIN entry e ON e.number = b.entry
WHERE w.target = ?1 AND e.hash = ?1
