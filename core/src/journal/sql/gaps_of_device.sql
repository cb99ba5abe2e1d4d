-- Runs of numbers of a device that are not here, the latest first, with the clock
-- of the entry after each.
WITH numbered AS (
    SELECT e.seq, min(e.at_ms) AS at_ms, min(e.at_count) AS at_count
    FROM device d
    JOIN entry e ON e.device = d.number
    WHERE d.id = ?1
    GROUP BY e.seq
), stepped AS (
    SELECT seq, at_ms, at_count, lag(seq, 1, 0) OVER (ORDER BY seq) AS before FROM numbered
)
SELECT before + 1, seq - 1, at_ms, at_count FROM stepped
WHERE seq > before + 1
ORDER BY seq DESC
