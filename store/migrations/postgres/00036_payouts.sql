-- +goose Up
-- What outlets paid out of many sales in one sum, and what each payout said of a sale. Both stay; taken_back says that a payout was entered wrongly.
CREATE TABLE payouts (
    id           BIGINT PRIMARY KEY,
    outlet       BIGINT NOT NULL REFERENCES outlets (id),
    net          BIGINT NOT NULL CHECK (net >= 0),
    net_currency TEXT COLLATE "C" NOT NULL,
    day          TEXT COLLATE "C" NOT NULL,
    note         TEXT COLLATE "C" NOT NULL,
    taken_back   BIGINT NOT NULL CHECK (taken_back IN (0, 1)),
    at           BIGINT NOT NULL,
    who          TEXT COLLATE "C" NOT NULL
);
CREATE INDEX payouts_day ON payouts (day, id);

-- was is the outlet's fee as it was reckoned, fee what the payout made of it; noted is the payment that was noted by it.
CREATE TABLE payout_parts (
    payout                BIGINT NOT NULL REFERENCES payouts (id),
    order_id              BIGINT NOT NULL REFERENCES orders (id),
    gross                 BIGINT NOT NULL CHECK (gross >= 0),
    gross_currency        TEXT COLLATE "C" NOT NULL,
    was                   BIGINT NOT NULL CHECK (was >= 0),
    was_currency          TEXT COLLATE "C" NOT NULL,
    fee                   BIGINT NOT NULL CHECK (fee >= 0),
    fee_currency          TEXT COLLATE "C" NOT NULL,
    payment_fees          BIGINT NOT NULL CHECK (payment_fees >= 0),
    payment_fees_currency TEXT COLLATE "C" NOT NULL,
    noted                 BIGINT UNIQUE REFERENCES payments (id),
    taken_back            BIGINT NOT NULL CHECK (taken_back IN (0, 1)),
    PRIMARY KEY (payout, order_id)
);
-- An order is paid out once.
CREATE UNIQUE INDEX payout_parts_order ON payout_parts (order_id) WHERE taken_back = 0;

INSERT INTO counters (name, value) VALUES ('payouts', 0);

CREATE TRIGGER payouts_keep BEFORE UPDATE ON payouts FOR EACH ROW
WHEN (NEW.id <> OLD.id OR NEW.outlet <> OLD.outlet OR NEW.net <> OLD.net OR NEW.net_currency <> OLD.net_currency OR NEW.day <> OLD.day
    OR NEW.at <> OLD.at OR NEW.who <> OLD.who OR NEW.taken_back < OLD.taken_back)
EXECUTE FUNCTION refuse('a payout may only be taken back');
CREATE TRIGGER payouts_no_delete BEFORE DELETE ON payouts FOR EACH ROW EXECUTE FUNCTION refuse('a payout is never forgotten');
CREATE TRIGGER payouts_no_truncate BEFORE TRUNCATE ON payouts EXECUTE FUNCTION refuse('a payout is never forgotten');
CREATE TRIGGER payout_parts_keep BEFORE UPDATE ON payout_parts FOR EACH ROW
WHEN (NEW.payout <> OLD.payout OR NEW.order_id <> OLD.order_id OR NEW.gross <> OLD.gross OR NEW.gross_currency <> OLD.gross_currency
    OR NEW.was <> OLD.was OR NEW.was_currency <> OLD.was_currency OR NEW.fee <> OLD.fee OR NEW.fee_currency <> OLD.fee_currency
    OR NEW.payment_fees <> OLD.payment_fees OR NEW.payment_fees_currency <> OLD.payment_fees_currency OR NEW.noted IS DISTINCT FROM OLD.noted
    OR NEW.taken_back < OLD.taken_back)
EXECUTE FUNCTION refuse('a part of a payout may only be taken back');
CREATE TRIGGER payout_parts_no_delete BEFORE DELETE ON payout_parts FOR EACH ROW EXECUTE FUNCTION refuse('a part of a payout is never forgotten');
CREATE TRIGGER payout_parts_no_truncate BEFORE TRUNCATE ON payout_parts EXECUTE FUNCTION refuse('a part of a payout is never forgotten');
