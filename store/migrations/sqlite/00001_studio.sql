-- +goose Up
-- Amounts are minor units and an ISO 4217 code ('' = nothing of no currency), days ISO 8601 ('' = no day),
-- instants microseconds since 1970-01-01T00:00:00Z, yes and no 1 and 0.

CREATE TABLE settings (
    id   INTEGER PRIMARY KEY CHECK (id = 1),
    body TEXT NOT NULL
) STRICT;

-- The last id given in each table, and the last number of an order's mark.
CREATE TABLE counters (
    name  TEXT NOT NULL PRIMARY KEY,
    value INTEGER NOT NULL CHECK (value >= 0)
) STRICT, WITHOUT ROWID;

INSERT INTO counters (name, value) VALUES
    ('marks of orders', 1000),
    ('outlets', 0), ('works', 0), ('editions', 0), ('buyers', 0), ('orders', 0), ('lines', 0), ('payments', 0),
    ('runs', 0), ('receipts', 0), ('moves', 0), ('shelf', 0), ('parcels', 0), ('hand_overs', 0), ('marks', 0);

CREATE TABLE outlets (
    id                  INTEGER PRIMARY KEY,
    name                TEXT NOT NULL UNIQUE,
    fee_permille        INTEGER NOT NULL,
    fee_fixed           INTEGER NOT NULL,
    fee_fixed_currency  TEXT NOT NULL,
    promise_days        INTEGER NOT NULL,
    collects_tax        INTEGER NOT NULL CHECK (collects_tax IN (0, 1)),
    price_inc_post      INTEGER NOT NULL CHECK (price_inc_post IN (0, 1)),
    closed              INTEGER NOT NULL CHECK (closed IN (0, 1))
) STRICT;

CREATE TABLE cards (
    id   TEXT NOT NULL PRIMARY KEY,
    card TEXT NOT NULL
) STRICT;
