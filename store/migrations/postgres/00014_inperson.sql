-- +goose Up
-- Orders that are handed over to the buyer in person, without a parcel. An order without an address has empty ship_ columns.
ALTER TABLE orders ADD COLUMN in_person BIGINT NOT NULL DEFAULT 0 CHECK (in_person IN (0, 1));
