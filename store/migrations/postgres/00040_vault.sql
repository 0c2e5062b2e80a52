-- +goose Up
-- itself = 1: the studio keeps its secrets in cipher without having been asked; its copies hold them as they are. A row that names no key
-- says that she chose to keep all in clear.
ALTER TABLE vault ADD COLUMN itself BIGINT NOT NULL DEFAULT 0 CHECK (itself IN (0, 1));
