-- +goose Up
-- Rates of tax by place and day, as they were entered. A rate of a place and day stands once.
CREATE TABLE tax_rates (
    id       BIGINT PRIMARY KEY,
    country  TEXT COLLATE "C" NOT NULL,
    region   TEXT COLLATE "C" NOT NULL,
    from_day TEXT COLLATE "C" NOT NULL,
    rate     BIGINT NOT NULL CHECK (rate BETWEEN 0 AND 1000000),
    postage  BIGINT NOT NULL CHECK (postage IN (0, 1)),
    inside   BIGINT NOT NULL CHECK (inside IN (0, 1)),
    name     TEXT COLLATE "C" NOT NULL,
    source   TEXT COLLATE "C" NOT NULL,
    UNIQUE (country, region, from_day)
);

-- Certificates by which a buyer buys for resale.
CREATE TABLE resales (
    id        BIGINT PRIMARY KEY,
    buyer     BIGINT NOT NULL REFERENCES buyers (id),
    country   TEXT COLLATE "C" NOT NULL,
    region    TEXT COLLATE "C" NOT NULL,
    number    TEXT COLLATE "C" NOT NULL,
    from_day  TEXT COLLATE "C" NOT NULL,
    until_day TEXT COLLATE "C" NOT NULL
);
CREATE INDEX resales_buyer ON resales (buyer, id);

INSERT INTO counters (name, value) VALUES ('tax_rates', 0), ('resales', 0);
