-- +goose Up
CREATE TABLE works (
    id    INTEGER PRIMARY KEY,
    title TEXT NOT NULL,
    year  INTEGER NOT NULL,
    note  TEXT NOT NULL
) STRICT;

-- Lengths in nanometres, grammage in milligrams a square metre.
CREATE TABLE editions (
    id                  INTEGER PRIMARY KEY,
    work                INTEGER NOT NULL REFERENCES works (id),
    width               INTEGER NOT NULL,
    height              INTEGER NOT NULL,
    paper               TEXT NOT NULL,
    grammage            INTEGER NOT NULL,
    caliper             INTEGER NOT NULL,
    grade               TEXT NOT NULL,
    technique           TEXT NOT NULL,
    declared_limit      INTEGER NOT NULL CHECK (declared_limit >= 0),
    ap                  INTEGER NOT NULL CHECK (ap >= 0),
    pp                  INTEGER NOT NULL CHECK (pp >= 0),
    hc                  INTEGER NOT NULL CHECK (hc >= 0),
    bat                 INTEGER NOT NULL CHECK (bat >= 0),
    tightest_roll       INTEGER NOT NULL,
    price               INTEGER NOT NULL,
    price_currency      TEXT NOT NULL,
    price_steps         TEXT NOT NULL,
    print_cost          INTEGER NOT NULL,
    print_cost_currency TEXT NOT NULL,
    declared            TEXT NOT NULL,
    closed              INTEGER NOT NULL CHECK (closed IN (0, 1))
) STRICT;
CREATE INDEX editions_work ON editions (work);

-- +goose StatementBegin
CREATE TRIGGER editions_keep_limit BEFORE UPDATE ON editions
WHEN NEW.id <> OLD.id OR NEW.work <> OLD.work OR NEW.declared_limit <> OLD.declared_limit
    OR NEW.ap <> OLD.ap OR NEW.pp <> OLD.pp OR NEW.hc <> OLD.hc OR NEW.bat <> OLD.bat OR NEW.closed < OLD.closed
BEGIN
    SELECT RAISE(ABORT, 'the limit and the proofs of an edition are declared once');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER editions_keep BEFORE DELETE ON editions
BEGIN
    SELECT RAISE(ABORT, 'an edition is never deleted');
END;
-- +goose StatementEnd
-- A replacing insert deletes without firing the trigger above.
-- +goose StatementBegin
CREATE TRIGGER editions_no_replace BEFORE INSERT ON editions
WHEN EXISTS (SELECT 1 FROM editions WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'an edition is never replaced');
END;
-- +goose StatementEnd
