-- +goose Up
-- Another way to send an order than the cheapest, chosen by its artist: what its parcels must keep, and why.
ALTER TABLE orders ADD COLUMN chosen INTEGER NOT NULL DEFAULT 0 CHECK (chosen IN (0, 1));
ALTER TABLE orders ADD COLUMN choice_by TEXT NOT NULL DEFAULT '';
ALTER TABLE orders ADD COLUMN choice_packaging TEXT NOT NULL DEFAULT '' CHECK (choice_packaging IN ('', 'stiff', 'boxed'));
ALTER TABLE orders ADD COLUMN choice_care TEXT NOT NULL DEFAULT '' CHECK (choice_care IN ('', 'tracked', 'covered', 'signed'));
ALTER TABLE orders ADD COLUMN choice_reason TEXT NOT NULL DEFAULT '';
ALTER TABLE orders ADD COLUMN choice_at INTEGER NOT NULL DEFAULT 0;
ALTER TABLE orders ADD COLUMN choice_who TEXT NOT NULL DEFAULT '';
