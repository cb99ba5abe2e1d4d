INSERT INTO hose_text (rowid, number, code, lot, maker, model, place, description, note)
SELECT value ->> 0, value ->> '$[1][0]', value ->> '$[1][1]', value ->> '$[1][2]', value ->> '$[1][3]',
       value ->> '$[1][4]', value ->> '$[1][5]', value ->> '$[1][6]', value ->> '$[1][7]'
FROM json_each(?1);
