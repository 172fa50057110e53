-- A link opens the record of one visit or the calendar of one car; an empty subject is every car of the house.
ALTER TABLE links RENAME COLUMN visit TO subject;
ALTER TABLE links ADD COLUMN opens TEXT NOT NULL DEFAULT 'record' CHECK (opens IN ('record', 'calendar'));

-- When one-time codes were tried last, by any process: as many places as there may be tries in a minute.
CREATE TABLE code_tries (
  place       INTEGER PRIMARY KEY,
  tried_at_ms INTEGER NOT NULL
) STRICT;

INSERT INTO code_tries (place, tried_at_ms)
VALUES (1, 0), (2, 0), (3, 0), (4, 0), (5, 0), (6, 0), (7, 0), (8, 0), (9, 0), (10, 0);

-- The version of the app that a device last synced with.
ALTER TABLE devices ADD COLUMN app TEXT;
