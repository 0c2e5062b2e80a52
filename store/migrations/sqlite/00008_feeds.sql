-- +goose Up
-- How an order is read from the JSON that another program sends.
CREATE TABLE hook_mappings (
    id   INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE,
    body TEXT NOT NULL
) STRICT;

-- A feed lets another program write for one outlet. Of its token only the SHA-256 is kept, in hex.
CREATE TABLE feeds (
    id         INTEGER PRIMARY KEY,
    name       TEXT NOT NULL UNIQUE,
    outlet     INTEGER NOT NULL REFERENCES outlets (id),
    scopes     TEXT NOT NULL,
    token_hash TEXT NOT NULL,
    mapping    INTEGER REFERENCES hook_mappings (id),
    made_at    INTEGER NOT NULL,
    used_at    INTEGER NOT NULL,
    revoked_at INTEGER NOT NULL
) STRICT;

-- The secrets with which messages to a feed's web-hook are signed; several at once, for a change.
CREATE TABLE feed_secrets (
    id      INTEGER PRIMARY KEY,
    feed    INTEGER NOT NULL REFERENCES feeds (id),
    secret  TEXT NOT NULL,
    made_at INTEGER NOT NULL
) STRICT;
CREATE INDEX feed_secrets_feed ON feed_secrets (feed, id);

-- What a feed was answered, by its idempotency key; print is the SHA-256 of the request, in hex.
CREATE TABLE feed_answers (
    feed   INTEGER NOT NULL REFERENCES feeds (id),
    key    TEXT NOT NULL,
    print  TEXT NOT NULL,
    answer TEXT NOT NULL,
    at     INTEGER NOT NULL,
    PRIMARY KEY (feed, key)
) STRICT, WITHOUT ROWID;
CREATE INDEX feed_answers_at ON feed_answers (at);

-- Messages to web-hooks that were taken within the time window; print as above.
CREATE TABLE feed_messages (
    feed  INTEGER NOT NULL REFERENCES feeds (id),
    print TEXT NOT NULL,
    at    INTEGER NOT NULL,
    PRIMARY KEY (feed, print)
) STRICT, WITHOUT ROWID;
CREATE INDEX feed_messages_at ON feed_messages (at);

INSERT INTO counters (name, value) VALUES ('hook_mappings', 0), ('feeds', 0), ('feed_secrets', 0);
