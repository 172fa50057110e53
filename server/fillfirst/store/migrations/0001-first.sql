-- What the server is: its name, and the epoch of its history (new after every restore).
CREATE TABLE meta (
  server_id TEXT NOT NULL,
  epoch     TEXT NOT NULL
) STRICT;

-- Each device id, kind and subject is kept once, because events repeat them by the thousand.
CREATE TABLE words (
  id   INTEGER PRIMARY KEY,
  word TEXT NOT NULL UNIQUE
) STRICT;

-- The log. AUTOINCREMENT, because a plain row id may be given a second time.
-- The text of an event is put together again from its columns; where that would not give back the exact text
-- received, `body` is the whole text and `ms` is null. `wall` is a text, or a number that says it shorter
-- (store/packing.py).
CREATE TABLE events (
  seq            INTEGER PRIMARY KEY AUTOINCREMENT,
  id             BLOB    NOT NULL UNIQUE,
  device         INTEGER NOT NULL REFERENCES words (id),
  n              INTEGER NOT NULL,
  subject        INTEGER NOT NULL REFERENCES words (id),
  kind           INTEGER NOT NULL REFERENCES words (id),
  ms             INTEGER,
  c              INTEGER,
  seen           INTEGER,
  wall           ANY,
  v              INTEGER,
  body           TEXT    NOT NULL,
  pushed_by      INTEGER NOT NULL REFERENCES devices (id),
  received_at_ms INTEGER NOT NULL,
  UNIQUE (device, n)
) STRICT;

CREATE INDEX events_by_subject ON events (subject);

-- Events not taken. They stay on their phone; here they only keep the acknowledgement from waiting for them.
CREATE TABLE refusals (
  device        INTEGER NOT NULL REFERENCES words (id),
  n             INTEGER NOT NULL,
  code          TEXT    NOT NULL,
  refused_at_ms INTEGER NOT NULL,
  PRIMARY KEY (device, n)
) STRICT, WITHOUT ROWID;

-- The highest n of each device with everything up to it taken or refused.
CREATE TABLE acks (
  device INTEGER PRIMARY KEY REFERENCES words (id),
  n      INTEGER NOT NULL
) STRICT;

CREATE TABLE devices (
  id              INTEGER PRIMARY KEY AUTOINCREMENT,
  token_sha256    BLOB    NOT NULL UNIQUE,
  name            TEXT    NOT NULL,
  created_at_ms   INTEGER NOT NULL,
  last_seen_at_ms INTEGER NOT NULL,
  clock_offset_ms INTEGER,
  revoked_at_ms   INTEGER
) STRICT;

CREATE TABLE pairing_codes (
  code_sha256   BLOB    PRIMARY KEY,
  expires_at_ms INTEGER NOT NULL,
  tries         INTEGER NOT NULL DEFAULT 0,
  used_at_ms    INTEGER
) STRICT, WITHOUT ROWID;

-- The bytes of a photo are a file named by its hash.
CREATE TABLE photos (
  sha256         BLOB    PRIMARY KEY,
  type           TEXT    NOT NULL,
  size           INTEGER NOT NULL,
  pushed_by      INTEGER NOT NULL REFERENCES devices (id),
  received_at_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- Every catalog ever served: a visit keeps the one it began with. `made_from` is the hash of the specs and the
-- code that made the newest one, so that an unchanged start builds nothing.
CREATE TABLE catalogs (
  hash         TEXT    PRIMARY KEY,
  json         BLOB    NOT NULL,
  made_from    TEXT,
  kept_at_ms   INTEGER NOT NULL
) STRICT;
