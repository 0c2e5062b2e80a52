-- +goose Up
-- That the total of an order was agreed in another currency than the book's. The latest row of an order counts; a total of nothing ends it.
CREATE TABLE agreements (
    id             BIGINT PRIMARY KEY,
    order_id       BIGINT NOT NULL REFERENCES orders (id),
    total          BIGINT NOT NULL CHECK (total >= 0),
    total_currency TEXT COLLATE "C" NOT NULL,
    book           BIGINT NOT NULL CHECK (book >= 0),
    book_currency  TEXT COLLATE "C" NOT NULL,
    rate           TEXT COLLATE "C" NOT NULL,
    day            TEXT COLLATE "C" NOT NULL,
    at             BIGINT NOT NULL,
    who            TEXT COLLATE "C" NOT NULL
);

-- Payments and refunds as they came or went in another currency, and what that was worth on its day; their payments say what they settled.
CREATE TABLE foreign_payments (
    id             BIGINT PRIMARY KEY,
    payment        BIGINT NOT NULL UNIQUE REFERENCES payments (id),
    order_id       BIGINT NOT NULL REFERENCES orders (id),
    came           BIGINT NOT NULL CHECK (came > 0),
    came_currency  TEXT COLLATE "C" NOT NULL,
    worth          BIGINT NOT NULL CHECK (worth >= 0),
    worth_currency TEXT COLLATE "C" NOT NULL,
    rate           TEXT COLLATE "C" NOT NULL,
    at             BIGINT NOT NULL,
    who            TEXT COLLATE "C" NOT NULL
);
CREATE INDEX agreements_order ON agreements (order_id, id);
CREATE INDEX foreign_payments_order ON foreign_payments (order_id, id);

INSERT INTO counters (name, value) VALUES ('agreements', 0), ('foreign_payments', 0);

CREATE TRIGGER agreements_keep BEFORE UPDATE ON agreements FOR EACH ROW EXECUTE FUNCTION refuse('what was agreed is never changed');
CREATE TRIGGER agreements_no_delete BEFORE DELETE ON agreements FOR EACH ROW EXECUTE FUNCTION refuse('what was agreed is never forgotten');
CREATE TRIGGER agreements_no_truncate BEFORE TRUNCATE ON agreements EXECUTE FUNCTION refuse('what was agreed is never forgotten');

CREATE TRIGGER foreign_payments_keep BEFORE UPDATE ON foreign_payments FOR EACH ROW EXECUTE FUNCTION refuse('how a payment came is never changed');
CREATE TRIGGER foreign_payments_no_delete BEFORE DELETE ON foreign_payments FOR EACH ROW EXECUTE FUNCTION refuse('how a payment came is never forgotten');
CREATE TRIGGER foreign_payments_no_truncate BEFORE TRUNCATE ON foreign_payments EXECUTE FUNCTION refuse('how a payment came is never forgotten');
