-- +goose Up
CREATE TABLE runs (
    id                 BIGINT PRIMARY KEY,
    edition            BIGINT NOT NULL REFERENCES editions (id),
    lab                TEXT COLLATE "C" NOT NULL,
    ordered            TEXT COLLATE "C" NOT NULL,
    expected           TEXT COLLATE "C" NOT NULL,
    quantity           BIGINT NOT NULL,
    unit_cost          BIGINT NOT NULL,
    unit_cost_currency TEXT COLLATE "C" NOT NULL,
    note               TEXT COLLATE "C" NOT NULL,
    closed             BIGINT NOT NULL CHECK (closed IN (0, 1))
);
CREATE INDEX runs_open ON runs (id) WHERE closed = 0;

CREATE TABLE receipts (
    id       BIGINT PRIMARY KEY,
    run      BIGINT NOT NULL REFERENCES runs (id),
    day      TEXT COLLATE "C" NOT NULL,
    good     BIGINT NOT NULL,
    rejected BIGINT NOT NULL,
    note     TEXT COLLATE "C" NOT NULL
);
CREATE INDEX receipts_run ON receipts (run, id);

CREATE TABLE shelf (
    id         BIGINT PRIMARY KEY,
    key        TEXT COLLATE "C" NOT NULL UNIQUE,
    spec       TEXT COLLATE "C" NOT NULL,
    reorder_at BIGINT NOT NULL,
    pack       BIGINT NOT NULL,
    retired    BIGINT NOT NULL CHECK (retired IN (0, 1))
);

CREATE TABLE moves (
    id     BIGINT PRIMARY KEY,
    kind   TEXT COLLATE "C" NOT NULL CHECK (kind IN ('sheets', 'packaging')),
    item   BIGINT NOT NULL,
    delta  BIGINT NOT NULL,
    reason TEXT COLLATE "C" NOT NULL,
    day    TEXT COLLATE "C" NOT NULL,
    at     BIGINT NOT NULL,
    who    TEXT COLLATE "C" NOT NULL
);
CREATE INDEX moves_of ON moves (kind, item, id);

-- The sum of the moves of each stock.
CREATE TABLE stocks (
    kind TEXT COLLATE "C" NOT NULL,
    item BIGINT NOT NULL,
    qty  BIGINT NOT NULL CHECK (qty >= 0),
    PRIMARY KEY (kind, item)
);

CREATE TRIGGER moves_no_update BEFORE UPDATE ON moves FOR EACH ROW EXECUTE FUNCTION refuse('a stock move is never changed');
CREATE TRIGGER moves_no_delete BEFORE DELETE ON moves FOR EACH ROW EXECUTE FUNCTION refuse('a stock move is never deleted');
CREATE TRIGGER moves_no_truncate BEFORE TRUNCATE ON moves EXECUTE FUNCTION refuse('a stock move is never deleted');
