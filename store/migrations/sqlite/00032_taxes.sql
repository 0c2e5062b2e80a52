-- +goose Up
-- Rates of tax by place and day, as they were entered. A rate of a place and day stands once.
CREATE TABLE tax_rates (
    id       INTEGER PRIMARY KEY,
    country  TEXT NOT NULL,
    region   TEXT NOT NULL,
    from_day TEXT NOT NULL,
    rate     INTEGER NOT NULL CHECK (rate BETWEEN 0 AND 1000000),
    postage  INTEGER NOT NULL CHECK (postage IN (0, 1)),
    inside   INTEGER NOT NULL CHECK (inside IN (0, 1)),
    name     TEXT NOT NULL,
    source   TEXT NOT NULL,
    UNIQUE (country, region, from_day)
) STRICT;

-- Certificates by which a buyer buys for resale.
CREATE TABLE resales (
    id        INTEGER PRIMARY KEY,
    buyer     INTEGER NOT NULL REFERENCES buyers (id),
    country   TEXT NOT NULL,
    region    TEXT NOT NULL,
    number    TEXT NOT NULL,
    from_day  TEXT NOT NULL,
    until_day TEXT NOT NULL
) STRICT;
CREATE INDEX resales_buyer ON resales (buyer, id);

INSERT INTO counters (name, value) VALUES ('tax_rates', 0), ('resales', 0);
