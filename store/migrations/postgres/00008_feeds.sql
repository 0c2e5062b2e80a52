-- +goose Up
-- How an order is read from the JSON that another program sends.
CREATE TABLE hook_mappings (
    id   BIGINT PRIMARY KEY,
    name TEXT COLLATE "C" NOT NULL UNIQUE,
    body TEXT COLLATE "C" NOT NULL
);

-- A feed lets another program write for one outlet. Of its token only the SHA-256 is kept, in hex.
CREATE TABLE feeds (
    id         BIGINT PRIMARY KEY,
    name       TEXT COLLATE "C" NOT NULL UNIQUE,
    outlet     BIGINT NOT NULL REFERENCES outlets (id),
    scopes     TEXT COLLATE "C" NOT NULL,
    token_hash TEXT COLLATE "C" NOT NULL,
    mapping    BIGINT REFERENCES hook_mappings (id),
    made_at    BIGINT NOT NULL,
    used_at    BIGINT NOT NULL,
    revoked_at BIGINT NOT NULL
);

-- The secrets with which messages to a feed's web-hook are signed; several at once, for a change.
CREATE TABLE feed_secrets (
    id      BIGINT PRIMARY KEY,
    feed    BIGINT NOT NULL REFERENCES feeds (id),
    secret  TEXT COLLATE "C" NOT NULL,
    made_at BIGINT NOT NULL
);
CREATE INDEX feed_secrets_feed ON feed_secrets (feed, id);

-- What a feed was answered, by its idempotency key; print is the SHA-256 of the request, in hex.
CREATE TABLE feed_answers (
    feed   BIGINT NOT NULL REFERENCES feeds (id),
    key    TEXT COLLATE "C" NOT NULL,
    print  TEXT COLLATE "C" NOT NULL,
    answer TEXT COLLATE "C" NOT NULL,
    at     BIGINT NOT NULL,
    PRIMARY KEY (feed, key)
);
CREATE INDEX feed_answers_at ON feed_answers (at);

-- Messages to web-hooks that were taken within the time window; print as above.
CREATE TABLE feed_messages (
    feed  BIGINT NOT NULL REFERENCES feeds (id),
    print TEXT COLLATE "C" NOT NULL,
    at    BIGINT NOT NULL,
    PRIMARY KEY (feed, print)
);
CREATE INDEX feed_messages_at ON feed_messages (at);

INSERT INTO counters (name, value) VALUES ('hook_mappings', 0), ('feeds', 0), ('feed_secrets', 0);
