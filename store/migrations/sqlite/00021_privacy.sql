-- +goose Up
-- Buyers who were erased. The log names nobody: what tells who it was is gone.
CREATE TABLE erasures (
    id    INTEGER PRIMARY KEY,
    buyer INTEGER NOT NULL UNIQUE REFERENCES buyers (id),
    why   TEXT NOT NULL CHECK (why IN ('asked', 'due', 'again')),
    day   TEXT NOT NULL,
    at    INTEGER NOT NULL,
    who   TEXT NOT NULL,
    cells INTEGER NOT NULL CHECK (cells >= 0)
) STRICT;

INSERT INTO counters (name, value) VALUES ('erasures', 0);

-- Rows that otherwise stand for good, of which an erasure blanked the words. Only what stands here may be blanked, and nothing else of it changes.
CREATE TABLE blanked (
    part    TEXT NOT NULL CHECK (part IN ('register', 'payments', 'origins', 'intakes', 'moves')),
    row_id  INTEGER NOT NULL,
    erasure INTEGER NOT NULL REFERENCES erasures (id),
    PRIMARY KEY (part, row_id)
) STRICT, WITHOUT ROWID;

-- What is encrypted in this store, and a text by which its key is known. No row: nothing is. turning = 1: it is being turned on or off.
CREATE TABLE vault (
    id      INTEGER PRIMARY KEY CHECK (id = 1),
    secrets INTEGER NOT NULL CHECK (secrets IN (0, 1)),
    people  INTEGER NOT NULL CHECK (people IN (0, 1)),
    turning INTEGER NOT NULL CHECK (turning IN (0, 1)),
    proof   TEXT NOT NULL
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER erasures_no_update BEFORE UPDATE ON erasures
BEGIN
    SELECT RAISE(ABORT, 'an erasure is never changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER erasures_no_delete BEFORE DELETE ON erasures
BEGIN
    SELECT RAISE(ABORT, 'an erasure is never forgotten');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER erasures_no_replace BEFORE INSERT ON erasures
WHEN EXISTS (SELECT 1 FROM erasures WHERE id = NEW.id OR buyer = NEW.buyer)
BEGIN
    SELECT RAISE(ABORT, 'an erasure is never replaced');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER blanked_no_update BEFORE UPDATE ON blanked
BEGIN
    SELECT RAISE(ABORT, 'what was blanked stays noted');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER blanked_no_delete BEFORE DELETE ON blanked
BEGIN
    SELECT RAISE(ABORT, 'what was blanked stays noted');
END;
-- +goose StatementEnd

-- An entry of the register names nobody: it refers to the order by its mark and line. Its note alone holds words that she typed. The
-- note alone may be blanked, once an erasure said so; every other change of an entry is refused as before.
DROP TRIGGER register_no_update;
-- +goose StatementBegin
CREATE TRIGGER register_no_update BEFORE UPDATE ON register
WHEN NOT (NEW.seq = OLD.seq AND NEW.edition = OLD.edition AND NEW.kind = OLD.kind AND NEW.number = OLD.number AND NEW.turn = OLD.turn
    AND NEW.step = OLD.step AND NEW.state = OLD.state AND NEW.line = OLD.line AND NEW.signed = OLD.signed AND NEW.struck = OLD.struck
    AND NEW.order_mark = OLD.order_mark AND NEW.day = OLD.day AND NEW.at = OLD.at AND NEW.who = OLD.who AND NEW.undoes = OLD.undoes
    AND OLD.note <> '' AND NEW.note = '(erased)' AND EXISTS (SELECT 1 FROM blanked WHERE part = 'register' AND row_id = OLD.seq))
BEGIN
    SELECT RAISE(ABORT, 'an entry of the register is never changed');
END;
-- +goose StatementEnd

-- The same of payments, of rows that orders were made of, of files that were brought in, and of stock moves. Notes and rows may also be written in cipher, or in clear again, while that is being turned on or off.
DROP TRIGGER payments_keep;
-- +goose StatementBegin
CREATE TRIGGER payments_keep BEFORE UPDATE ON payments
WHEN NEW.id <> OLD.id OR NEW.order_id <> OLD.order_id OR NEW.kind <> OLD.kind OR NEW.amount <> OLD.amount
    OR NEW.currency <> OLD.currency OR NEW.day <> OLD.day OR NEW.reversed < OLD.reversed
    OR NEW.note <> OLD.note AND NOT (OLD.note <> '' AND (
        NEW.note = '(erased)' AND EXISTS (SELECT 1 FROM blanked WHERE part = 'payments' AND row_id = OLD.id)
        OR NEW.note <> '' AND EXISTS (SELECT 1 FROM vault WHERE turning = 1)))
BEGIN
    SELECT RAISE(ABORT, 'a payment may only be reversed');
END;
-- +goose StatementEnd
DROP TRIGGER origins_keep;
-- +goose StatementBegin
CREATE TRIGGER origins_keep BEFORE UPDATE ON origins
WHEN NEW.order_id <> OLD.order_id OR NEW.place <> OLD.place OR NEW.intake <> OLD.intake OR NEW.sheet <> OLD.sheet OR NEW.sheet_row <> OLD.sheet_row
    OR NEW.fill <> OLD.fill OR NEW.hash <> OLD.hash OR NEW.gone < OLD.gone
    OR NEW.cells <> OLD.cells AND NOT (NEW.cells = '[]' AND EXISTS (SELECT 1 FROM blanked WHERE part = 'origins' AND row_id = OLD.order_id)
        OR NEW.cells <> '[]' AND EXISTS (SELECT 1 FROM vault WHERE turning = 1))
BEGIN
    SELECT RAISE(ABORT, 'the row that an order was made of is kept as it was');
END;
-- +goose StatementEnd
DROP TRIGGER intakes_keep;
-- +goose StatementBegin
CREATE TRIGGER intakes_keep BEFORE UPDATE ON intakes
WHEN NEW.id <> OLD.id OR NEW.hash <> OLD.hash OR NEW.mapping <> OLD.mapping OR NEW.made <> OLD.made
    OR NEW.day <> OLD.day OR NEW.at <> OLD.at OR NEW.who <> OLD.who
    OR (NEW.name <> OLD.name OR OLD.back_at <> 0)
    AND NOT (NEW.name IN (OLD.name, '(erased)') AND NEW.back_why IN (OLD.back_why, '(erased)') AND NEW.back_at = OLD.back_at
        AND NEW.back_day = OLD.back_day AND NEW.back_who = OLD.back_who
        AND EXISTS (SELECT 1 FROM blanked WHERE part = 'intakes' AND row_id = OLD.id))
BEGIN
    SELECT RAISE(ABORT, 'what was brought in may only be taken back, once');
END;
-- +goose StatementEnd
DROP TRIGGER moves_no_update;
-- +goose StatementBegin
CREATE TRIGGER moves_no_update BEFORE UPDATE ON moves
WHEN NOT (NEW.id = OLD.id AND NEW.kind = OLD.kind AND NEW.item = OLD.item AND NEW.delta = OLD.delta AND NEW.day = OLD.day AND NEW.at = OLD.at
    AND NEW.who = OLD.who AND NEW.reason = '(erased)' AND EXISTS (SELECT 1 FROM blanked WHERE part = 'moves' AND row_id = OLD.id))
BEGIN
    SELECT RAISE(ABORT, 'a stock move is never changed');
END;
-- +goose StatementEnd
