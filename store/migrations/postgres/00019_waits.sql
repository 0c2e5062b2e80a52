-- +goose Up
-- Orders that wait for a later day, and packaging that is ordered and has not come.
ALTER TABLE orders ADD COLUMN waits BIGINT NOT NULL DEFAULT 0 CHECK (waits IN (0, 1));
ALTER TABLE orders ADD COLUMN wait TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE shelf ADD COLUMN coming BIGINT NOT NULL DEFAULT 0 CHECK (coming >= 0);
ALTER TABLE shelf ADD COLUMN expected TEXT COLLATE "C" NOT NULL DEFAULT '';
