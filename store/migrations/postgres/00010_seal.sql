-- +goose Up
-- A server keeps its own log, so there is no seal beside it and nothing to count: SQLite alone has a table here.
SELECT 1;
