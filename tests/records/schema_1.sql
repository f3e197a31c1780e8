-- A house of schema 1, as its first version left it.
BEGIN TRANSACTION;
CREATE TABLE balance (
  good TEXT PRIMARY KEY REFERENCES good (id), on_hand INTEGER NOT NULL DEFAULT 0,
  promised INTEGER NOT NULL DEFAULT 0 CHECK (promised >= 0), out INTEGER NOT NULL DEFAULT 0 CHECK (out >= 0)
);
INSERT INTO "balance" VALUES('bar',38,10,3);
CREATE TABLE carton (
  id TEXT PRIMARY KEY REFERENCES good (id), name TEXT NOT NULL, inner TEXT NOT NULL, outer TEXT NOT NULL,
  tare_g INTEGER NOT NULL, max_gross_g INTEGER NOT NULL, cost_cents INTEGER NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1))
);
CREATE TABLE demand (
  device TEXT NOT NULL, good TEXT NOT NULL, "on" TEXT NOT NULL, units INTEGER NOT NULL, callers INTEGER NOT NULL,
  PRIMARY KEY (device, good, "on")
) WITHOUT ROWID;
INSERT INTO "demand" VALUES('78e51061-7311-48a3-82ce-6f447ed4d57b','bar','2026-07-20',17,3);
CREATE TABLE device (
  id TEXT PRIMARY KEY, name TEXT NOT NULL, mark TEXT NOT NULL UNIQUE, role TEXT NOT NULL CHECK (role IN ('keeper', 'helper')),
  lost INTEGER NOT NULL DEFAULT 0 CHECK (lost IN (0, 1))
);
INSERT INTO "device" VALUES('78e51061-7311-48a3-82ce-6f447ed4d57b','Shed phone','A','keeper',0);
CREATE TABLE device_state (
  id TEXT PRIMARY KEY, token_hash TEXT UNIQUE, last_seq INTEGER NOT NULL DEFAULT 0, last_hash TEXT NOT NULL DEFAULT '',
  frozen TEXT, reported_epoch TEXT, seen_at TEXT, gap_s INTEGER NOT NULL DEFAULT 86400, skew_s INTEGER NOT NULL DEFAULT 0
);
INSERT INTO "device_state" VALUES('house',NULL,3,'2f93d0ced328b0721027a6b181198e8167d63746a17cd85a0bec857725b2cdd6',NULL,NULL,NULL,86400,0);
INSERT INTO "device_state" VALUES('78e51061-7311-48a3-82ce-6f447ed4d57b','1c1685964ea991035542a04a6676d136dbc87d04418f6cce80652a46c395d5e9',7,'ecab7934155a00271605da562b48cf69760ce2c6dffc4bf7b8798cba227ab831',NULL,'2d9b4d4b8cce742b','2026-07-20T13:00:00+00:00',86400,0);
CREATE TABLE enrol_code (hash TEXT PRIMARY KEY, role TEXT NOT NULL, expires_at TEXT NOT NULL);
CREATE TABLE good (
  id TEXT PRIMARY KEY, name TEXT NOT NULL, plural TEXT NOT NULL, short TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('wax', 'honey', 'bulk', 'carton')), unit TEXT NOT NULL CHECK (unit IN ('each', 'g')),
  net_g INTEGER NOT NULL, gross_g INTEGER NOT NULL, gross_sd_mg INTEGER NOT NULL,
  length_mm INTEGER NOT NULL, width_mm INTEGER NOT NULL, height_mm INTEGER NOT NULL,
  upright INTEGER NOT NULL CHECK (upright IN (0, 1)), glass INTEGER NOT NULL CHECK (glass IN (0, 1)),
  wall_mm INTEGER NOT NULL, gap_mm INTEGER NOT NULL, bears_g INTEGER, liquid_ml INTEGER NOT NULL,
  price_cents INTEGER NOT NULL, row INTEGER NOT NULL, rank INTEGER NOT NULL,
  sold INTEGER NOT NULL CHECK (sold IN (0, 1)), hidden INTEGER NOT NULL CHECK (hidden IN (0, 1))
);
INSERT INTO "good" VALUES('bar','wax bar','','','wax','each',0,0,0,0,0,0,0,0,0,0,NULL,0,300,10,0,1,0);
CREATE TABLE late_entry (
  device TEXT NOT NULL, seq INTEGER NOT NULL, hash TEXT NOT NULL, received_at TEXT NOT NULL, reason TEXT NOT NULL,
  body TEXT NOT NULL, settled INTEGER NOT NULL DEFAULT 0, PRIMARY KEY (device, seq, hash)
);
CREATE TABLE line (
  id TEXT PRIMARY KEY, "order" TEXT NOT NULL REFERENCES "order" (id), good TEXT NOT NULL REFERENCES good (id),
  units INTEGER NOT NULL CHECK (units >= 0), price_cents INTEGER NOT NULL,
  sure INTEGER NOT NULL DEFAULT 0 CHECK (sure >= 0), handed INTEGER NOT NULL DEFAULT 0,
  waits INTEGER NOT NULL DEFAULT 0 CHECK (waits >= 0), position INTEGER NOT NULL DEFAULT 0
);
INSERT INTO "line" VALUES('afbd67f9-6196-49cf-a198-8ad9f06c144a','025b413f-8a9a-421e-a648-a7dd06839eb9','bar',5,300,0,5,0,7);
INSERT INTO "line" VALUES('f3c64af7-75a8-4294-82cd-789a380208a9','ad45f23d-3b1a-41df-987f-d2803bab6c39','bar',10,300,10,0,0,8);
INSERT INTO "line" VALUES('f0dfb4a5-d8a0-44df-bfd6-3116e1ea24c4','f9341c68-966b-4ea1-88be-ab134da98f1d','bar',2,300,0,2,0,10);
CREATE TABLE lot (
  id TEXT PRIMARY KEY, good TEXT NOT NULL REFERENCES good (id), made_on TEXT NOT NULL, sources TEXT NOT NULL,
  note TEXT NOT NULL, measures TEXT NOT NULL
);
INSERT INTO "lot" VALUES('W26-170-1','bar','2026-06-19','[]','','{}');
CREATE TABLE lot_balance (
  good TEXT NOT NULL REFERENCES good (id), lot TEXT NOT NULL, units INTEGER NOT NULL, PRIMARY KEY (good, lot)
) WITHOUT ROWID;
INSERT INTO "lot_balance" VALUES('bar','W26-170-1',38);
CREATE TABLE meta (key TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
INSERT INTO "meta" VALUES('epoch','2d9b4d4b8cce742b');
INSERT INTO "meta" VALUES('schema_version','1');
CREATE TABLE movement (
  id TEXT PRIMARY KEY, good TEXT NOT NULL REFERENCES good (id), lot TEXT REFERENCES lot (id),
  units INTEGER NOT NULL CHECK (units <> 0), reason TEXT NOT NULL, "order" TEXT REFERENCES "order" (id),
  line TEXT REFERENCES line (id), "on" TEXT NOT NULL, note TEXT NOT NULL, position INTEGER NOT NULL
);
INSERT INTO "movement" VALUES('9b810e76-6ec9-4286-a3ca-828dd5f4b3b2','bar','W26-170-1',45,'opening',NULL,NULL,'2026-07-20','',5);
INSERT INTO "movement" VALUES('4be03db0-dc25-44bd-b940-67edfe175330','bar','W26-170-1',-5,'gone','025b413f-8a9a-421e-a648-a7dd06839eb9','afbd67f9-6196-49cf-a198-8ad9f06c144a','2026-07-20','',9);
INSERT INTO "movement" VALUES('da711448-96c8-4a19-a4b2-d2bc815a47c5','bar','W26-170-1',-2,'sold','f9341c68-966b-4ea1-88be-ab134da98f1d','f0dfb4a5-d8a0-44df-bfd6-3116e1ea24c4','2026-07-20','',10);
CREATE TABLE operation (
  device TEXT NOT NULL, seq INTEGER NOT NULL, id TEXT NOT NULL UNIQUE, hash TEXT NOT NULL, kind TEXT NOT NULL,
  made_at TEXT NOT NULL, received_at TEXT NOT NULL, body TEXT NOT NULL,
  position INTEGER UNIQUE, rows TEXT, why TEXT, remedy TEXT, PRIMARY KEY (device, seq),
  CHECK ((position IS NULL) <> (why IS NULL))
);
INSERT INTO "operation" VALUES('house',1,'cd613e30-d8f1-4adf-91b7-584a2265b1f5','87dd5720043eb5fc45c5c4ff4e9f719cb7bf259189e966db9b8a4bda0ac68fcd','set_good','2026-07-20T13:00:00Z','2026-07-20T13:00:00Z','{"before":"","device":"house","hash":"87dd5720043eb5fc45c5c4ff4e9f719cb7bf259189e966db9b8a4bda0ac68fcd","id":"cd613e30-d8f1-4adf-91b7-584a2265b1f5","kind":"set_good","made_at":"2026-07-20T13:00:00Z","rows":[{"id":"bar","kind":"wax","name":"wax bar","price_cents":300,"table":"good"}],"seq":1,"spent":{},"version":1}',1,'[{"id":"bar","kind":"wax","name":"wax bar","price_cents":300,"table":"good"}]',NULL,NULL);
INSERT INTO "operation" VALUES('house',2,'1e2feb89-414c-443c-9027-c4d1c386bbc4','5abf4d7c713c8ed9574269ef1eae55c85a8bd1bf5f1e2903dfc45bdf2aa526cb','set_house','2026-07-20T13:00:00Z','2026-07-20T13:00:00Z','{"before":"87dd5720043eb5fc45c5c4ff4e9f719cb7bf259189e966db9b8a4bda0ac68fcd","device":"house","hash":"5abf4d7c713c8ed9574269ef1eae55c85a8bd1bf5f1e2903dfc45bdf2aa526cb","id":"1e2feb89-414c-443c-9027-c4d1c386bbc4","kind":"set_house","made_at":"2026-07-20T13:00:00Z","rows":[{"id":"name","table":"setting","value":"Old House"}],"seq":2,"spent":{},"version":1}',2,'[{"id":"name","table":"setting","value":"Old House"}]',NULL,NULL);
INSERT INTO "operation" VALUES('house',3,'35bf992d-c9e9-4616-a12e-7696a6cecc1b','2f93d0ced328b0721027a6b181198e8167d63746a17cd85a0bec857725b2cdd6','enrol','2026-07-20T13:00:00Z','2026-07-20T13:00:00Z','{"before":"5abf4d7c713c8ed9574269ef1eae55c85a8bd1bf5f1e2903dfc45bdf2aa526cb","device":"house","hash":"2f93d0ced328b0721027a6b181198e8167d63746a17cd85a0bec857725b2cdd6","id":"35bf992d-c9e9-4616-a12e-7696a6cecc1b","kind":"enrol","made_at":"2026-07-20T13:00:00Z","rows":[{"id":"78e51061-7311-48a3-82ce-6f447ed4d57b","lost":false,"mark":"A","name":"Shed phone","role":"keeper","table":"device"}],"seq":3,"spent":{},"version":1}',3,'[{"id":"78e51061-7311-48a3-82ce-6f447ed4d57b","lost":false,"mark":"A","name":"Shed phone","role":"keeper","table":"device"}]',NULL,NULL);
INSERT INTO "operation" VALUES('78e51061-7311-48a3-82ce-6f447ed4d57b',1,'e4b06ce6-0741-47a8-bce4-2c8218072e8c','584dc7214065d64f0bca8c12d1dc7fa0c6788f04ca6509a1681947d175e94865','note_lot','2026-07-20T13:00:00Z','2026-07-20T13:00:00Z','{"before":"","device":"78e51061-7311-48a3-82ce-6f447ed4d57b","hash":"584dc7214065d64f0bca8c12d1dc7fa0c6788f04ca6509a1681947d175e94865","id":"e4b06ce6-0741-47a8-bce4-2c8218072e8c","kind":"note_lot","made_at":"2026-07-20T13:00:00Z","rows":[{"good":"bar","id":"W26-170-1","made_on":"2026-06-19","table":"lot"}],"seq":1,"spent":{},"version":1}',4,'[{"good":"bar","id":"W26-170-1","made_on":"2026-06-19","table":"lot"}]',NULL,NULL);
INSERT INTO "operation" VALUES('78e51061-7311-48a3-82ce-6f447ed4d57b',2,'b2221a58-008a-45a6-8464-7159c324c985','3f03df08395305feb4c864faa54109203e4bcbd10a92f11a266b2420140e702b','buy','2026-07-20T13:00:00Z','2026-07-20T13:00:00Z','{"before":"584dc7214065d64f0bca8c12d1dc7fa0c6788f04ca6509a1681947d175e94865","device":"78e51061-7311-48a3-82ce-6f447ed4d57b","hash":"3f03df08395305feb4c864faa54109203e4bcbd10a92f11a266b2420140e702b","id":"b2221a58-008a-45a6-8464-7159c324c985","kind":"buy","made_at":"2026-07-20T13:00:00Z","rows":[{"good":"bar","id":"9b810e76-6ec9-4286-a3ca-828dd5f4b3b2","lot":"W26-170-1","on":"2026-07-20","reason":"opening","table":"movement","units":45}],"seq":2,"spent":{},"version":1}',5,'[{"good":"bar","id":"9b810e76-6ec9-4286-a3ca-828dd5f4b3b2","lot":"W26-170-1","on":"2026-07-20","reason":"opening","table":"movement","units":45}]',NULL,NULL);
INSERT INTO "operation" VALUES('78e51061-7311-48a3-82ce-6f447ed4d57b',3,'05b6e6e3-07d4-4edc-9143-1193e6c3f339','ce5e8fcee87651e9a36a5b01cea93d36b30676dbabfc1e689e5b131384a1f069','note_person','2026-07-20T13:00:00Z','2026-07-20T13:00:00Z','{"before":"3f03df08395305feb4c864faa54109203e4bcbd10a92f11a266b2420140e702b","device":"78e51061-7311-48a3-82ce-6f447ed4d57b","hash":"ce5e8fcee87651e9a36a5b01cea93d36b30676dbabfc1e689e5b131384a1f069","id":"05b6e6e3-07d4-4edc-9143-1193e6c3f339","kind":"note_person","made_at":"2026-07-20T13:00:00Z","rows":[{"id":"1a2b8f1f-f1fd-42a2-9755-d4c13a902931","name":"Orla Tennick","phone":"+12185550114","table":"person"}],"seq":3,"spent":{},"version":1}',6,'[{"id":"1a2b8f1f-f1fd-42a2-9755-d4c13a902931","name":"Orla Tennick","phone":"+12185550114","table":"person"}]',NULL,NULL);
INSERT INTO "operation" VALUES('78e51061-7311-48a3-82ce-6f447ed4d57b',4,'c381e88f-38c0-48fd-8712-b8bc076f3787','3631bca27b3e813f281d76291025373a9b3ea5d3ed53c0e92bfe1e68d031850e','promise','2026-07-20T13:00:00Z','2026-07-20T13:00:00Z','{"before":"ce5e8fcee87651e9a36a5b01cea93d36b30676dbabfc1e689e5b131384a1f069","device":"78e51061-7311-48a3-82ce-6f447ed4d57b","hash":"3631bca27b3e813f281d76291025373a9b3ea5d3ed53c0e92bfe1e68d031850e","id":"c381e88f-38c0-48fd-8712-b8bc076f3787","kind":"promise","made_at":"2026-07-20T13:00:00Z","rows":[{"id":"025b413f-8a9a-421e-a648-a7dd06839eb9","number":"A-1","person":"1a2b8f1f-f1fd-42a2-9755-d4c13a902931","state":"promised","table":"order","taken_on":"2026-07-20","way":"post"},{"good":"bar","id":"afbd67f9-6196-49cf-a198-8ad9f06c144a","order":"025b413f-8a9a-421e-a648-a7dd06839eb9","price_cents":300,"table":"line","units":5},{"good":"bar","id":"b9d179e0-6c0f-44f5-b813-0c4237730edf","line":"afbd67f9-6196-49cf-a198-8ad9f06c144a","order":"025b413f-8a9a-421e-a648-a7dd06839eb9","table":"reservation","units":5}],"seq":4,"spent":{"bar":5},"version":1}',7,'[{"id":"025b413f-8a9a-421e-a648-a7dd06839eb9","number":"A-1","person":"1a2b8f1f-f1fd-42a2-9755-d4c13a902931","state":"promised","table":"order","taken_on":"2026-07-20","way":"post"},{"good":"bar","id":"afbd67f9-6196-49cf-a198-8ad9f06c144a","order":"025b413f-8a9a-421e-a648-a7dd06839eb9","price_cents":300,"table":"line","units":5},{"good":"bar","id":"b9d179e0-6c0f-44f5-b813-0c4237730edf","line":"afbd67f9-6196-49cf-a198-8ad9f06c144a","order":"025b413f-8a9a-421e-a648-a7dd06839eb9","table":"reservation","units":5}]',NULL,NULL);
INSERT INTO "operation" VALUES('78e51061-7311-48a3-82ce-6f447ed4d57b',5,'ec148cb4-8e73-4a47-aa90-a8f0d66b829e','6e4c01974761ab141f458a085128386ac19a0292091f75dd5520bc6bc364e93c','promise','2026-07-20T13:00:00Z','2026-07-20T13:00:00Z','{"before":"3631bca27b3e813f281d76291025373a9b3ea5d3ed53c0e92bfe1e68d031850e","device":"78e51061-7311-48a3-82ce-6f447ed4d57b","hash":"6e4c01974761ab141f458a085128386ac19a0292091f75dd5520bc6bc364e93c","id":"ec148cb4-8e73-4a47-aa90-a8f0d66b829e","kind":"promise","made_at":"2026-07-20T13:00:00Z","rows":[{"id":"ad45f23d-3b1a-41df-987f-d2803bab6c39","number":"A-2","person":"1a2b8f1f-f1fd-42a2-9755-d4c13a902931","state":"promised","table":"order","taken_on":"2026-07-20","way":"post"},{"good":"bar","id":"f3c64af7-75a8-4294-82cd-789a380208a9","order":"ad45f23d-3b1a-41df-987f-d2803bab6c39","price_cents":300,"table":"line","units":10},{"good":"bar","id":"6a8ac4ba-0580-4975-ad2f-89d94a2f20aa","line":"f3c64af7-75a8-4294-82cd-789a380208a9","order":"ad45f23d-3b1a-41df-987f-d2803bab6c39","table":"reservation","units":10}],"seq":5,"spent":{"bar":10},"version":1}',8,'[{"id":"ad45f23d-3b1a-41df-987f-d2803bab6c39","number":"A-2","person":"1a2b8f1f-f1fd-42a2-9755-d4c13a902931","state":"promised","table":"order","taken_on":"2026-07-20","way":"post"},{"good":"bar","id":"f3c64af7-75a8-4294-82cd-789a380208a9","order":"ad45f23d-3b1a-41df-987f-d2803bab6c39","price_cents":300,"table":"line","units":10},{"good":"bar","id":"6a8ac4ba-0580-4975-ad2f-89d94a2f20aa","line":"f3c64af7-75a8-4294-82cd-789a380208a9","order":"ad45f23d-3b1a-41df-987f-d2803bab6c39","table":"reservation","units":10}]',NULL,NULL);
INSERT INTO "operation" VALUES('78e51061-7311-48a3-82ce-6f447ed4d57b',6,'81f9c1f6-6c0f-4459-b79b-17aeefba91fc','33d321543cbee9b2ccb7abbd3471f828f62320079326baa8c83a01b993bc0de6','hand_over','2026-07-20T13:00:00Z','2026-07-20T13:00:00Z','{"before":"6e4c01974761ab141f458a085128386ac19a0292091f75dd5520bc6bc364e93c","device":"78e51061-7311-48a3-82ce-6f447ed4d57b","hash":"33d321543cbee9b2ccb7abbd3471f828f62320079326baa8c83a01b993bc0de6","id":"81f9c1f6-6c0f-4459-b79b-17aeefba91fc","kind":"hand_over","made_at":"2026-07-20T13:00:00Z","rows":[{"gone_on":"2026-07-20","id":"025b413f-8a9a-421e-a648-a7dd06839eb9","state":"gone","table":"order"},{"good":"bar","id":"4be03db0-dc25-44bd-b940-67edfe175330","line":"afbd67f9-6196-49cf-a198-8ad9f06c144a","lot":"W26-170-1","on":"2026-07-20","order":"025b413f-8a9a-421e-a648-a7dd06839eb9","reason":"gone","table":"movement","units":-5},{"good":"bar","id":"e5446dd4-552b-42f6-be3e-dc0a1ef2a4f0","line":"afbd67f9-6196-49cf-a198-8ad9f06c144a","order":"025b413f-8a9a-421e-a648-a7dd06839eb9","table":"reservation","units":-5},{"cents":1500,"how":"check","id":"803468b6-b610-49f7-b927-0f4eb8b333a8","on":"2026-07-20","order":"025b413f-8a9a-421e-a648-a7dd06839eb9","table":"payment"}],"seq":6,"spent":{},"version":1}',9,'[{"gone_on":"2026-07-20","id":"025b413f-8a9a-421e-a648-a7dd06839eb9","state":"gone","table":"order"},{"good":"bar","id":"4be03db0-dc25-44bd-b940-67edfe175330","line":"afbd67f9-6196-49cf-a198-8ad9f06c144a","lot":"W26-170-1","on":"2026-07-20","order":"025b413f-8a9a-421e-a648-a7dd06839eb9","reason":"gone","table":"movement","units":-5},{"good":"bar","id":"e5446dd4-552b-42f6-be3e-dc0a1ef2a4f0","line":"afbd67f9-6196-49cf-a198-8ad9f06c144a","order":"025b413f-8a9a-421e-a648-a7dd06839eb9","table":"reservation","units":-5},{"cents":1500,"how":"check","id":"803468b6-b610-49f7-b927-0f4eb8b333a8","on":"2026-07-20","order":"025b413f-8a9a-421e-a648-a7dd06839eb9","table":"payment"}]',NULL,NULL);
INSERT INTO "operation" VALUES('78e51061-7311-48a3-82ce-6f447ed4d57b',7,'aa2ca1af-6a10-4b75-a77f-6cbdcc22af58','ecab7934155a00271605da562b48cf69760ce2c6dffc4bf7b8798cba227ab831','sell','2026-07-20T13:00:00Z','2026-07-20T13:00:00Z','{"before":"33d321543cbee9b2ccb7abbd3471f828f62320079326baa8c83a01b993bc0de6","device":"78e51061-7311-48a3-82ce-6f447ed4d57b","hash":"ecab7934155a00271605da562b48cf69760ce2c6dffc4bf7b8798cba227ab831","id":"aa2ca1af-6a10-4b75-a77f-6cbdcc22af58","kind":"sell","made_at":"2026-07-20T13:00:00Z","rows":[{"gone_on":"2026-07-20","id":"f9341c68-966b-4ea1-88be-ab134da98f1d","number":"A-3","pays":"cash","person":null,"state":"gone","table":"order","taken_on":"2026-07-20","way":"walk_in"},{"good":"bar","id":"f0dfb4a5-d8a0-44df-bfd6-3116e1ea24c4","order":"f9341c68-966b-4ea1-88be-ab134da98f1d","price_cents":300,"table":"line","units":2},{"good":"bar","id":"da711448-96c8-4a19-a4b2-d2bc815a47c5","line":"f0dfb4a5-d8a0-44df-bfd6-3116e1ea24c4","lot":"W26-170-1","on":"2026-07-20","order":"f9341c68-966b-4ea1-88be-ab134da98f1d","reason":"sold","table":"movement","units":-2},{"cents":600,"how":"cash","id":"be6521cc-3e24-44e3-baf0-27bc08d6af57","on":"2026-07-20","order":"f9341c68-966b-4ea1-88be-ab134da98f1d","table":"payment"}],"seq":7,"spent":{"bar":2},"version":1}',10,'[{"gone_on":"2026-07-20","id":"f9341c68-966b-4ea1-88be-ab134da98f1d","number":"A-3","pays":"cash","person":null,"state":"gone","table":"order","taken_on":"2026-07-20","way":"walk_in"},{"good":"bar","id":"f0dfb4a5-d8a0-44df-bfd6-3116e1ea24c4","order":"f9341c68-966b-4ea1-88be-ab134da98f1d","price_cents":300,"table":"line","units":2},{"good":"bar","id":"da711448-96c8-4a19-a4b2-d2bc815a47c5","line":"f0dfb4a5-d8a0-44df-bfd6-3116e1ea24c4","lot":"W26-170-1","on":"2026-07-20","order":"f9341c68-966b-4ea1-88be-ab134da98f1d","reason":"sold","table":"movement","units":-2},{"cents":600,"how":"cash","id":"be6521cc-3e24-44e3-baf0-27bc08d6af57","on":"2026-07-20","order":"f9341c68-966b-4ea1-88be-ab134da98f1d","table":"payment"}]',NULL,NULL);
CREATE TABLE "order" (
  id TEXT PRIMARY KEY, number TEXT NOT NULL, person TEXT REFERENCES person (id),
  way TEXT NOT NULL CHECK (way IN ('post', 'pick_up', 'walk_in')),
  state TEXT NOT NULL CHECK (state IN ('promised', 'packed', 'gone', 'let_go')),
  leave_on TEXT, dressing TEXT NOT NULL CHECK (dressing IN ('plain', 'lined', 'chilled')),
  hold_for_cool INTEGER NOT NULL CHECK (hold_for_cool IN (0, 1)),
  pays TEXT NOT NULL CHECK (pays IN ('cash', 'check', 'later', 'paid')), posting_cents INTEGER NOT NULL,
  note TEXT NOT NULL, heat TEXT NOT NULL, taken_on TEXT NOT NULL, gone_on TEXT,
  paid_cents INTEGER NOT NULL DEFAULT 0, position INTEGER NOT NULL DEFAULT 0, closed_on TEXT
);
INSERT INTO "order" VALUES('025b413f-8a9a-421e-a648-a7dd06839eb9','A-1','1a2b8f1f-f1fd-42a2-9755-d4c13a902931','post','gone',NULL,'plain',0,'later',0,'','','2026-07-20','2026-07-20',1500,7,'2026-07-20');
INSERT INTO "order" VALUES('ad45f23d-3b1a-41df-987f-d2803bab6c39','A-2','1a2b8f1f-f1fd-42a2-9755-d4c13a902931','post','promised',NULL,'plain',0,'later',0,'','','2026-07-20',NULL,0,8,NULL);
INSERT INTO "order" VALUES('f9341c68-966b-4ea1-88be-ab134da98f1d','A-3',NULL,'walk_in','gone',NULL,'plain',0,'cash',0,'','','2026-07-20','2026-07-20',600,10,'2026-07-20');
CREATE TABLE parcel (
  id TEXT PRIMARY KEY, "order" TEXT NOT NULL REFERENCES "order" (id), part INTEGER NOT NULL,
  carton TEXT REFERENCES carton (id), dressing TEXT NOT NULL CHECK (dressing IN ('plain', 'lined', 'chilled')),
  plan TEXT NOT NULL, gross_g INTEGER NOT NULL, gross_sd_g INTEGER NOT NULL, scale_g INTEGER, packed_on TEXT
);
CREATE TABLE payment (
  id TEXT PRIMARY KEY, "order" TEXT NOT NULL REFERENCES "order" (id), cents INTEGER NOT NULL,
  how TEXT NOT NULL CHECK (how IN ('cash', 'check', 'other')), "on" TEXT NOT NULL, note TEXT NOT NULL,
  position INTEGER NOT NULL
);
INSERT INTO "payment" VALUES('803468b6-b610-49f7-b927-0f4eb8b333a8','025b413f-8a9a-421e-a648-a7dd06839eb9',1500,'check','2026-07-20','',9);
INSERT INTO "payment" VALUES('be6521cc-3e24-44e3-baf0-27bc08d6af57','f9341c68-966b-4ea1-88be-ab134da98f1d',600,'cash','2026-07-20','',10);
CREATE TABLE person (
  id TEXT PRIMARY KEY, name TEXT NOT NULL, phone TEXT NOT NULL, street TEXT NOT NULL, unit TEXT NOT NULL, city TEXT NOT NULL,
  state TEXT NOT NULL, zip TEXT NOT NULL, note TEXT NOT NULL, hidden INTEGER NOT NULL CHECK (hidden IN (0, 1))
);
INSERT INTO "person" VALUES('1a2b8f1f-f1fd-42a2-9755-d4c13a902931','Orla Tennick','+12185550114','','','','','','',0);
CREATE TABLE reservation (
  id TEXT PRIMARY KEY, "order" TEXT NOT NULL REFERENCES "order" (id), line TEXT NOT NULL REFERENCES line (id),
  good TEXT NOT NULL REFERENCES good (id), units INTEGER NOT NULL CHECK (units <> 0), position INTEGER NOT NULL
);
INSERT INTO "reservation" VALUES('b9d179e0-6c0f-44f5-b813-0c4237730edf','025b413f-8a9a-421e-a648-a7dd06839eb9','afbd67f9-6196-49cf-a198-8ad9f06c144a','bar',5,7);
INSERT INTO "reservation" VALUES('6a8ac4ba-0580-4975-ad2f-89d94a2f20aa','ad45f23d-3b1a-41df-987f-d2803bab6c39','f3c64af7-75a8-4294-82cd-789a380208a9','bar',10,8);
INSERT INTO "reservation" VALUES('e5446dd4-552b-42f6-be3e-dc0a1ef2a4f0','025b413f-8a9a-421e-a648-a7dd06839eb9','afbd67f9-6196-49cf-a198-8ad9f06c144a','bar',-5,9);
CREATE TABLE setting (id TEXT PRIMARY KEY, value TEXT NOT NULL);
INSERT INTO "setting" VALUES('name','"Old House"');
CREATE TABLE share (
  device TEXT NOT NULL REFERENCES device (id), good TEXT NOT NULL REFERENCES good (id),
  granted INTEGER NOT NULL, spent INTEGER NOT NULL CHECK (spent >= 0 AND granted >= spent), PRIMARY KEY (device, good)
) WITHOUT ROWID;
INSERT INTO "share" VALUES('78e51061-7311-48a3-82ce-6f447ed4d57b','bar',20,17);
CREATE INDEX lot_good ON lot (good, made_on);
CREATE INDEX order_state ON "order" (state, closed_on);
CREATE INDEX order_person ON "order" (person);
CREATE INDEX line_order ON line ("order");
CREATE INDEX line_waits ON line (good, position) WHERE waits > 0;
CREATE INDEX line_sure ON line (good, position) WHERE sure > 0;
CREATE INDEX reservation_line ON reservation (line);
CREATE INDEX movement_lot ON movement (lot);
CREATE INDEX movement_line ON movement (line);
CREATE INDEX payment_order ON payment ("order");
CREATE INDEX parcel_order ON parcel ("order");
COMMIT;
