-- +goose Up
-- Accounts of the studio at banks, the files that were brought in of them, and their lines. What the bank says of a line is never changed; what
-- she said of it is.
CREATE TABLE bank_accounts (
    id       INTEGER PRIMARY KEY,
    name     TEXT NOT NULL UNIQUE,
    number   TEXT NOT NULL,
    currency TEXT NOT NULL,
    mapping  TEXT NOT NULL
) STRICT;

CREATE TABLE bank_files (
    id      INTEGER PRIMARY KEY,
    account INTEGER NOT NULL REFERENCES bank_accounts (id),
    name    TEXT NOT NULL,
    hash    TEXT NOT NULL,
    kind    TEXT NOT NULL CHECK (kind IN ('ofx', 'table')),
    lines   INTEGER NOT NULL CHECK (lines >= 0),
    known   INTEGER NOT NULL CHECK (known >= 0),
    day     TEXT NOT NULL,
    at      INTEGER NOT NULL,
    who     TEXT NOT NULL,
    UNIQUE (account, hash)
) STRICT;

CREATE TABLE bank_lines (
    id              INTEGER PRIMARY KEY,
    account         INTEGER NOT NULL REFERENCES bank_accounts (id),
    file            INTEGER NOT NULL REFERENCES bank_files (id),
    known_by        TEXT NOT NULL,
    ref             TEXT NOT NULL,
    day             TEXT NOT NULL,
    amount          INTEGER NOT NULL,
    amount_currency TEXT NOT NULL,
    name            TEXT NOT NULL,
    note            TEXT NOT NULL,
    state           TEXT NOT NULL CHECK (state IN ('open', 'matched', 'aside')),
    payment         INTEGER UNIQUE REFERENCES payments (id),
    why             TEXT NOT NULL,
    said_at         INTEGER NOT NULL,
    who             TEXT NOT NULL,
    UNIQUE (account, known_by),
    CHECK ((state = 'matched') = (payment IS NOT NULL))
) STRICT;
CREATE INDEX bank_lines_day ON bank_lines (account, day, id);
CREATE INDEX bank_lines_file ON bank_lines (file);
CREATE INDEX payments_day ON payments (day, id);

INSERT INTO counters (name, value) VALUES ('bank_accounts', 0), ('bank_files', 0), ('bank_lines', 0);

-- +goose StatementBegin
CREATE TRIGGER bank_lines_keep BEFORE UPDATE ON bank_lines
WHEN NEW.id <> OLD.id OR NEW.account <> OLD.account OR NEW.file <> OLD.file OR NEW.known_by <> OLD.known_by OR NEW.ref <> OLD.ref
    OR NEW.day <> OLD.day OR NEW.amount <> OLD.amount OR NEW.amount_currency <> OLD.amount_currency
BEGIN
    SELECT RAISE(ABORT, 'what the bank says of a line is never changed');
END;
-- +goose StatementEnd
