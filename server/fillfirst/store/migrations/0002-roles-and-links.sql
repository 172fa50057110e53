-- What a device may do. Whoever was let in before there were roles keeps what they could do: everything.
ALTER TABLE devices ADD COLUMN role TEXT NOT NULL DEFAULT 'owner' CHECK (role IN ('owner', 'helper'));
ALTER TABLE pairing_codes ADD COLUMN role TEXT NOT NULL DEFAULT 'owner' CHECK (role IN ('owner', 'helper'));

-- Links that show one visit's record to whoever holds them, until they are taken back.
CREATE TABLE links (
  id              INTEGER PRIMARY KEY AUTOINCREMENT,
  secret_sha256   BLOB    NOT NULL UNIQUE,
  visit           TEXT    NOT NULL,
  name            TEXT    NOT NULL,
  created_by      INTEGER NOT NULL REFERENCES devices (id),
  created_at_ms   INTEGER NOT NULL,
  last_seen_at_ms INTEGER,
  revoked_at_ms   INTEGER
) STRICT;
