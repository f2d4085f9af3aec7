-- Everything here is a pure function of the journal's lines and may be deleted: it is made again.
-- Not a migration: when projection_version changes, the file is dropped and rebuilt.

CREATE TABLE meta (
    name   TEXT NOT NULL PRIMARY KEY,
    value  TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- How far each chain has been read. `branch` is empty, or the hash of a line in the journal's fork table.
CREATE TABLE chain (
    n          INTEGER NOT NULL PRIMARY KEY,
    device     TEXT NOT NULL,
    branch     TEXT NOT NULL,
    done_seq   INTEGER NOT NULL,
    done_hash  BLOB NOT NULL,
    UNIQUE (device, branch)
) STRICT;

-- Which lines touch which subject, in their order (journal/subjects.h).
CREATE TABLE touch (
    key      TEXT NOT NULL,
    lamport  INTEGER NOT NULL,
    chain    INTEGER NOT NULL,
    seq      INTEGER NOT NULL,
    PRIMARY KEY (key, lamport, chain, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE butterfly (
    id        TEXT NOT NULL PRIMARY KEY,
    fate      TEXT NOT NULL,
    code      TEXT,
    session   TEXT NOT NULL,
    cage      TEXT NOT NULL,
    noted_at  TEXT NOT NULL,
    story     TEXT NOT NULL
) STRICT;
-- Only those in hand or in a cage are asked for by fate; the many that flew would make this index grow for nothing.
CREATE INDEX butterfly_here ON butterfly (fate, noted_at) WHERE fate IN ('noted', 'held');
CREATE INDEX butterfly_session ON butterfly (session, noted_at);

CREATE TABLE carried (
    code       TEXT NOT NULL,
    butterfly  TEXT NOT NULL,
    bond       TEXT NOT NULL,
    PRIMARY KEY (code, butterfly)
) STRICT, WITHOUT ROWID;

CREATE INDEX carried_freed ON carried (code) WHERE bond = 'free';

-- Tags with any story. One without a row is as its sheet says: free, or not in stock.
CREATE TABLE tag (
    code         TEXT NOT NULL PRIMARY KEY,
    fate         TEXT NOT NULL,
    holder       TEXT NOT NULL,
    in_stock     INTEGER NOT NULL,
    needs_newer  INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE sheet (
    id     TEXT NOT NULL PRIMARY KEY,
    first  TEXT NOT NULL,
    story  TEXT NOT NULL
) STRICT;

-- Sheets by hundreds of codes, to find those that contain one.
CREATE TABLE sheet_block (
    block  TEXT NOT NULL,
    sheet  TEXT NOT NULL,
    PRIMARY KEY (block, sheet)
) STRICT, WITHOUT ROWID;

-- Who may offer codes of which sheets.
CREATE TABLE holding (
    device   TEXT NOT NULL,
    lamport  INTEGER NOT NULL,
    sheet    TEXT NOT NULL,
    PRIMARY KEY (device, lamport, sheet)
) STRICT, WITHOUT ROWID;
CREATE INDEX holding_sheet ON holding (sheet);

CREATE TABLE record (
    type   TEXT NOT NULL,
    key    TEXT NOT NULL,
    story  TEXT NOT NULL,
    PRIMARY KEY (type, key)
) STRICT;

CREATE TABLE doubt (
    key       TEXT NOT NULL PRIMARY KEY,
    rule      TEXT NOT NULL,
    subject   TEXT NOT NULL,
    severity  TEXT NOT NULL,
    evidence  TEXT NOT NULL,
    settled   TEXT
) STRICT;
CREATE INDEX doubt_subject ON doubt (subject);

-- Marks on lines.
CREATE TABLE doubt_line (
    line  TEXT NOT NULL,
    key   TEXT NOT NULL,
    PRIMARY KEY (line, key)
) STRICT, WITHOUT ROWID;

CREATE TABLE erased (
    blob  TEXT NOT NULL PRIMARY KEY
) STRICT, WITHOUT ROWID;
