-- +goose Up
-- A line of the bank may be an operator's payment of a claim, or cash of a day at a table, too.
-- Cash of a day at a table that was carried to the bank; it may only be reversed.
CREATE TABLE fair_carries (
    id              BIGINT PRIMARY KEY,
    fair_day        BIGINT NOT NULL REFERENCES fair_days (id),
    amount          BIGINT NOT NULL CHECK (amount > 0),
    amount_currency TEXT COLLATE "C" NOT NULL,
    day             TEXT COLLATE "C" NOT NULL,
    note            TEXT COLLATE "C" NOT NULL,
    reversed        BIGINT NOT NULL CHECK (reversed IN (0, 1)),
    at              BIGINT NOT NULL,
    who             TEXT COLLATE "C" NOT NULL
);
CREATE INDEX fair_carries_day ON fair_carries (fair_day, id);
INSERT INTO counters (name, value) VALUES ('fair_carries', 0);
CREATE TRIGGER fair_carries_keep BEFORE UPDATE ON fair_carries FOR EACH ROW
WHEN (NEW.id <> OLD.id OR NEW.fair_day <> OLD.fair_day OR NEW.amount <> OLD.amount OR NEW.amount_currency <> OLD.amount_currency
    OR NEW.day <> OLD.day OR NEW.reversed < OLD.reversed)
EXECUTE FUNCTION refuse('cash that was carried may only be reversed');
CREATE TRIGGER fair_carries_no_delete BEFORE DELETE ON fair_carries FOR EACH ROW EXECUTE FUNCTION refuse('cash that was carried is never forgotten');
CREATE TRIGGER fair_carries_no_truncate BEFORE TRUNCATE ON fair_carries EXECUTE FUNCTION refuse('cash that was carried is never forgotten');

ALTER TABLE bank_lines ADD COLUMN claim BIGINT UNIQUE REFERENCES claims (id);
ALTER TABLE bank_lines ADD COLUMN fair_carry BIGINT UNIQUE REFERENCES fair_carries (id);
ALTER TABLE bank_lines DROP CONSTRAINT bank_lines_check;
ALTER TABLE bank_lines ADD CONSTRAINT bank_lines_check CHECK ((CASE WHEN payment IS NULL THEN 0 ELSE 1 END) + (CASE WHEN payout IS NULL THEN 0 ELSE 1 END)
    + (CASE WHEN gallery_money IS NULL THEN 0 ELSE 1 END) + (CASE WHEN claim IS NULL THEN 0 ELSE 1 END)
    + (CASE WHEN fair_carry IS NULL THEN 0 ELSE 1 END) = CASE state WHEN 'matched' THEN 1 ELSE 0 END);
