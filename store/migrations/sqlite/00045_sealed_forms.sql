-- +goose Up
-- By which columns the digests were made that the latest seal knows: rows that never change are held against it, also after an upgrade. With this step
-- the accounts, the ways in of other programs and the studio's own mark have digests of their rows, too.
ALTER TABLE row_forms ADD COLUMN sealed TEXT NOT NULL DEFAULT '';
