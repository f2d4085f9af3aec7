-- The journal: the truth. Everything else is projection and lives in another file that may be deleted.
-- Shipped files never change.

CREATE TABLE device (
    id          TEXT NOT NULL PRIMARY KEY CHECK (length(id) = 26),
    public_key  BLOB NOT NULL CHECK (length(public_key) = 32),
    -- The last head whose signature we hold. Our own chain may be longer: its head is its last entry.
    head_seq    INTEGER NOT NULL CHECK (head_seq >= 0),
    head_hash   BLOB NOT NULL CHECK (length(head_hash) = 32),
    head_jws    TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE entry (
    device  TEXT NOT NULL REFERENCES device (id),
    seq     INTEGER NOT NULL CHECK (seq >= 1),
    line    BLOB NOT NULL CHECK (length(line) BETWEEN 2 AND 16384),
    hash    BLOB NOT NULL CHECK (length(hash) = 32),
    PRIMARY KEY (device, seq)
) STRICT, WITHOUT ROWID;

-- Lines of a chain that went two ways: kept, and they count.
CREATE TABLE fork (
    device  TEXT NOT NULL REFERENCES device (id),
    seq     INTEGER NOT NULL CHECK (seq >= 1),
    hash    BLOB NOT NULL CHECK (length(hash) = 32),
    line    BLOB NOT NULL CHECK (length(line) BETWEEN 2 AND 16384),
    PRIMARY KEY (device, seq, hash)
) STRICT, WITHOUT ROWID;

-- 16 random bytes and then the content, so that a short name can't be guessed from its hash.
CREATE TABLE blob (
    sha256  BLOB NOT NULL PRIMARY KEY CHECK (length(sha256) = 32),
    bytes   BLOB NOT NULL CHECK (length(bytes) BETWEEN 16 AND 262160)
) STRICT;

-- What belongs to this copy of the file and never leaves it: which device it last wrote as.
CREATE TABLE local (
    name   TEXT NOT NULL PRIMARY KEY,
    value  TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- Half-typed fields. Never synced, never signed.
CREATE TABLE draft (
    page   TEXT NOT NULL,
    field  TEXT NOT NULL,
    value  TEXT NOT NULL,
    PRIMARY KEY (page, field)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER entry_is_not_updated BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
CREATE TRIGGER entry_is_not_deleted BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
CREATE TRIGGER fork_is_not_updated BEFORE UPDATE ON fork
BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
CREATE TRIGGER fork_is_not_deleted BEFORE DELETE ON fork
BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
CREATE TRIGGER device_is_not_deleted BEFORE DELETE ON device
BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
