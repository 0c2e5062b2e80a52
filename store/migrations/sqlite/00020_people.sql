-- +goose Up
-- Who may sign in. Nobody is deleted: the journal names who did what. Of secrets only a hash is kept, but for that of the second factor,
-- which whoever checks a code needs.
CREATE TABLE persons (
    id             INTEGER PRIMARY KEY,
    name           TEXT NOT NULL UNIQUE,
    role           TEXT NOT NULL CHECK (role IN ('owner', 'helper', 'reader')),
    handle         TEXT NOT NULL UNIQUE,
    password       TEXT NOT NULL,
    password_until INTEGER NOT NULL,
    totp           TEXT NOT NULL,
    totp_step      INTEGER NOT NULL,
    made_at        INTEGER NOT NULL,
    ended_at       INTEGER NOT NULL
) STRICT;
CREATE INDEX persons_owners ON persons (id) WHERE role = 'owner' AND ended_at = 0;

-- The key of a device that was let in: a phone, a trusted computer.
CREATE TABLE device_keys (
    id         INTEGER PRIMARY KEY,
    person     INTEGER NOT NULL REFERENCES persons (id),
    name       TEXT NOT NULL,
    most       TEXT NOT NULL,
    hash       TEXT NOT NULL UNIQUE,
    made_at    INTEGER NOT NULL,
    seen_at    INTEGER NOT NULL,
    proved_at  INTEGER NOT NULL,
    revoked_at INTEGER NOT NULL
) STRICT;

CREATE TABLE passkeys (
    id         INTEGER PRIMARY KEY,
    person     INTEGER NOT NULL REFERENCES persons (id),
    name       TEXT NOT NULL,
    site       TEXT NOT NULL,
    credential TEXT NOT NULL UNIQUE,
    body       TEXT NOT NULL,
    made_at    INTEGER NOT NULL,
    used_at    INTEGER NOT NULL
) STRICT;
CREATE INDEX passkeys_person ON passkeys (person, id);

CREATE TABLE recovery_codes (
    person  INTEGER NOT NULL REFERENCES persons (id),
    hash    TEXT NOT NULL,
    used_at INTEGER NOT NULL,
    PRIMARY KEY (person, hash)
) STRICT, WITHOUT ROWID;

-- What is in no copy: browsers that are signed in, attempts that failed, the first half of a passkey's use.
CREATE TABLE sessions (
    id        INTEGER PRIMARY KEY,
    person    INTEGER NOT NULL REFERENCES persons (id),
    hash      TEXT NOT NULL UNIQUE,
    browser   TEXT NOT NULL,
    made_at   INTEGER NOT NULL,
    seen_at   INTEGER NOT NULL,
    proved_at INTEGER NOT NULL
) STRICT;
CREATE INDEX sessions_person ON sessions (person, id);
CREATE INDEX sessions_seen ON sessions (seen_at);

CREATE TABLE sign_in_failures (
    subject TEXT NOT NULL PRIMARY KEY,
    count   INTEGER NOT NULL,
    last_at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX sign_in_failures_last ON sign_in_failures (last_at);

CREATE TABLE ceremonies (
    key      TEXT NOT NULL PRIMARY KEY,
    body     TEXT NOT NULL,
    until_at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

INSERT INTO counters (name, value) VALUES ('persons', 0), ('device_keys', 0), ('passkeys', 0), ('sessions', 0);

-- +goose StatementBegin
CREATE TRIGGER persons_owner BEFORE UPDATE ON persons
WHEN OLD.role = 'owner' AND OLD.ended_at = 0 AND (NEW.role <> 'owner' OR NEW.ended_at <> 0)
    AND NOT EXISTS (SELECT 1 FROM persons WHERE role = 'owner' AND ended_at = 0 AND id <> OLD.id)
BEGIN
    SELECT RAISE(ABORT, 'one owner must be left');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER persons_keep BEFORE UPDATE ON persons
WHEN NEW.id <> OLD.id OR NEW.name <> OLD.name
BEGIN
    SELECT RAISE(ABORT, 'a person keeps the name that the journal knows');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER persons_no_delete BEFORE DELETE ON persons
BEGIN
    SELECT RAISE(ABORT, 'a person is never deleted');
END;
-- +goose StatementEnd
