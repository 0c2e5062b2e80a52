-- +goose Up
-- Amounts are minor units and an ISO 4217 code ('' = nothing of no currency), days ISO 8601 ('' = no day),
-- instants microseconds since 1970-01-01T00:00:00Z, yes and no 1 and 0.

-- Refuses what a trigger is set on; SQLSTATE SL001 is the studio's own.
-- +goose StatementBegin
CREATE FUNCTION refuse() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION '%', TG_ARGV[0] USING ERRCODE = 'SL001';
END;
$$;
-- +goose StatementEnd

CREATE TABLE settings (
    id   BIGINT PRIMARY KEY CHECK (id = 1),
    body TEXT COLLATE "C" NOT NULL
);

-- The last id given in each table, and the last number of an order's mark.
CREATE TABLE counters (
    name  TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    value BIGINT NOT NULL CHECK (value >= 0)
);

INSERT INTO counters (name, value) VALUES
    ('marks of orders', 1000),
    ('outlets', 0), ('works', 0), ('editions', 0), ('buyers', 0), ('orders', 0), ('lines', 0), ('payments', 0),
    ('runs', 0), ('receipts', 0), ('moves', 0), ('shelf', 0), ('parcels', 0), ('hand_overs', 0), ('marks', 0);

CREATE TABLE outlets (
    id                  BIGINT PRIMARY KEY,
    name                TEXT COLLATE "C" NOT NULL UNIQUE,
    fee_permille        BIGINT NOT NULL,
    fee_fixed           BIGINT NOT NULL,
    fee_fixed_currency  TEXT COLLATE "C" NOT NULL,
    promise_days        BIGINT NOT NULL,
    collects_tax        BIGINT NOT NULL CHECK (collects_tax IN (0, 1)),
    price_inc_post      BIGINT NOT NULL CHECK (price_inc_post IN (0, 1)),
    closed              BIGINT NOT NULL CHECK (closed IN (0, 1))
);

CREATE TABLE cards (
    id   TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    card TEXT COLLATE "C" NOT NULL
);
