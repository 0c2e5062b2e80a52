-- +goose Up
-- Rates of exchange: how much of quote one unit of base is on a day, as a decimal number.
CREATE TABLE exchange_rates (
    id     INTEGER PRIMARY KEY,
    base   TEXT NOT NULL,
    quote  TEXT NOT NULL,
    day    TEXT NOT NULL,
    rate   TEXT NOT NULL,
    source TEXT NOT NULL,
    at     INTEGER NOT NULL,
    who    TEXT NOT NULL,
    UNIQUE (day, base, quote)
) STRICT;

INSERT INTO counters (name, value) VALUES ('exchange_rates', 0);
