-- +goose Up
-- The writes are counted since the seal; the other engine begins to here.
SELECT 1;
