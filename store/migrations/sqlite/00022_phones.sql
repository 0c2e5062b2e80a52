-- +goose Up
-- What lets one phone in, once. Neither table is in a copy.
CREATE TABLE phone_codes (
    id      INTEGER PRIMARY KEY,
    hash    TEXT NOT NULL,
    person  INTEGER NOT NULL REFERENCES persons (id),
    most    TEXT NOT NULL,
    made_at INTEGER NOT NULL,
    ends_at INTEGER NOT NULL,
    tries   INTEGER NOT NULL CHECK (tries >= 0),
    used_at INTEGER NOT NULL,
    phone   INTEGER REFERENCES device_keys (id)
) STRICT;

-- How the key of a phone turns. The key itself stands, as a hash, with its device.
CREATE TABLE phone_keys (
    device    INTEGER PRIMARY KEY REFERENCES device_keys (id),
    family    TEXT NOT NULL,
    before    TEXT NOT NULL,
    turned_at INTEGER NOT NULL,
    settled   INTEGER NOT NULL CHECK (settled IN (0, 1)),
    cloned_at INTEGER NOT NULL,
    hidden    INTEGER NOT NULL CHECK (hidden IN (0, 1))
) STRICT;

INSERT INTO counters (name, value) VALUES ('phone_codes', 0);
