-- +goose Up
-- What was said of an edition beside its declaration, fact by fact. Rows are only ever added: the latest of a fact holds.
CREATE TABLE sayings (
    id      INTEGER PRIMARY KEY,
    edition INTEGER NOT NULL REFERENCES editions (id),
    fact    TEXT NOT NULL CHECK (fact <> ''),
    said    TEXT NOT NULL CHECK (said IN ('', 'stated', 'none', 'unknown')),
    words   TEXT NOT NULL,
    day     TEXT NOT NULL,
    at      INTEGER NOT NULL,
    who     TEXT NOT NULL,
    CHECK ((said = 'stated') = (words <> ''))
) STRICT;
CREATE INDEX sayings_edition ON sayings (edition);

-- That an edition was closed (nothing more of it is made or sold), or cancelled (plate or files can print no more): two facts, each once.
CREATE TABLE closings (
    id        INTEGER PRIMARY KEY,
    edition   INTEGER NOT NULL REFERENCES editions (id),
    fact      TEXT NOT NULL CHECK (fact IN ('closed', 'cancelled')),
    files     TEXT NOT NULL,
    note      TEXT NOT NULL,
    withdrawn INTEGER NOT NULL CHECK (withdrawn >= 0),
    day       TEXT NOT NULL,
    at        INTEGER NOT NULL,
    who       TEXT NOT NULL,
    UNIQUE (edition, fact)
) STRICT;

INSERT INTO counters (name, value) VALUES ('sayings', 0), ('closings', 0);

-- +goose StatementBegin
CREATE TRIGGER sayings_no_update BEFORE UPDATE ON sayings
BEGIN
    SELECT RAISE(ABORT, 'what was said of an edition is never changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER sayings_no_delete BEFORE DELETE ON sayings
BEGIN
    SELECT RAISE(ABORT, 'what was said of an edition is never deleted');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER sayings_no_replace BEFORE INSERT ON sayings
WHEN EXISTS (SELECT 1 FROM sayings WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'what was said of an edition is never replaced');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER closings_no_update BEFORE UPDATE ON closings
BEGIN
    SELECT RAISE(ABORT, 'the closing of an edition is never changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER closings_no_delete BEFORE DELETE ON closings
BEGIN
    SELECT RAISE(ABORT, 'the closing of an edition is never deleted');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER closings_no_replace BEFORE INSERT ON closings
WHEN EXISTS (SELECT 1 FROM closings WHERE id = NEW.id OR edition = NEW.edition AND fact = NEW.fact)
BEGIN
    SELECT RAISE(ABORT, 'the closing of an edition is never replaced');
END;
-- +goose StatementEnd
