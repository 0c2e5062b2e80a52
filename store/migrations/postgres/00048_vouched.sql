-- +goose Up
-- By a key that lies outside the database each digest has a mark that nobody else can make, and all of a table together a sum; both belong to this database
-- and are in no copy. With this step who is signed in, phones and the choice of what is in cipher have digests of their rows, too.
ALTER TABLE row_digests ADD COLUMN mark TEXT NOT NULL DEFAULT '';

CREATE TABLE row_sums (
    id     BIGINT PRIMARY KEY CHECK (id = 1),
    of_key TEXT NOT NULL,
    body   TEXT NOT NULL
);
-- It is in cipher, and written with every transaction: nothing is to be made smaller, or put elsewhere.
ALTER TABLE row_sums ALTER COLUMN body SET STORAGE PLAIN;
