-- +goose Up
CREATE TABLE marks (
    id       BIGINT PRIMARY KEY,
    order_id BIGINT REFERENCES orders (id),
    kind     TEXT COLLATE "C" NOT NULL,
    text     TEXT COLLATE "C" NOT NULL,
    detail   TEXT COLLATE "C" NOT NULL,
    day      TEXT COLLATE "C" NOT NULL,
    at       BIGINT NOT NULL,
    who      TEXT COLLATE "C" NOT NULL,
    undone   BIGINT NOT NULL CHECK (undone IN (0, 1))
);
CREATE INDEX marks_order ON marks (order_id, id);
