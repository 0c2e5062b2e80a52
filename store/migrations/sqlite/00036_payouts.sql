-- +goose Up
-- What outlets paid out of many sales in one sum, and what each payout said of a sale. Both stay; taken_back says that a payout was entered wrongly.
CREATE TABLE payouts (
    id           INTEGER PRIMARY KEY,
    outlet       INTEGER NOT NULL REFERENCES outlets (id),
    net          INTEGER NOT NULL CHECK (net >= 0),
    net_currency TEXT NOT NULL,
    day          TEXT NOT NULL,
    note         TEXT NOT NULL,
    taken_back   INTEGER NOT NULL CHECK (taken_back IN (0, 1)),
    at           INTEGER NOT NULL,
    who          TEXT NOT NULL
) STRICT;
CREATE INDEX payouts_day ON payouts (day, id);

-- was is the outlet's fee as it was reckoned, fee what the payout made of it; noted is the payment that was noted by it.
CREATE TABLE payout_parts (
    payout                INTEGER NOT NULL REFERENCES payouts (id),
    order_id              INTEGER NOT NULL REFERENCES orders (id),
    gross                 INTEGER NOT NULL CHECK (gross >= 0),
    gross_currency        TEXT NOT NULL,
    was                   INTEGER NOT NULL CHECK (was >= 0),
    was_currency          TEXT NOT NULL,
    fee                   INTEGER NOT NULL CHECK (fee >= 0),
    fee_currency          TEXT NOT NULL,
    payment_fees          INTEGER NOT NULL CHECK (payment_fees >= 0),
    payment_fees_currency TEXT NOT NULL,
    noted                 INTEGER UNIQUE REFERENCES payments (id),
    taken_back            INTEGER NOT NULL CHECK (taken_back IN (0, 1)),
    PRIMARY KEY (payout, order_id)
) STRICT, WITHOUT ROWID;
-- An order is paid out once.
CREATE UNIQUE INDEX payout_parts_order ON payout_parts (order_id) WHERE taken_back = 0;

INSERT INTO counters (name, value) VALUES ('payouts', 0);

-- +goose StatementBegin
CREATE TRIGGER payouts_keep BEFORE UPDATE ON payouts
WHEN NEW.id <> OLD.id OR NEW.outlet <> OLD.outlet OR NEW.net <> OLD.net OR NEW.net_currency <> OLD.net_currency OR NEW.day <> OLD.day
    OR NEW.at <> OLD.at OR NEW.who <> OLD.who OR NEW.taken_back < OLD.taken_back
BEGIN
    SELECT RAISE(ABORT, 'a payout may only be taken back');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER payouts_no_delete BEFORE DELETE ON payouts
BEGIN
    SELECT RAISE(ABORT, 'a payout is never forgotten');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER payouts_no_replace BEFORE INSERT ON payouts
WHEN EXISTS (SELECT 1 FROM payouts WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'a payout is never replaced');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER payout_parts_keep BEFORE UPDATE ON payout_parts
WHEN NEW.payout <> OLD.payout OR NEW.order_id <> OLD.order_id OR NEW.gross <> OLD.gross OR NEW.gross_currency <> OLD.gross_currency
    OR NEW.was <> OLD.was OR NEW.was_currency <> OLD.was_currency OR NEW.fee <> OLD.fee OR NEW.fee_currency <> OLD.fee_currency
    OR NEW.payment_fees <> OLD.payment_fees OR NEW.payment_fees_currency <> OLD.payment_fees_currency OR NEW.noted IS NOT OLD.noted
    OR NEW.taken_back < OLD.taken_back
BEGIN
    SELECT RAISE(ABORT, 'a part of a payout may only be taken back');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER payout_parts_no_delete BEFORE DELETE ON payout_parts
BEGIN
    SELECT RAISE(ABORT, 'a part of a payout is never forgotten');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER payout_parts_no_replace BEFORE INSERT ON payout_parts
WHEN EXISTS (SELECT 1 FROM payout_parts WHERE payout = NEW.payout AND order_id = NEW.order_id)
BEGIN
    SELECT RAISE(ABORT, 'a part of a payout is never replaced');
END;
-- +goose StatementEnd
