-- +goose Up
CREATE TABLE runs (
    id                 INTEGER PRIMARY KEY,
    edition            INTEGER NOT NULL REFERENCES editions (id),
    lab                TEXT NOT NULL,
    ordered            TEXT NOT NULL,
    expected           TEXT NOT NULL,
    quantity           INTEGER NOT NULL,
    unit_cost          INTEGER NOT NULL,
    unit_cost_currency TEXT NOT NULL,
    note               TEXT NOT NULL,
    closed             INTEGER NOT NULL CHECK (closed IN (0, 1))
) STRICT;
CREATE INDEX runs_open ON runs (id) WHERE closed = 0;

CREATE TABLE receipts (
    id       INTEGER PRIMARY KEY,
    run      INTEGER NOT NULL REFERENCES runs (id),
    day      TEXT NOT NULL,
    good     INTEGER NOT NULL,
    rejected INTEGER NOT NULL,
    note     TEXT NOT NULL
) STRICT;
CREATE INDEX receipts_run ON receipts (run, id);

CREATE TABLE shelf (
    id         INTEGER PRIMARY KEY,
    key        TEXT NOT NULL UNIQUE,
    spec       TEXT NOT NULL,
    reorder_at INTEGER NOT NULL,
    pack       INTEGER NOT NULL,
    retired    INTEGER NOT NULL CHECK (retired IN (0, 1))
) STRICT;

CREATE TABLE moves (
    id     INTEGER PRIMARY KEY,
    kind   TEXT NOT NULL CHECK (kind IN ('sheets', 'packaging')),
    item   INTEGER NOT NULL,
    delta  INTEGER NOT NULL,
    reason TEXT NOT NULL,
    day    TEXT NOT NULL,
    at     INTEGER NOT NULL,
    who    TEXT NOT NULL
) STRICT;
CREATE INDEX moves_of ON moves (kind, item, id);

-- The sum of the moves of each stock.
CREATE TABLE stocks (
    kind TEXT NOT NULL,
    item INTEGER NOT NULL,
    qty  INTEGER NOT NULL CHECK (qty >= 0),
    PRIMARY KEY (kind, item)
) STRICT, WITHOUT ROWID;

-- +goose StatementBegin
CREATE TRIGGER moves_no_update BEFORE UPDATE ON moves
BEGIN
    SELECT RAISE(ABORT, 'a stock move is never changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER moves_no_delete BEFORE DELETE ON moves
BEGIN
    SELECT RAISE(ABORT, 'a stock move is never deleted');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER moves_no_replace BEFORE INSERT ON moves
WHEN EXISTS (SELECT 1 FROM moves WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'a stock move is never replaced');
END;
-- +goose StatementEnd
