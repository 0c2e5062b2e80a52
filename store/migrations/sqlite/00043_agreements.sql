-- +goose Up
-- That the total of an order was agreed in another currency than the book's. The latest row of an order counts; a total of nothing ends it.
CREATE TABLE agreements (
    id             INTEGER PRIMARY KEY,
    order_id       INTEGER NOT NULL REFERENCES orders (id),
    total          INTEGER NOT NULL CHECK (total >= 0),
    total_currency TEXT NOT NULL,
    book           INTEGER NOT NULL CHECK (book >= 0),
    book_currency  TEXT NOT NULL,
    rate           TEXT NOT NULL,
    day            TEXT NOT NULL,
    at             INTEGER NOT NULL,
    who            TEXT NOT NULL
) STRICT;

-- Payments and refunds as they came or went in another currency, and what that was worth on its day; their payments say what they settled.
CREATE TABLE foreign_payments (
    id             INTEGER PRIMARY KEY,
    payment        INTEGER NOT NULL UNIQUE REFERENCES payments (id),
    order_id       INTEGER NOT NULL REFERENCES orders (id),
    came           INTEGER NOT NULL CHECK (came > 0),
    came_currency  TEXT NOT NULL,
    worth          INTEGER NOT NULL CHECK (worth >= 0),
    worth_currency TEXT NOT NULL,
    rate           TEXT NOT NULL,
    at             INTEGER NOT NULL,
    who            TEXT NOT NULL
) STRICT;
CREATE INDEX agreements_order ON agreements (order_id, id);
CREATE INDEX foreign_payments_order ON foreign_payments (order_id, id);

INSERT INTO counters (name, value) VALUES ('agreements', 0), ('foreign_payments', 0);

-- +goose StatementBegin
CREATE TRIGGER agreements_keep BEFORE UPDATE ON agreements
BEGIN
    SELECT RAISE(ABORT, 'what was agreed is never changed');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER agreements_no_delete BEFORE DELETE ON agreements
BEGIN
    SELECT RAISE(ABORT, 'what was agreed is never forgotten');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER agreements_no_replace BEFORE INSERT ON agreements
WHEN EXISTS (SELECT 1 FROM agreements WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'what was agreed is never replaced');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER foreign_payments_keep BEFORE UPDATE ON foreign_payments
BEGIN
    SELECT RAISE(ABORT, 'how a payment came is never changed');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER foreign_payments_no_delete BEFORE DELETE ON foreign_payments
BEGIN
    SELECT RAISE(ABORT, 'how a payment came is never forgotten');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER foreign_payments_no_replace BEFORE INSERT ON foreign_payments
WHEN EXISTS (SELECT 1 FROM foreign_payments WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'how a payment came is never replaced');
END;
-- +goose StatementEnd
