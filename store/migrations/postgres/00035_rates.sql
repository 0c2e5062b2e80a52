-- +goose Up
-- Rates of exchange: how much of quote one unit of base is on a day, as a decimal number.
CREATE TABLE exchange_rates (
    id     BIGINT PRIMARY KEY,
    base   TEXT COLLATE "C" NOT NULL,
    quote  TEXT COLLATE "C" NOT NULL,
    day    TEXT COLLATE "C" NOT NULL,
    rate   TEXT COLLATE "C" NOT NULL,
    source TEXT COLLATE "C" NOT NULL,
    at     BIGINT NOT NULL,
    who    TEXT COLLATE "C" NOT NULL,
    UNIQUE (day, base, quote)
);

INSERT INTO counters (name, value) VALUES ('exchange_rates', 0);
