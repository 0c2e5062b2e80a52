-- +goose Up
-- What lets one phone in, once. Neither table is in a copy.
CREATE TABLE phone_codes (
    id      BIGINT PRIMARY KEY,
    hash    TEXT COLLATE "C" NOT NULL,
    person  BIGINT NOT NULL REFERENCES persons (id),
    most    TEXT COLLATE "C" NOT NULL,
    made_at BIGINT NOT NULL,
    ends_at BIGINT NOT NULL,
    tries   BIGINT NOT NULL CHECK (tries >= 0),
    used_at BIGINT NOT NULL,
    phone   BIGINT REFERENCES device_keys (id)
);

-- How the key of a phone turns. The key itself stands, as a hash, with its device.
CREATE TABLE phone_keys (
    device    BIGINT PRIMARY KEY REFERENCES device_keys (id),
    family    TEXT COLLATE "C" NOT NULL,
    before    TEXT COLLATE "C" NOT NULL,
    turned_at BIGINT NOT NULL,
    settled   BIGINT NOT NULL CHECK (settled IN (0, 1)),
    cloned_at BIGINT NOT NULL,
    hidden    BIGINT NOT NULL CHECK (hidden IN (0, 1))
);

INSERT INTO counters (name, value) VALUES ('phone_codes', 0);
