-- +goose Up
-- By what a payment was made: in cash, by card, another way; empty when nobody said.
ALTER TABLE payments ADD COLUMN how TEXT NOT NULL DEFAULT '' CHECK (how IN ('', 'cash', 'card', 'other'));
DROP TRIGGER payments_keep;
-- +goose StatementBegin
CREATE TRIGGER payments_keep BEFORE UPDATE ON payments
WHEN NEW.id <> OLD.id OR NEW.order_id <> OLD.order_id OR NEW.kind <> OLD.kind OR NEW.amount <> OLD.amount
    OR NEW.currency <> OLD.currency OR NEW.day <> OLD.day OR NEW.reversed < OLD.reversed
    OR NEW.fee <> OLD.fee OR NEW.fee_currency <> OLD.fee_currency OR NEW.how <> OLD.how
    OR NEW.note <> OLD.note AND NOT (OLD.note <> '' AND (
        NEW.note = '(erased)' AND EXISTS (SELECT 1 FROM blanked WHERE part = 'payments' AND row_id = OLD.id)
        OR NEW.note <> '' AND EXISTS (SELECT 1 FROM vault WHERE turning = 1)))
BEGIN
    SELECT RAISE(ABORT, 'a payment may only be reversed');
END;
-- +goose StatementEnd

-- A day at the table of an outlet: its cash box before, and counted. What it took is in the payments.
CREATE TABLE fair_days (
    id                  INTEGER PRIMARY KEY,
    outlet              INTEGER NOT NULL REFERENCES outlets (id),
    day                 TEXT NOT NULL,
    name                TEXT NOT NULL,
    till_float          INTEGER NOT NULL CHECK (till_float >= 0),
    till_float_currency TEXT NOT NULL,
    ended               INTEGER NOT NULL CHECK (ended IN (0, 1)),
    counted             INTEGER NOT NULL CHECK (counted >= 0),
    counted_currency    TEXT NOT NULL,
    why                 TEXT NOT NULL,
    minutes             INTEGER NOT NULL CHECK (minutes BETWEEN 0 AND 1440),
    dropped             INTEGER NOT NULL CHECK (dropped IN (0, 1)),
    at                  INTEGER NOT NULL,
    who                 TEXT NOT NULL
) STRICT;
-- An outlet has one table a day.
CREATE UNIQUE INDEX fair_days_one ON fair_days (outlet, day) WHERE dropped = 0;

-- What such a day cost; amounts are more than nothing.
CREATE TABLE fair_costs (
    id              INTEGER PRIMARY KEY,
    fair_day        INTEGER NOT NULL REFERENCES fair_days (id),
    kind            TEXT NOT NULL CHECK (kind IN ('stall', 'travel', 'other')),
    amount          INTEGER NOT NULL CHECK (amount > 0),
    amount_currency TEXT NOT NULL,
    from_box        INTEGER NOT NULL CHECK (from_box IN (0, 1)),
    note            TEXT NOT NULL,
    reversed        INTEGER NOT NULL CHECK (reversed IN (0, 1)),
    at              INTEGER NOT NULL,
    who             TEXT NOT NULL
) STRICT;
CREATE INDEX fair_costs_day ON fair_costs (fair_day, id);

INSERT INTO counters (name, value) VALUES ('fair_days', 0), ('fair_costs', 0);

-- +goose StatementBegin
CREATE TRIGGER fair_days_keep BEFORE UPDATE ON fair_days
WHEN NEW.id <> OLD.id OR NEW.outlet <> OLD.outlet OR NEW.day <> OLD.day OR NEW.dropped < OLD.dropped
BEGIN
    SELECT RAISE(ABORT, 'a day at the table stays that of its outlet');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER fair_days_no_delete BEFORE DELETE ON fair_days
BEGIN
    SELECT RAISE(ABORT, 'a day at the table is never forgotten');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER fair_days_no_replace BEFORE INSERT ON fair_days
WHEN EXISTS (SELECT 1 FROM fair_days WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'a day at the table is never replaced');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER fair_costs_keep BEFORE UPDATE ON fair_costs
WHEN NEW.id <> OLD.id OR NEW.fair_day <> OLD.fair_day OR NEW.kind <> OLD.kind OR NEW.amount <> OLD.amount OR NEW.amount_currency <> OLD.amount_currency
    OR NEW.from_box <> OLD.from_box OR NEW.reversed < OLD.reversed
BEGIN
    SELECT RAISE(ABORT, 'a cost may only be reversed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER fair_costs_no_delete BEFORE DELETE ON fair_costs
BEGIN
    SELECT RAISE(ABORT, 'a cost of a day at the table is never forgotten');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER fair_costs_no_replace BEFORE INSERT ON fair_costs
WHEN EXISTS (SELECT 1 FROM fair_costs WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'a cost of a day at the table is never replaced');
END;
-- +goose StatementEnd
