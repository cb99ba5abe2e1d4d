-- A store of format 1, as the program of its time wrote it. Never made anew.
PRAGMA foreign_keys = OFF;
PRAGMA application_id = 1752389490;
PRAGMA user_version = 1;
BEGIN TRANSACTION;
CREATE TABLE barcode (
    text TEXT NOT NULL,
    hose INTEGER NOT NULL,
    PRIMARY KEY (text, hose)
) STRICT, WITHOUT ROWID;
INSERT INTO "barcode" VALUES('4006381333931',746029126046550994);
CREATE TABLE device (
    -- Each device that has written an entry here; a short number saves room.
    number     INTEGER PRIMARY KEY,
    id         BLOB NOT NULL UNIQUE CHECK (length(id) = 16),
    -- How many different seq it has here: fewer than newest_seq is a gap.
    entries    INTEGER NOT NULL DEFAULT 0,
    newest_seq INTEGER NOT NULL DEFAULT 0,
    newest_on  INTEGER NOT NULL DEFAULT 0,
    newest_ms  INTEGER NOT NULL DEFAULT 0,
    newest_count INTEGER NOT NULL DEFAULT 0
) STRICT;
INSERT INTO "device" VALUES(1,X'BA769C0F175851F88D63626BD4B09529',58,58,739648,1769969401208,1);
CREATE TABLE entry (
    number    INTEGER PRIMARY KEY,
    device    INTEGER NOT NULL REFERENCES device (number),
    seq       INTEGER NOT NULL CHECK (seq > 0),
    -- Days of the common era: the day on which it happened.
    on_day    INTEGER NOT NULL,
    -- The hybrid clock when it was written: milliseconds UTC and a counter.
    at_ms     INTEGER NOT NULL,
    at_count  INTEGER NOT NULL,
    written_by TEXT NOT NULL,
    kind      TEXT NOT NULL,
    version   INTEGER NOT NULL,
    -- The fields of the kind as canonical JSON, exactly as they are hashed.
    body      TEXT NOT NULL,
    -- SHA-256 of the canonical bytes of the whole entry.
    hash      BLOB NOT NULL CHECK (length(hash) = 32),
    -- Ed25519 over the canonical bytes; none for an unsigned entry.
    signature BLOB,
    -- A copied device may write the same number twice: both are kept.
    UNIQUE (device, seq, hash)
) STRICT;
INSERT INTO "entry" VALUES(1,1,1,739261,1736532597627,0,'Tern','registered',1,'{"bought":"2021-08","construction":"rubber","end_a":"3/8-24","end_b":"9/16-18","hose":"GJJN-P5JN-X9EW-J","length":"75cm","lot":"B17","made":"2021-05","maker":"Kelpline","service":"second-stage"}',X'55D4C7C52B7F11D866690846BF21ECE6F921DF54A7BC35C63C4FF7FD66F63DB4',NULL);
INSERT INTO "entry" VALUES(2,1,2,739261,1736532597715,0,'Tern','registered',1,'{"construction":"braided","end_a":"3/8-24","end_b":"9/16-18","hose":"MPKD-H6D1-K2YJ-W","in_service":"2024-04-02","length":"22in","made":"2024-03","protector":true,"service":"second-stage"}',X'F1DDBE6EB0ACD01CC7EC557828C4A456558098C81523B260E22CA43601A1487B',NULL);
INSERT INTO "entry" VALUES(3,1,3,739261,1736532597738,0,'Tern','registered',1,'{"construction":"rubber","end_a":"7/16-20","end_b":"7/16-20","hose":"DB07-AH2P-S13T-W","length":"80cm","made":"2023","service":"gauge"}',X'36A4797659A39899A84EDEDBA385C32D55C7D489794F96484F8B54CA9FD7B60C',NULL);
INSERT INTO "entry" VALUES(4,1,4,739261,1736532597759,0,'Tern','registered',1,'{"construction":"rubber","end_a":"3/8-24","end_b":"quick-disconnect","hose":"ZFZ1-WNQB-YH31-H","length":"70cm","lot":"B17","made":"2022-02","maker":"Kelpline","service":"inflator"}',X'BCD42FEC49FDD148E7876A0B4965D0BDB4E79D6EEB12F501358DA0B3009517DE',NULL);
INSERT INTO "entry" VALUES(5,1,5,739262,1736618997781,0,'Tern','assembled',1,'{"ports":[{"name":"HP1","thread":"7/16-20"},{"name":"LP1","thread":"3/8-24"},{"name":"LP2","thread":"3/8-24"},{"name":"LP3","thread":"3/8-24"},{"name":"LP4","thread":"3/8-24"}],"set":"Heron","use":"rental"}',X'ED7EB90E078BC1AEFEA76C600EEBF15F024D7BA9DE1BDB0F04C0A192D2F98454',NULL);
INSERT INTO "entry" VALUES(6,1,6,739262,1736618997801,0,'Tern','assembled',1,'{"ports":[{"name":"HP1","thread":"7/16-20"},{"name":"LP1","thread":"3/8-24"},{"name":"LP2","thread":"3/8-24"},{"name":"LP3","thread":"3/8-24"}],"set":"Reed warbler","use":"personal"}',X'2A1A29CBFA8CF8CA2146D5381656CF6070A388260136C251493B37734FEB1F99',NULL);
INSERT INTO "entry" VALUES(7,1,7,739262,1736618997833,0,'Tern','inspected',1,'{"hose":"GJJN-P5JN-X9EW-J","kind":"full"}',X'C0B9FAA7853507D06B881E326D2F58F9DD966372B9C614AB7A63C5178E97A689',NULL);
INSERT INTO "entry" VALUES(8,1,8,739262,1736618997857,0,'Tern','inspected',1,'{"hose":"MPKD-H6D1-K2YJ-W","kind":"full"}',X'CB5445DB010B1DABACA924051845AC7052F039E6F4DA9475A55693AF9CD45FAD',NULL);
INSERT INTO "entry" VALUES(9,1,9,739262,1736618997880,0,'Tern','inspected',1,'{"hose":"DB07-AH2P-S13T-W","kind":"full"}',X'8A490C391BBCCBA676CCA278CE0723984595B64B0F5F5F800D2425C20805F7AB',NULL);
INSERT INTO "entry" VALUES(10,1,10,739262,1736618997897,0,'Tern','inspected',1,'{"hose":"ZFZ1-WNQB-YH31-H","kind":"full"}',X'1BA61A832631C173AAF6A8BC3D5712EE491D134E5CF992B294B59840D8180DF6',NULL);
INSERT INTO "entry" VALUES(11,1,11,739262,1736618997924,0,'Tern','fitted',1,'{"hose":"GJJN-P5JN-X9EW-J","port":"LP1","set":"Heron"}',X'C54B6D7038E7182EFEE7A7C4D74C2731FEBD648D848629AA27E3755037BB2DE5',NULL);
INSERT INTO "entry" VALUES(12,1,12,739262,1736618997947,0,'Tern','fitted',1,'{"hose":"DB07-AH2P-S13T-W","port":"HP1","set":"Heron"}',X'24A4B203F36A82B457FC3E6720D56BD81F4CA15DD7CC3CD301A54CD95CF116F3',NULL);
INSERT INTO "entry" VALUES(13,1,13,739283,1738433397960,0,'Tern','inspected',1,'{"findings":["run:cut:cover","end-a:salt"],"hose":"GJJN-P5JN-X9EW-J","kind":"full","note":"by the window"}',X'6D537FAD52E338B67D87AC748C5B7013BE2DB202F26DFA1CD21F1EF160073FDE',NULL);
INSERT INTO "entry" VALUES(14,1,14,739283,1738433397981,0,'Tern','inspected',1,'{"hose":"GJJN-P5JN-X9EW-J","kind":"leak-test","test":{"passed":true,"pressure":"200bar"}}',X'FDB7EBD66BECA375D84A54B7C483BA19E7D65946241AD5A75049733B9CB6C72B',NULL);
INSERT INTO "entry" VALUES(15,1,15,739283,1738433397997,0,'Tern','inspected',1,'{"hose":"DB07-AH2P-S13T-W","kind":"leak-test","test":{"passed":false,"pressure":"200bar"}}',X'B9B27F3F81C550D3F94F924F44A3E38B213ECD718E7C8A21F1FDDE3DEE09C6E9',NULL);
INSERT INTO "entry" VALUES(16,1,16,739284,1738519798024,0,'Tern','resealed',1,'{"end":"a","hose":"DB07-AH2P-S13T-W","seal":"-012"}',X'225D834E5C8E53A445AE72F82DF19A7C5407588D91942C0B8CCBA075258D2407',NULL);
INSERT INTO "entry" VALUES(17,1,17,739284,1738519798043,0,'Tern','resealed',1,'{"end":"b","hose":"DB07-AH2P-S13T-W"}',X'192BC3F0836701E374A104DDEC1ECD6CE350A1688A65E86D05FB7E9865B76AC2',NULL);
INSERT INTO "entry" VALUES(18,1,18,739284,1738519798071,0,'Tern','inspected',1,'{"hose":"DB07-AH2P-S13T-W","kind":"leak-test","test":{"passed":true,"pressure":"3000psi"}}',X'A07715A3964E2C15D98BD169CB17FC6B667A07EFDDB9CED658BF18BACE309B8B',NULL);
INSERT INTO "entry" VALUES(19,1,19,739285,1738606198101,0,'Tern','cleaned',1,'{"hose":"GJJN-P5JN-X9EW-J"}',X'C04346BE89762023013846A7AF0020D3FF66AED420454363F8C20DE2A3A6E93E',NULL);
INSERT INTO "entry" VALUES(20,1,20,739286,1738692598124,0,'Tern','described',1,'{"construction":"rubber","end_a":"7/16-20","end_b":"7/16-20","hose":"DB07-AH2P-S13T-W","length":"80cm","lot":"7-2","made":"2023","maker":"Fathomworks","service":"gauge"}',X'62C9C285BA2DF9586985284F405FCC4680F0E131A4EF7BB0CBC096D076F69E95',NULL);
INSERT INTO "entry" VALUES(21,1,21,739287,1738778998149,0,'Tern','bound',1,'{"barcode":"4006381333931","hose":"MPKD-H6D1-K2YJ-W"}',X'F7AF4249DF5EC2923F9706455E329F23FEA1C1DA5A2700E564599731964B2EB4',NULL);
INSERT INTO "entry" VALUES(22,1,22,739311,1740852598173,0,'Tern','handed-out',1,'{"hoses":["DB07-AH2P-S13T-W","GJJN-P5JN-X9EW-J"],"set":"Heron","ticket":"4711"}',X'61C98C2E531610D76C75D24FD7FA3E43C19A48B164D93D992E660B7DB21F4A6F',NULL);
INSERT INTO "entry" VALUES(23,1,23,739315,1741198198205,0,'Tern','returned',1,'{"hoses":["DB07-AH2P-S13T-W","GJJN-P5JN-X9EW-J"],"set":"Heron","ticket":"4711"}',X'FDF4745308B78FF3C2D6B7604672BFD23020DCDB1BD53C52DDD0047368832EBB',NULL);
INSERT INTO "entry" VALUES(24,1,24,739315,1741198198205,1,'Tern','dived',1,'{"dives":4,"hoses":["DB07-AH2P-S13T-W","GJJN-P5JN-X9EW-J"]}',X'36B7DA8D84CFEF02B85696B5B44FF62BCA4048AE9547C7DDCFC0F560DF0F1B68',NULL);
INSERT INTO "entry" VALUES(25,1,25,739315,1741198198205,2,'Tern','inspected',1,'{"hose":"DB07-AH2P-S13T-W","kind":"quick"}',X'CFFE6AEAAAEAD7C0912C92B771D9469B269441D852E20798CDADAA55D8E964FF',NULL);
INSERT INTO "entry" VALUES(26,1,26,739315,1741198198205,3,'Tern','inspected',1,'{"findings":["run:scuff"],"hose":"GJJN-P5JN-X9EW-J","kind":"quick"}',X'46E5ED793896292D2E0EAE2B0168FA2EB8B901B3BD232A0CB778746003E1C073',NULL);
INSERT INTO "entry" VALUES(27,1,27,739342,1743530998440,0,'Tern','swapped',1,'{"answer":"done","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"depressurised"}',X'F4D99ACF76679E6F93593A06E430A5F28705C169671B22CE29B3E35B37D3FD70',NULL);
INSERT INTO "entry" VALUES(28,1,28,739342,1743530998778,0,'Tern','swapped',1,'{"answer":"done","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"laid-out"}',X'40E29C726AE0ACD448E56087E4120CDC9BF83CA8CD9F71ECA204154CD5CC4E03',NULL);
INSERT INTO "entry" VALUES(29,1,29,739342,1743530998938,0,'Tern','swapped',1,'{"answer":"GJJN-P5JN-X9EW-J","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"old-tag"}',X'7A37DFA4A9F0936586FEA45E1CFEA20473AA1412B07FB2FABD3E74EFC05A4CBE',NULL);
INSERT INTO "entry" VALUES(30,1,30,739342,1743530999106,0,'Tern','swapped',1,'{"answer":"done","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"held"}',X'C1D481B1E3660BBCD99D6F0D1C96FEE4C7E6F24BACB7657BC7A98B6BEF3A169C',NULL);
INSERT INTO "entry" VALUES(31,1,31,739342,1743530999317,0,'Tern','swapped',1,'{"answer":"done","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"spanner"}',X'AB49945976CF33837B5AF0DBF9A0AD99C451E515344F56823B96DE6E3C3E6E56',NULL);
INSERT INTO "entry" VALUES(32,1,32,739342,1743530999489,0,'Tern','swapped',1,'{"answer":"done","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"off"}',X'FAA1252528DC247B7B1CAEAA7E833C993352D86FD56776AE4EFBF9F4190BA50B',NULL);
INSERT INTO "entry" VALUES(33,1,33,739342,1743530999489,1,'Tern','removed',1,'{"hose":"GJJN-P5JN-X9EW-J","port":"LP1","set":"Heron"}',X'44EBF335F73CEC9EECB4E157F3C7CFFD56BD9F02839F2BA7870CF8D2F91EDDB2',NULL);
INSERT INTO "entry" VALUES(34,1,34,739342,1743530999680,0,'Tern','swapped',1,'{"answer":"done","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"far-end-off"}',X'23AC3BB37AD8702AEF47FDC946266D1D16B474EFE47343F3D6BA31E70761F27A',NULL);
INSERT INTO "entry" VALUES(35,1,35,739342,1743530999836,0,'Tern','swapped',1,'{"answer":"good","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"seals"}',X'B430ACB3B9F9A52E6B36E508BE62C05A659A6491B53DCE7E5DCBDBC07F8C6A3C',NULL);
INSERT INTO "entry" VALUES(36,1,36,739342,1743530999992,0,'Tern','swapped',1,'{"answer":"MPKD-H6D1-K2YJ-W","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"new-tag"}',X'8D8ECEF90A048B00D47833F154E4EBDFCC59CF799356ADF2ACB31A2C7FEC7BA3',NULL);
INSERT INTO "entry" VALUES(37,1,37,739342,1743531000144,0,'Tern','swapped',1,'{"answer":"done","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"started"}',X'8D34F9D93E2E7527B25A570BCE80D69804E99F2B1570A4FFA0633BFB794473F1',NULL);
INSERT INTO "entry" VALUES(38,1,38,739342,1743531000300,0,'Tern','swapped',1,'{"answer":"5 N·m","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"tightened"}',X'DD9C50C0F3C3B2DCFDE2EAB2A137C4797BFBC9EF3E0D60F5D89F033280DE6968',NULL);
INSERT INTO "entry" VALUES(39,1,39,739342,1743531000300,1,'Tern','fitted',1,'{"hose":"MPKD-H6D1-K2YJ-W","port":"LP1","set":"Heron"}',X'C3686D8747B8D919784661813DC59129C3EC90D8CD488BA2F93DCA583EDE721E',NULL);
INSERT INTO "entry" VALUES(40,1,40,739342,1743531000433,0,'Tern','swapped',1,'{"answer":"done","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"far-end-on"}',X'4BB1A55497B1452ED6F5FA46FA77B8ADD172E42CEB07498F893817EB5C9AACB1',NULL);
INSERT INTO "entry" VALUES(41,1,41,739342,1743531000577,0,'Tern','swapped',1,'{"answer":"done","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"protector-on"}',X'7786B8DD327BF7C457B4938A6BED1422BCF15FE7912903B9F6F4F674D8089A2D',NULL);
INSERT INTO "entry" VALUES(42,1,42,739342,1743531000770,0,'Tern','inspected',1,'{"hose":"MPKD-H6D1-K2YJ-W","kind":"leak-test","test":{"passed":true,"pressure":"200 bar"}}',X'E24E438A2AFBBCFFAFBA309DB8B540FA0793698494D23E2E188163FC649F53C7',NULL);
INSERT INTO "entry" VALUES(43,1,43,739342,1743531000770,1,'Tern','swapped',1,'{"answer":"passed at 200 bar","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"leak-test"}',X'075AFA20E8EFB47D35C0CDE6E05A9C3B9FE13C3A4D2F9DFBD5187E167608A293',NULL);
INSERT INTO "entry" VALUES(44,1,44,739342,1743531000902,0,'Tern','swapped',1,'{"answer":"stock","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"old-goes"}',X'DDE18888E8B69C040B067339F8C48E6684CBB92309A4E7C0A913FBCAE6113DAA',NULL);
INSERT INTO "entry" VALUES(45,1,45,739342,1743531000902,1,'Tern','swapped',1,'{"answer":"finished","hoses":["GJJN-P5JN-X9EW-J","MPKD-H6D1-K2YJ-W"],"port":"LP1","set":"Heron","step":"end"}',X'C6B5E65F715D1F387BB303E5AA2AEEDBEB29657C669F7B79FA0F582AE603323D',NULL);
INSERT INTO "entry" VALUES(46,1,46,739605,1766254201033,0,'Tern','handed-out',1,'{"hoses":["DB07-AH2P-S13T-W","MPKD-H6D1-K2YJ-W"],"override_why":"the technician looked at it","set":"Heron","ticket":"4712"}',X'8CDD0AB967C9FCE3441C5908248C04CBE74AF1E85527F45E2EBB61677A32487D',NULL);
INSERT INTO "entry" VALUES(47,1,47,739607,1766427001052,0,'Tern','returned',1,'{"hoses":["DB07-AH2P-S13T-W","MPKD-H6D1-K2YJ-W"],"set":"Heron","ticket":"4712"}',X'2329C4D3D26A97C77CAB888B9BAA06C86A64B3DC1957BD373ADA6799DC0E59F0',NULL);
INSERT INTO "entry" VALUES(48,1,48,739607,1766427001052,1,'Tern','dived',1,'{"dives":2,"hoses":["DB07-AH2P-S13T-W","MPKD-H6D1-K2YJ-W"]}',X'1B6CA6B4D72685F7B502C4776F667651ADC5AB106BAD7D71EB0D9788D0735126',NULL);
INSERT INTO "entry" VALUES(49,1,49,739607,1766427001052,2,'Tern','inspected',1,'{"hose":"DB07-AH2P-S13T-W","kind":"quick"}',X'845508E40C007C77750EB68E475B6D6B1F026B2C24C4CA91102CF41A1FBF9FE6',NULL);
INSERT INTO "entry" VALUES(50,1,50,739607,1766427001052,3,'Tern','inspected',1,'{"hose":"MPKD-H6D1-K2YJ-W","kind":"quick"}',X'1F2230FA91958B95F56F5C03C20F4322B6084E49E8E9AC57FFB9C12D6BF0AE90',NULL);
INSERT INTO "entry" VALUES(51,1,51,739617,1767291001073,0,'Tern','limited',1,'{"limits":{"dives":300},"use":"rental"}',X'D5023B06038DEEFA86A4ED50ED548EC782557460D55B8B85396EAFEA0C35C7D5',NULL);
INSERT INTO "entry" VALUES(52,1,52,739618,1767377401096,0,'Tern','recalled',1,'{"lot":"B17","maker":"Kelpline","why":"crimps slip"}',X'1763E7A993AA53D5A9D7B6F33AD8B2E6BCF7F1D73013C8239D31B863C89A9AB6',NULL);
INSERT INTO "entry" VALUES(53,1,53,739619,1767463801127,0,'Tern','set-aside',1,'{"hose":"ZFZ1-WNQB-YH31-H","lot":"B17"}',X'966AECAF739D867C8B1ADF1B2A23EBB6C9CA30D8E5A9E69EE4D06883D8E59420',NULL);
INSERT INTO "entry" VALUES(54,1,54,739620,1767550201158,0,'Tern','fitted',1,'{"hose":"GJJN-P5JN-X9EW-J","port":"LP1","set":"Reed warbler"}',X'014EAB17796CEAABEAA8073BFFCBBCF1C8FAB89B65B1ABAA3E38CB5A00C1F4BA',NULL);
INSERT INTO "entry" VALUES(55,1,55,739620,1767550201177,0,'Tern','removed',1,'{"hose":"DB07-AH2P-S13T-W","port":"HP1","set":"Heron"}',X'CB209C8F7FBB768BEE7BFAF2982E1C5F945C934F85C322DC19C8C010AC2F0631',NULL);
INSERT INTO "entry" VALUES(56,1,56,739621,1767636601195,0,'Tern','tagged',1,'{"hose":"MPKD-H6D1-K2YJ-W","tag":"73G9-EEVZ-GBCE-6"}',X'DC1D20C0EC105B05EB9D64289BDDCE60FFD9711CD1E6CD3D55235B60BA782641',NULL);
INSERT INTO "entry" VALUES(57,1,57,739648,1769969401208,0,'Tern','removed',1,'{"hose":"GJJN-P5JN-X9EW-J","port":"LP1","set":"Reed warbler"}',X'4108659786127DCBCE08EB0B5F8150BA7C02A8226E1C9C8C8CD19F432A1D8750',NULL);
INSERT INTO "entry" VALUES(58,1,58,739648,1769969401208,1,'Tern','retired',1,'{"hose":"GJJN-P5JN-X9EW-J","why":"cut to the reinforcement"}',X'87B7CB6A53E23C213A5B28C4B293A380D86F7F5A23D410DA0013C68D8837224A',NULL);
CREATE TABLE fleet (
    only_row INTEGER PRIMARY KEY CHECK (only_row = 1),
    record   TEXT NOT NULL
) STRICT;
INSERT INTO "fleet" VALUES(1,'{"limits":[[{"use":"rental"},{"dives":300}]],"recalls":[{"lot":"B17","maker":"Kelpline","why":"crimps slip","on":"2026-01-02"}]}');
CREATE TABLE fleet_entry (
    entry INTEGER PRIMARY KEY REFERENCES entry (number)
) STRICT;
INSERT INTO "fleet_entry" VALUES(51);
INSERT INTO "fleet_entry" VALUES(52);
CREATE TABLE hose (
    hose   INTEGER PRIMARY KEY,
    record TEXT NOT NULL
) STRICT;
INSERT INTO "hose" VALUES(480767318745187450,'{"hose":"DB07-AH2P-S13T-W","specification":{"service":"gauge","construction":"rubber","length":"80cm","end_a":"7/16-20","end_b":"7/16-20"},"origin":{"made":"2023","maker":"Fathomworks","lot":"7-2"},"tags":[{"code":"DB07-AH2P-S13T-W","since":"2025-01-10"}],"first_fitted":"2025-01-11","seated_on":"2026-01-04","seen":[{"on":"2025-12-22","by":"Tern","look":{"kind":"quick"}},{"on":"2025-01-11","by":"Tern","look":{"kind":"full"}},{"on":"2025-02-02","by":"Tern","look":{"kind":"leak-test","test":{"passed":true,"pressure":"3000psi"}}}],"dives":6,"unread":0,"newest_on":"2026-01-04","newest_at":[1767550201177,0]}');
INSERT INTO "hose" VALUES(597384120978286044,'{"hose":"GJJN-P5JN-X9EW-J","specification":{"service":"second-stage","construction":"rubber","length":"75cm","end_a":"3/8-24","end_b":"9/16-18"},"origin":{"made":"2021-05","bought":"2021-08","maker":"Kelpline","lot":"B17"},"tags":[{"code":"GJJN-P5JN-X9EW-J","since":"2025-01-10"}],"first_fitted":"2025-01-11","seated_on":"2026-02-01","open":[{"seen":"run:cut:cover","on":"2025-02-01","by":"Tern"},{"seen":"run:scuff","on":"2025-03-05","by":"Tern"}],"seen":[{"on":"2025-03-05","by":"Tern","look":{"kind":"quick","findings":["run:scuff"]}},{"on":"2025-02-01","by":"Tern","look":{"kind":"full","findings":["run:cut:cover","end-a:salt"],"note":"by the window"}},{"on":"2025-02-01","by":"Tern","look":{"kind":"leak-test","test":{"passed":true,"pressure":"200bar"}}}],"leak_due":{"since":"2026-01-04","because":"fitted"},"dives":4,"retired":{"on":"2026-02-01","by":"Tern","why":"cut to the reinforcement"},"unread":0,"newest_on":"2026-02-01","newest_at":[1769969401208,1]}');
INSERT INTO "hose" VALUES(746029126046550994,'{"hose":"MPKD-H6D1-K2YJ-W","specification":{"service":"second-stage","construction":"braided","length":"22in","end_a":"3/8-24","end_b":"9/16-18","protector":true},"origin":{"made":"2024-03","in_service":"2024-04-02"},"tags":[{"code":"MPKD-H6D1-K2YJ-W","since":"2025-01-10","withdrawn":"2026-01-05"},{"code":"73G9-EEVZ-GBCE-6","since":"2026-01-05"}],"barcodes":["4006381333931"],"first_fitted":"2025-04-01","seat":{"set":"Heron","port":"LP1"},"seated_on":"2025-04-01","seen":[{"on":"2025-12-22","by":"Tern","look":{"kind":"quick"}},{"on":"2025-01-11","by":"Tern","look":{"kind":"full"}},{"on":"2025-04-01","by":"Tern","look":{"kind":"leak-test","test":{"passed":true,"pressure":"200 bar"}}}],"dives":2,"unread":0,"newest_on":"2026-01-05","newest_at":[1767636601195,0]}');
INSERT INTO "hose" VALUES(1134874006642443361,'{"hose":"ZFZ1-WNQB-YH31-H","specification":{"service":"inflator","construction":"rubber","length":"70cm","end_a":"3/8-24","end_b":"quick-disconnect"},"origin":{"made":"2022-02","maker":"Kelpline","lot":"B17"},"tags":[{"code":"ZFZ1-WNQB-YH31-H","since":"2025-01-10"}],"seen":[{"on":"2025-01-11","by":"Tern","look":{"kind":"full"}}],"dives":0,"set_aside":["B17"],"unread":0,"newest_on":"2026-01-03","newest_at":[1767463801127,0]}');
CREATE TABLE hose_entry (
    hose  INTEGER NOT NULL,
    entry INTEGER NOT NULL REFERENCES entry (number),
    PRIMARY KEY (hose, entry)
) STRICT, WITHOUT ROWID;
INSERT INTO "hose_entry" VALUES(480767318745187450,3);
INSERT INTO "hose_entry" VALUES(480767318745187450,9);
INSERT INTO "hose_entry" VALUES(480767318745187450,12);
INSERT INTO "hose_entry" VALUES(480767318745187450,15);
INSERT INTO "hose_entry" VALUES(480767318745187450,16);
INSERT INTO "hose_entry" VALUES(480767318745187450,17);
INSERT INTO "hose_entry" VALUES(480767318745187450,18);
INSERT INTO "hose_entry" VALUES(480767318745187450,20);
INSERT INTO "hose_entry" VALUES(480767318745187450,22);
INSERT INTO "hose_entry" VALUES(480767318745187450,23);
INSERT INTO "hose_entry" VALUES(480767318745187450,24);
INSERT INTO "hose_entry" VALUES(480767318745187450,25);
INSERT INTO "hose_entry" VALUES(480767318745187450,46);
INSERT INTO "hose_entry" VALUES(480767318745187450,47);
INSERT INTO "hose_entry" VALUES(480767318745187450,48);
INSERT INTO "hose_entry" VALUES(480767318745187450,49);
INSERT INTO "hose_entry" VALUES(480767318745187450,55);
INSERT INTO "hose_entry" VALUES(597384120978286044,1);
INSERT INTO "hose_entry" VALUES(597384120978286044,7);
INSERT INTO "hose_entry" VALUES(597384120978286044,11);
INSERT INTO "hose_entry" VALUES(597384120978286044,13);
INSERT INTO "hose_entry" VALUES(597384120978286044,14);
INSERT INTO "hose_entry" VALUES(597384120978286044,19);
INSERT INTO "hose_entry" VALUES(597384120978286044,22);
INSERT INTO "hose_entry" VALUES(597384120978286044,23);
INSERT INTO "hose_entry" VALUES(597384120978286044,24);
INSERT INTO "hose_entry" VALUES(597384120978286044,26);
INSERT INTO "hose_entry" VALUES(597384120978286044,27);
INSERT INTO "hose_entry" VALUES(597384120978286044,28);
INSERT INTO "hose_entry" VALUES(597384120978286044,29);
INSERT INTO "hose_entry" VALUES(597384120978286044,30);
INSERT INTO "hose_entry" VALUES(597384120978286044,31);
INSERT INTO "hose_entry" VALUES(597384120978286044,32);
INSERT INTO "hose_entry" VALUES(597384120978286044,33);
INSERT INTO "hose_entry" VALUES(597384120978286044,34);
INSERT INTO "hose_entry" VALUES(597384120978286044,35);
INSERT INTO "hose_entry" VALUES(597384120978286044,36);
INSERT INTO "hose_entry" VALUES(597384120978286044,37);
INSERT INTO "hose_entry" VALUES(597384120978286044,38);
INSERT INTO "hose_entry" VALUES(597384120978286044,40);
INSERT INTO "hose_entry" VALUES(597384120978286044,41);
INSERT INTO "hose_entry" VALUES(597384120978286044,43);
INSERT INTO "hose_entry" VALUES(597384120978286044,44);
INSERT INTO "hose_entry" VALUES(597384120978286044,45);
INSERT INTO "hose_entry" VALUES(597384120978286044,54);
INSERT INTO "hose_entry" VALUES(597384120978286044,57);
INSERT INTO "hose_entry" VALUES(597384120978286044,58);
INSERT INTO "hose_entry" VALUES(746029126046550994,2);
INSERT INTO "hose_entry" VALUES(746029126046550994,8);
INSERT INTO "hose_entry" VALUES(746029126046550994,21);
INSERT INTO "hose_entry" VALUES(746029126046550994,27);
INSERT INTO "hose_entry" VALUES(746029126046550994,28);
INSERT INTO "hose_entry" VALUES(746029126046550994,29);
INSERT INTO "hose_entry" VALUES(746029126046550994,30);
INSERT INTO "hose_entry" VALUES(746029126046550994,31);
INSERT INTO "hose_entry" VALUES(746029126046550994,32);
INSERT INTO "hose_entry" VALUES(746029126046550994,34);
INSERT INTO "hose_entry" VALUES(746029126046550994,35);
INSERT INTO "hose_entry" VALUES(746029126046550994,36);
INSERT INTO "hose_entry" VALUES(746029126046550994,37);
INSERT INTO "hose_entry" VALUES(746029126046550994,38);
INSERT INTO "hose_entry" VALUES(746029126046550994,39);
INSERT INTO "hose_entry" VALUES(746029126046550994,40);
INSERT INTO "hose_entry" VALUES(746029126046550994,41);
INSERT INTO "hose_entry" VALUES(746029126046550994,42);
INSERT INTO "hose_entry" VALUES(746029126046550994,43);
INSERT INTO "hose_entry" VALUES(746029126046550994,44);
INSERT INTO "hose_entry" VALUES(746029126046550994,45);
INSERT INTO "hose_entry" VALUES(746029126046550994,46);
INSERT INTO "hose_entry" VALUES(746029126046550994,47);
INSERT INTO "hose_entry" VALUES(746029126046550994,48);
INSERT INTO "hose_entry" VALUES(746029126046550994,50);
INSERT INTO "hose_entry" VALUES(746029126046550994,56);
INSERT INTO "hose_entry" VALUES(1134874006642443361,4);
INSERT INTO "hose_entry" VALUES(1134874006642443361,10);
INSERT INTO "hose_entry" VALUES(1134874006642443361,53);
CREATE TABLE regulator_set (
    name   TEXT PRIMARY KEY,
    record TEXT NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO "regulator_set" VALUES('Heron','{"name":"Heron","use":"rental","since":"2025-01-11","ports":[{"name":"HP1","thread":"7/16-20"},{"name":"LP1","thread":"3/8-24"},{"name":"LP2","thread":"3/8-24"},{"name":"LP3","thread":"3/8-24"},{"name":"LP4","thread":"3/8-24"}],"hoses":{"LP1":"MPKD-H6D1-K2YJ-W"},"back_on":"2025-12-22","unread":0}');
INSERT INTO "regulator_set" VALUES('Reed warbler','{"name":"Reed warbler","use":"personal","since":"2025-01-11","ports":[{"name":"HP1","thread":"7/16-20"},{"name":"LP1","thread":"3/8-24"},{"name":"LP2","thread":"3/8-24"},{"name":"LP3","thread":"3/8-24"}],"hoses":{},"unread":0}');
CREATE TABLE set_entry (
    regulator_set TEXT NOT NULL,
    entry INTEGER NOT NULL REFERENCES entry (number),
    PRIMARY KEY (regulator_set, entry)
) STRICT, WITHOUT ROWID;
INSERT INTO "set_entry" VALUES('Heron',5);
INSERT INTO "set_entry" VALUES('Heron',11);
INSERT INTO "set_entry" VALUES('Heron',12);
INSERT INTO "set_entry" VALUES('Heron',22);
INSERT INTO "set_entry" VALUES('Heron',23);
INSERT INTO "set_entry" VALUES('Heron',27);
INSERT INTO "set_entry" VALUES('Heron',28);
INSERT INTO "set_entry" VALUES('Heron',29);
INSERT INTO "set_entry" VALUES('Heron',30);
INSERT INTO "set_entry" VALUES('Heron',31);
INSERT INTO "set_entry" VALUES('Heron',32);
INSERT INTO "set_entry" VALUES('Heron',33);
INSERT INTO "set_entry" VALUES('Heron',34);
INSERT INTO "set_entry" VALUES('Heron',35);
INSERT INTO "set_entry" VALUES('Heron',36);
INSERT INTO "set_entry" VALUES('Heron',37);
INSERT INTO "set_entry" VALUES('Heron',38);
INSERT INTO "set_entry" VALUES('Heron',39);
INSERT INTO "set_entry" VALUES('Heron',40);
INSERT INTO "set_entry" VALUES('Heron',41);
INSERT INTO "set_entry" VALUES('Heron',43);
INSERT INTO "set_entry" VALUES('Heron',44);
INSERT INTO "set_entry" VALUES('Heron',45);
INSERT INTO "set_entry" VALUES('Heron',46);
INSERT INTO "set_entry" VALUES('Heron',47);
INSERT INTO "set_entry" VALUES('Heron',55);
INSERT INTO "set_entry" VALUES('Reed warbler',6);
INSERT INTO "set_entry" VALUES('Reed warbler',54);
INSERT INTO "set_entry" VALUES('Reed warbler',57);
CREATE TABLE store (
    -- One row: which device this store writes as.
    only_row INTEGER PRIMARY KEY CHECK (only_row = 1),
    device   INTEGER NOT NULL REFERENCES device (number)
) STRICT;
INSERT INTO "store" VALUES(1,1);
CREATE TABLE tag (
    tag   INTEGER NOT NULL,
    hose  INTEGER NOT NULL,
    -- Sorts as the moment the tag was given to the hose.
    since TEXT NOT NULL,
    -- 1 while the tag is the hose's own, 0 once it was replaced.
    current INTEGER NOT NULL,
    PRIMARY KEY (tag, hose)
) STRICT, WITHOUT ROWID;
INSERT INTO "tag" VALUES(256152621419081102,746029126046550994,'2026-01-05',1);
INSERT INTO "tag" VALUES(480767318745187450,480767318745187450,'2025-01-10',1);
INSERT INTO "tag" VALUES(597384120978286044,597384120978286044,'2025-01-10',1);
INSERT INTO "tag" VALUES(746029126046550994,746029126046550994,'2025-01-10',0);
INSERT INTO "tag" VALUES(1134874006642443361,1134874006642443361,'2025-01-10',1);
CREATE INDEX tag_of_hose ON tag (hose);
CREATE INDEX barcode_of_hose ON barcode (hose);
COMMIT;
