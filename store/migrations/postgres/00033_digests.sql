-- +goose Up
-- A digest of every row on which money or ownership rests; its triggers note which rows a transaction touched. They are made by the program, of
-- one list of tables.
CREATE TABLE touched (
    part TEXT COLLATE "C" NOT NULL,
    k1   TEXT COLLATE "C" NOT NULL,
    k2   TEXT COLLATE "C" NOT NULL,
    k3   TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (part, k1, k2, k3)
);

CREATE TABLE row_digests (
    part   TEXT COLLATE "C" NOT NULL,
    k1     TEXT COLLATE "C" NOT NULL,
    k2     TEXT COLLATE "C" NOT NULL,
    k3     TEXT COLLATE "C" NOT NULL,
    digest TEXT COLLATE "C" NOT NULL,
    sealed TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (part, k1, k2, k3)
);

-- By which columns the digests of a table are made.
CREATE TABLE row_forms (
    part    TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    columns TEXT COLLATE "C" NOT NULL
);
