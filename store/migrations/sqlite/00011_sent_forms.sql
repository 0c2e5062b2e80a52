-- +goose Up
-- Forms of the pages that were sent and done, by the SHA-256 of the key that stood in them, in hex; print tells their
-- contents apart, mark is the first mark of what they did. The latest ones alone are kept.
CREATE TABLE sent_forms (
    id    INTEGER PRIMARY KEY,
    key   TEXT NOT NULL UNIQUE,
    print TEXT NOT NULL,
    mark  INTEGER REFERENCES marks (id),
    at    INTEGER NOT NULL
) STRICT;

INSERT INTO counters (name, value) VALUES ('sent_forms', 0);
