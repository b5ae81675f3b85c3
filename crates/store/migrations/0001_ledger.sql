-- The ledger: a log of entries, and what they refer to.
-- Times are integer microseconds since 1970 UTC; ids are UUIDv7 in 16 bytes.

-- Which log this is. A restored backup gets a new identity, so that devices know that it may lack what they
-- have handed over since.
CREATE TABLE ledger (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    identity BLOB NOT NULL CHECK (length(identity) = 16)
) STRICT;

CREATE TABLE person (
    person_id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE device (
    device_id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE subject (
    subject_id INTEGER PRIMARY KEY,
    sort TEXT NOT NULL CHECK (sort IN ('unit', 'site', 'customer', 'person')),
    id TEXT NOT NULL,
    UNIQUE (sort, id)
) STRICT;

-- `arrival` is the order in which entries came into this log: what devices read it by.
CREATE TABLE entry (
    arrival INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE CHECK (length(id) = 16),
    happened_at INTEGER NOT NULL,
    written_at INTEGER NOT NULL,
    person_id INTEGER NOT NULL REFERENCES person,
    device_id INTEGER NOT NULL REFERENCES device,
    kind TEXT NOT NULL,
    subject_id INTEGER REFERENCES subject,
    payload TEXT NOT NULL
) STRICT;

CREATE INDEX entry_by_subject ON entry (subject_id);

-- Nothing is taken out, and nothing is changed. The one exception: of two devices that wrote the same entry
-- down the first written stands, and then arrives anew.
CREATE TRIGGER entry_stays BEFORE DELETE ON entry BEGIN
    SELECT RAISE(ABORT, 'entries are never deleted');
END;

CREATE TRIGGER entry_is_not_changed BEFORE UPDATE ON entry
WHEN new.id <> old.id OR new.arrival <= old.arrival OR new.written_at > old.written_at BEGIN
    SELECT RAISE(ABORT, 'entries are never changed');
END;

-- Photographs and papers by the SHA-256 of their bytes.
CREATE TABLE attachment (
    attachment_id INTEGER PRIMARY KEY,
    hash BLOB NOT NULL UNIQUE CHECK (length(hash) = 32),
    bytes BLOB NOT NULL
) STRICT;

-- What can be computed again from the log, kept to save the time. Any of it may be deleted.
CREATE TABLE cache (
    name TEXT PRIMARY KEY,
    arrival INTEGER NOT NULL,
    bytes BLOB NOT NULL
) STRICT;
