-- +goose Up
CREATE TABLE marks (
    id       INTEGER PRIMARY KEY,
    order_id INTEGER REFERENCES orders (id),
    kind     TEXT NOT NULL,
    text     TEXT NOT NULL,
    detail   TEXT NOT NULL,
    day      TEXT NOT NULL,
    at       INTEGER NOT NULL,
    who      TEXT NOT NULL,
    undone   INTEGER NOT NULL CHECK (undone IN (0, 1))
) STRICT;
CREATE INDEX marks_order ON marks (order_id, id);
