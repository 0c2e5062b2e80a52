-- +goose Up
-- Forms of the pages that were sent and done, by the SHA-256 of the key that stood in them, in hex; print tells their
-- contents apart, mark is the first mark of what they did. The latest ones alone are kept.
CREATE TABLE sent_forms (
    id    BIGINT PRIMARY KEY,
    key   TEXT COLLATE "C" NOT NULL UNIQUE,
    print TEXT COLLATE "C" NOT NULL,
    mark  BIGINT REFERENCES marks (id),
    at    BIGINT NOT NULL
);

INSERT INTO counters (name, value) VALUES ('sent_forms', 0);
