-- +goose Up
-- How many transactions have changed this file. The seal beside the file keeps the same number, so that a lost log is noticed.
-- It belongs to the file, not to the studio: it is in no copy.
CREATE TABLE high_water (
    id     INTEGER PRIMARY KEY CHECK (id = 1),
    writes INTEGER NOT NULL CHECK (writes >= 0)
) STRICT;

INSERT INTO high_water (id, writes) VALUES (1, 0);
