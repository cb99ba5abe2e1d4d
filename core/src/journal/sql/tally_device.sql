UPDATE device
SET entries = entries + ?2,
    forked = max(forked, 1 - ?2),
    newest_seq = max(newest_seq, ?3)
WHERE number = ?1
