-- +goose Up
-- By what a payment was made: in cash, by card, another way; empty when nobody said.
ALTER TABLE payments ADD COLUMN how TEXT COLLATE "C" NOT NULL DEFAULT '' CHECK (how IN ('', 'cash', 'card', 'other'));
-- +goose StatementBegin
CREATE OR REPLACE FUNCTION payments_keep() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.id <> OLD.id OR NEW.order_id <> OLD.order_id OR NEW.kind <> OLD.kind OR NEW.amount <> OLD.amount
        OR NEW.currency <> OLD.currency OR NEW.day <> OLD.day OR NEW.reversed < OLD.reversed
        OR NEW.fee <> OLD.fee OR NEW.fee_currency <> OLD.fee_currency OR NEW.how <> OLD.how
        OR NEW.note <> OLD.note AND NOT (OLD.note <> '' AND (
            NEW.note = '(erased)' AND EXISTS (SELECT 1 FROM blanked WHERE part = 'payments' AND row_id = OLD.id)
            OR NEW.note <> '' AND EXISTS (SELECT 1 FROM vault WHERE turning = 1))) THEN
        RAISE EXCEPTION 'a payment may only be reversed' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd

-- A day at the table of an outlet: its cash box before, and counted. What it took is in the payments.
CREATE TABLE fair_days (
    id                  BIGINT PRIMARY KEY,
    outlet              BIGINT NOT NULL REFERENCES outlets (id),
    day                 TEXT COLLATE "C" NOT NULL,
    name                TEXT COLLATE "C" NOT NULL,
    till_float          BIGINT NOT NULL CHECK (till_float >= 0),
    till_float_currency TEXT COLLATE "C" NOT NULL,
    ended               BIGINT NOT NULL CHECK (ended IN (0, 1)),
    counted             BIGINT NOT NULL CHECK (counted >= 0),
    counted_currency    TEXT COLLATE "C" NOT NULL,
    why                 TEXT COLLATE "C" NOT NULL,
    minutes             BIGINT NOT NULL CHECK (minutes BETWEEN 0 AND 1440),
    dropped             BIGINT NOT NULL CHECK (dropped IN (0, 1)),
    at                  BIGINT NOT NULL,
    who                 TEXT COLLATE "C" NOT NULL
);
-- An outlet has one table a day.
CREATE UNIQUE INDEX fair_days_one ON fair_days (outlet, day) WHERE dropped = 0;

-- What such a day cost; amounts are more than nothing.
CREATE TABLE fair_costs (
    id              BIGINT PRIMARY KEY,
    fair_day        BIGINT NOT NULL REFERENCES fair_days (id),
    kind            TEXT COLLATE "C" NOT NULL CHECK (kind IN ('stall', 'travel', 'other')),
    amount          BIGINT NOT NULL CHECK (amount > 0),
    amount_currency TEXT COLLATE "C" NOT NULL,
    from_box        BIGINT NOT NULL CHECK (from_box IN (0, 1)),
    note            TEXT COLLATE "C" NOT NULL,
    reversed        BIGINT NOT NULL CHECK (reversed IN (0, 1)),
    at              BIGINT NOT NULL,
    who             TEXT COLLATE "C" NOT NULL
);
CREATE INDEX fair_costs_day ON fair_costs (fair_day, id);

INSERT INTO counters (name, value) VALUES ('fair_days', 0), ('fair_costs', 0);

CREATE TRIGGER fair_days_keep BEFORE UPDATE ON fair_days FOR EACH ROW
WHEN (NEW.id <> OLD.id OR NEW.outlet <> OLD.outlet OR NEW.day <> OLD.day OR NEW.dropped < OLD.dropped)
EXECUTE FUNCTION refuse('a day at the table stays that of its outlet');
CREATE TRIGGER fair_days_no_delete BEFORE DELETE ON fair_days FOR EACH ROW EXECUTE FUNCTION refuse('a day at the table is never forgotten');
CREATE TRIGGER fair_days_no_truncate BEFORE TRUNCATE ON fair_days EXECUTE FUNCTION refuse('a day at the table is never forgotten');
CREATE TRIGGER fair_costs_keep BEFORE UPDATE ON fair_costs FOR EACH ROW
WHEN (NEW.id <> OLD.id OR NEW.fair_day <> OLD.fair_day OR NEW.kind <> OLD.kind OR NEW.amount <> OLD.amount OR NEW.amount_currency <> OLD.amount_currency
    OR NEW.from_box <> OLD.from_box OR NEW.reversed < OLD.reversed)
EXECUTE FUNCTION refuse('a cost may only be reversed');
CREATE TRIGGER fair_costs_no_delete BEFORE DELETE ON fair_costs FOR EACH ROW EXECUTE FUNCTION refuse('a cost of a day at the table is never forgotten');
CREATE TRIGGER fair_costs_no_truncate BEFORE TRUNCATE ON fair_costs EXECUTE FUNCTION refuse('a cost of a day at the table is never forgotten');
