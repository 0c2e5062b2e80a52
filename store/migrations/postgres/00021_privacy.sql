-- +goose Up
-- Buyers who were erased. The log names nobody: what tells who it was is gone.
CREATE TABLE erasures (
    id    BIGINT PRIMARY KEY,
    buyer BIGINT NOT NULL UNIQUE REFERENCES buyers (id),
    why   TEXT COLLATE "C" NOT NULL CHECK (why IN ('asked', 'due', 'again')),
    day   TEXT COLLATE "C" NOT NULL,
    at    BIGINT NOT NULL,
    who   TEXT COLLATE "C" NOT NULL,
    cells BIGINT NOT NULL CHECK (cells >= 0)
);

INSERT INTO counters (name, value) VALUES ('erasures', 0);

-- Rows that otherwise stand for good, of which an erasure blanked the words. Only what stands here may be blanked, and nothing else of it changes.
CREATE TABLE blanked (
    part    TEXT COLLATE "C" NOT NULL CHECK (part IN ('register', 'payments', 'origins', 'intakes', 'moves')),
    row_id  BIGINT NOT NULL,
    erasure BIGINT NOT NULL REFERENCES erasures (id),
    PRIMARY KEY (part, row_id)
);

-- What is encrypted in this store, and a text by which its key is known. No row: nothing is. turning = 1: it is being turned on or off.
CREATE TABLE vault (
    id      BIGINT PRIMARY KEY CHECK (id = 1),
    secrets BIGINT NOT NULL CHECK (secrets IN (0, 1)),
    people  BIGINT NOT NULL CHECK (people IN (0, 1)),
    turning BIGINT NOT NULL CHECK (turning IN (0, 1)),
    proof   TEXT COLLATE "C" NOT NULL
);

CREATE TRIGGER erasures_no_update BEFORE UPDATE ON erasures FOR EACH ROW EXECUTE FUNCTION refuse('an erasure is never changed');
CREATE TRIGGER erasures_no_delete BEFORE DELETE ON erasures FOR EACH ROW EXECUTE FUNCTION refuse('an erasure is never forgotten');
CREATE TRIGGER erasures_no_truncate BEFORE TRUNCATE ON erasures EXECUTE FUNCTION refuse('an erasure is never forgotten');
CREATE TRIGGER blanked_no_update BEFORE UPDATE ON blanked FOR EACH ROW EXECUTE FUNCTION refuse('what was blanked stays noted');
CREATE TRIGGER blanked_no_delete BEFORE DELETE ON blanked FOR EACH ROW EXECUTE FUNCTION refuse('what was blanked stays noted');
CREATE TRIGGER blanked_no_truncate BEFORE TRUNCATE ON blanked EXECUTE FUNCTION refuse('what was blanked stays noted');

-- An entry of the register names nobody: it refers to the order by its mark and line. Its note alone holds words that she typed. The
-- note alone may be blanked, once an erasure said so; every other change of an entry is refused as before.
DROP TRIGGER register_no_update ON register;
-- +goose StatementBegin
CREATE FUNCTION register_keeps() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NOT (NEW.seq = OLD.seq AND NEW.edition = OLD.edition AND NEW.kind = OLD.kind AND NEW.number = OLD.number AND NEW.turn = OLD.turn
        AND NEW.step = OLD.step AND NEW.state = OLD.state AND NEW.line = OLD.line AND NEW.signed = OLD.signed AND NEW.struck = OLD.struck
        AND NEW.order_mark = OLD.order_mark AND NEW.day = OLD.day AND NEW.at = OLD.at AND NEW.who = OLD.who AND NEW.undoes = OLD.undoes
        AND OLD.note <> '' AND NEW.note = '(erased)' AND EXISTS (SELECT 1 FROM blanked WHERE part = 'register' AND row_id = OLD.seq)) THEN
        RAISE EXCEPTION 'an entry of the register is never changed' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER register_no_update BEFORE UPDATE ON register FOR EACH ROW EXECUTE FUNCTION register_keeps();

-- The same of payments, of rows that orders were made of, of files that were brought in, and of stock moves. Notes and rows may also be written in
-- cipher, or in clear again, while that is being turned on or off.
DROP TRIGGER payments_keep ON payments;
-- +goose StatementBegin
CREATE FUNCTION payments_keep() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.id <> OLD.id OR NEW.order_id <> OLD.order_id OR NEW.kind <> OLD.kind OR NEW.amount <> OLD.amount
        OR NEW.currency <> OLD.currency OR NEW.day <> OLD.day OR NEW.reversed < OLD.reversed
        OR NEW.note <> OLD.note AND NOT (OLD.note <> '' AND (
            NEW.note = '(erased)' AND EXISTS (SELECT 1 FROM blanked WHERE part = 'payments' AND row_id = OLD.id)
            OR NEW.note <> '' AND EXISTS (SELECT 1 FROM vault WHERE turning = 1))) THEN
        RAISE EXCEPTION 'a payment may only be reversed' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER payments_keep BEFORE UPDATE ON payments FOR EACH ROW EXECUTE FUNCTION payments_keep();
DROP TRIGGER origins_keep ON origins;
-- +goose StatementBegin
CREATE FUNCTION origins_keep() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.order_id <> OLD.order_id OR NEW.place <> OLD.place OR NEW.intake <> OLD.intake OR NEW.sheet <> OLD.sheet OR NEW.sheet_row <> OLD.sheet_row
        OR NEW.fill <> OLD.fill OR NEW.hash <> OLD.hash OR NEW.gone < OLD.gone
        OR NEW.cells <> OLD.cells AND NOT (NEW.cells = '[]' AND EXISTS (SELECT 1 FROM blanked WHERE part = 'origins' AND row_id = OLD.order_id)
            OR NEW.cells <> '[]' AND EXISTS (SELECT 1 FROM vault WHERE turning = 1)) THEN
        RAISE EXCEPTION 'the row that an order was made of is kept as it was' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER origins_keep BEFORE UPDATE ON origins FOR EACH ROW EXECUTE FUNCTION origins_keep();
DROP TRIGGER intakes_keep ON intakes;
-- +goose StatementBegin
CREATE FUNCTION intakes_keep() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.id <> OLD.id OR NEW.hash <> OLD.hash OR NEW.mapping <> OLD.mapping OR NEW.made <> OLD.made
        OR NEW.day <> OLD.day OR NEW.at <> OLD.at OR NEW.who <> OLD.who
        OR (NEW.name <> OLD.name OR OLD.back_at <> 0)
        AND NOT (NEW.name IN (OLD.name, '(erased)') AND NEW.back_why IN (OLD.back_why, '(erased)') AND NEW.back_at = OLD.back_at
            AND NEW.back_day = OLD.back_day AND NEW.back_who = OLD.back_who
            AND EXISTS (SELECT 1 FROM blanked WHERE part = 'intakes' AND row_id = OLD.id)) THEN
        RAISE EXCEPTION 'what was brought in may only be taken back, once' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER intakes_keep BEFORE UPDATE ON intakes FOR EACH ROW EXECUTE FUNCTION intakes_keep();
DROP TRIGGER moves_no_update ON moves;
-- +goose StatementBegin
CREATE FUNCTION moves_keep() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NOT (NEW.id = OLD.id AND NEW.kind = OLD.kind AND NEW.item = OLD.item AND NEW.delta = OLD.delta AND NEW.day = OLD.day AND NEW.at = OLD.at
        AND NEW.who = OLD.who AND NEW.reason = '(erased)' AND EXISTS (SELECT 1 FROM blanked WHERE part = 'moves' AND row_id = OLD.id)) THEN
        RAISE EXCEPTION 'a stock move is never changed' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER moves_no_update BEFORE UPDATE ON moves FOR EACH ROW EXECUTE FUNCTION moves_keep();
