-- +goose Up
-- A line of the bank may be a payment, a payout of an outlet, or money of a gallery: one of them when it is matched.
ALTER TABLE bank_lines ADD COLUMN payout BIGINT UNIQUE REFERENCES payouts (id);
ALTER TABLE bank_lines ADD COLUMN gallery_money BIGINT UNIQUE REFERENCES gallery_moneys (id);
ALTER TABLE bank_lines DROP CONSTRAINT bank_lines_check;
ALTER TABLE bank_lines ADD CONSTRAINT bank_lines_check CHECK ((CASE WHEN payment IS NULL THEN 0 ELSE 1 END) + (CASE WHEN payout IS NULL THEN 0 ELSE 1 END)
    + (CASE WHEN gallery_money IS NULL THEN 0 ELSE 1 END) = CASE state WHEN 'matched' THEN 1 ELSE 0 END);
