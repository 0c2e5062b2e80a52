-- +goose Up
-- Who may sign in. Nobody is deleted: the journal names who did what. Of secrets only a hash is kept, but for that of the second factor,
-- which whoever checks a code needs.
CREATE TABLE persons (
    id             BIGINT PRIMARY KEY,
    name           TEXT COLLATE "C" NOT NULL UNIQUE,
    role           TEXT COLLATE "C" NOT NULL CHECK (role IN ('owner', 'helper', 'reader')),
    handle         TEXT COLLATE "C" NOT NULL UNIQUE,
    password       TEXT COLLATE "C" NOT NULL,
    password_until BIGINT NOT NULL,
    totp           TEXT COLLATE "C" NOT NULL,
    totp_step      BIGINT NOT NULL,
    made_at        BIGINT NOT NULL,
    ended_at       BIGINT NOT NULL
);
CREATE INDEX persons_owners ON persons (id) WHERE role = 'owner' AND ended_at = 0;

-- The key of a device that was let in: a phone, a trusted computer.
CREATE TABLE device_keys (
    id         BIGINT PRIMARY KEY,
    person     BIGINT NOT NULL REFERENCES persons (id),
    name       TEXT COLLATE "C" NOT NULL,
    most       TEXT COLLATE "C" NOT NULL,
    hash       TEXT COLLATE "C" NOT NULL UNIQUE,
    made_at    BIGINT NOT NULL,
    seen_at    BIGINT NOT NULL,
    proved_at  BIGINT NOT NULL,
    revoked_at BIGINT NOT NULL
);

CREATE TABLE passkeys (
    id         BIGINT PRIMARY KEY,
    person     BIGINT NOT NULL REFERENCES persons (id),
    name       TEXT COLLATE "C" NOT NULL,
    site       TEXT COLLATE "C" NOT NULL,
    credential TEXT COLLATE "C" NOT NULL UNIQUE,
    body       TEXT COLLATE "C" NOT NULL,
    made_at    BIGINT NOT NULL,
    used_at    BIGINT NOT NULL
);
CREATE INDEX passkeys_person ON passkeys (person, id);

CREATE TABLE recovery_codes (
    person  BIGINT NOT NULL REFERENCES persons (id),
    hash    TEXT COLLATE "C" NOT NULL,
    used_at BIGINT NOT NULL,
    PRIMARY KEY (person, hash)
);

-- What is in no copy: browsers that are signed in, attempts that failed, the first half of a passkey's use.
CREATE TABLE sessions (
    id        BIGINT PRIMARY KEY,
    person    BIGINT NOT NULL REFERENCES persons (id),
    hash      TEXT COLLATE "C" NOT NULL UNIQUE,
    browser   TEXT COLLATE "C" NOT NULL,
    made_at   BIGINT NOT NULL,
    seen_at   BIGINT NOT NULL,
    proved_at BIGINT NOT NULL
);
CREATE INDEX sessions_person ON sessions (person, id);
CREATE INDEX sessions_seen ON sessions (seen_at);

CREATE TABLE sign_in_failures (
    subject TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    count   BIGINT NOT NULL,
    last_at BIGINT NOT NULL
);
CREATE INDEX sign_in_failures_last ON sign_in_failures (last_at);

CREATE TABLE ceremonies (
    key      TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    body     TEXT COLLATE "C" NOT NULL,
    until_at BIGINT NOT NULL
);

INSERT INTO counters (name, value) VALUES ('persons', 0), ('device_keys', 0), ('passkeys', 0), ('sessions', 0);

-- +goose StatementBegin
CREATE FUNCTION keep_an_owner() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NOT EXISTS (SELECT 1 FROM persons WHERE role = 'owner' AND ended_at = 0 AND id <> OLD.id) THEN
        RAISE EXCEPTION 'one owner must be left' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER persons_owner BEFORE UPDATE ON persons FOR EACH ROW
WHEN (OLD.role = 'owner' AND OLD.ended_at = 0 AND (NEW.role <> 'owner' OR NEW.ended_at <> 0))
EXECUTE FUNCTION keep_an_owner();
CREATE TRIGGER persons_keep BEFORE UPDATE ON persons FOR EACH ROW WHEN (NEW.id <> OLD.id OR NEW.name <> OLD.name)
EXECUTE FUNCTION refuse('a person keeps the name that the journal knows');
CREATE TRIGGER persons_no_delete BEFORE DELETE ON persons FOR EACH ROW EXECUTE FUNCTION refuse('a person is never deleted');
CREATE TRIGGER persons_no_truncate BEFORE TRUNCATE ON persons EXECUTE FUNCTION refuse('a person is never deleted');
