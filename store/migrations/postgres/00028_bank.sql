-- +goose Up
-- Accounts of the studio at banks, the files that were brought in of them, and their lines. What the bank says of a line is never changed; what
-- she said of it is.
CREATE TABLE bank_accounts (
    id       BIGINT PRIMARY KEY,
    name     TEXT COLLATE "C" NOT NULL UNIQUE,
    number   TEXT COLLATE "C" NOT NULL,
    currency TEXT COLLATE "C" NOT NULL,
    mapping  TEXT COLLATE "C" NOT NULL
);

CREATE TABLE bank_files (
    id      BIGINT PRIMARY KEY,
    account BIGINT NOT NULL REFERENCES bank_accounts (id),
    name    TEXT COLLATE "C" NOT NULL,
    hash    TEXT COLLATE "C" NOT NULL,
    kind    TEXT COLLATE "C" NOT NULL CHECK (kind IN ('ofx', 'table')),
    lines   BIGINT NOT NULL CHECK (lines >= 0),
    known   BIGINT NOT NULL CHECK (known >= 0),
    day     TEXT COLLATE "C" NOT NULL,
    at      BIGINT NOT NULL,
    who     TEXT COLLATE "C" NOT NULL,
    UNIQUE (account, hash)
);

CREATE TABLE bank_lines (
    id              BIGINT PRIMARY KEY,
    account         BIGINT NOT NULL REFERENCES bank_accounts (id),
    file            BIGINT NOT NULL REFERENCES bank_files (id),
    known_by        TEXT COLLATE "C" NOT NULL,
    ref             TEXT COLLATE "C" NOT NULL,
    day             TEXT COLLATE "C" NOT NULL,
    amount          BIGINT NOT NULL,
    amount_currency TEXT COLLATE "C" NOT NULL,
    name            TEXT COLLATE "C" NOT NULL,
    note            TEXT COLLATE "C" NOT NULL,
    state           TEXT COLLATE "C" NOT NULL CHECK (state IN ('open', 'matched', 'aside')),
    payment         BIGINT UNIQUE REFERENCES payments (id),
    why             TEXT COLLATE "C" NOT NULL,
    said_at         BIGINT NOT NULL,
    who             TEXT COLLATE "C" NOT NULL,
    UNIQUE (account, known_by),
    CHECK ((state = 'matched') = (payment IS NOT NULL))
);
CREATE INDEX bank_lines_day ON bank_lines (account, day, id);
CREATE INDEX bank_lines_file ON bank_lines (file);
CREATE INDEX payments_day ON payments (day, id);

INSERT INTO counters (name, value) VALUES ('bank_accounts', 0), ('bank_files', 0), ('bank_lines', 0);

CREATE TRIGGER bank_lines_keep BEFORE UPDATE ON bank_lines FOR EACH ROW
WHEN (NEW.id <> OLD.id OR NEW.account <> OLD.account OR NEW.file <> OLD.file OR NEW.known_by <> OLD.known_by OR NEW.ref <> OLD.ref
    OR NEW.day <> OLD.day OR NEW.amount <> OLD.amount OR NEW.amount_currency <> OLD.amount_currency)
EXECUTE FUNCTION refuse('what the bank says of a line is never changed');
