-- +goose Up
-- A digest of every row on which money or ownership rests; its triggers note which rows a transaction touched. They are made by the program, of
-- one list of tables.
CREATE TABLE touched (
    part TEXT NOT NULL,
    k1   TEXT NOT NULL,
    k2   TEXT NOT NULL,
    k3   TEXT NOT NULL,
    PRIMARY KEY (part, k1, k2, k3)
) STRICT, WITHOUT ROWID;

CREATE TABLE row_digests (
    part   TEXT NOT NULL,
    k1     TEXT NOT NULL,
    k2     TEXT NOT NULL,
    k3     TEXT NOT NULL,
    digest TEXT NOT NULL,
    sealed TEXT NOT NULL,
    PRIMARY KEY (part, k1, k2, k3)
) STRICT, WITHOUT ROWID;

-- By which columns the digests of a table are made.
CREATE TABLE row_forms (
    part    TEXT NOT NULL PRIMARY KEY,
    columns TEXT NOT NULL
) STRICT, WITHOUT ROWID;
