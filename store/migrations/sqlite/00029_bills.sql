-- +goose Up
-- Receipts, invoices and credit notes. Each kind is one series of numbers without gaps, and none is ever changed: a credit note corrects.
CREATE TABLE bills (
    id             INTEGER PRIMARY KEY,
    kind           TEXT NOT NULL CHECK (kind IN ('receipt', 'invoice', 'credit')),
    number         INTEGER NOT NULL CHECK (number > 0),
    day            TEXT NOT NULL,
    order_id       INTEGER NOT NULL REFERENCES orders (id),
    corrects       INTEGER REFERENCES bills (id),
    net            INTEGER NOT NULL CHECK (net >= 0),
    net_currency   TEXT NOT NULL,
    tax            INTEGER NOT NULL CHECK (tax >= 0),
    tax_currency   TEXT NOT NULL,
    total          INTEGER NOT NULL CHECK (total > 0),
    total_currency TEXT NOT NULL,
    to_name        TEXT NOT NULL,
    to_lines       TEXT NOT NULL,
    reason         TEXT NOT NULL,
    body           TEXT NOT NULL,
    at             INTEGER NOT NULL,
    who            TEXT NOT NULL,
    UNIQUE (kind, number),
    CHECK (net + tax = total),
    CHECK (net_currency = total_currency AND tax_currency = total_currency),
    CHECK ((kind = 'credit') = (corrects IS NOT NULL))
) STRICT;
CREATE INDEX bills_order ON bills (order_id, id);
CREATE INDEX bills_corrects ON bills (corrects, id) WHERE corrects IS NOT NULL;

INSERT INTO counters (name, value) VALUES ('bills', 0);

-- +goose StatementBegin
CREATE TRIGGER bills_no_gap BEFORE INSERT ON bills
WHEN EXISTS (SELECT 1 FROM bills WHERE id = NEW.id)
    OR NEW.number <> COALESCE((SELECT MAX(number) + 1 FROM bills WHERE kind = NEW.kind), NEW.number)
BEGIN
    SELECT RAISE(ABORT, 'a series of receipts, invoices or credit notes has no gap');
END;
-- +goose StatementEnd
-- Whom a paper is for is blanked when its buyer is erased; the reason of a credit note, where it names somebody who is.
-- +goose StatementBegin
CREATE TRIGGER bills_keep BEFORE UPDATE ON bills
WHEN NEW.id <> OLD.id OR NEW.kind <> OLD.kind OR NEW.number <> OLD.number OR NEW.day <> OLD.day OR NEW.order_id <> OLD.order_id
    OR NEW.corrects IS NOT OLD.corrects OR NEW.net <> OLD.net OR NEW.net_currency <> OLD.net_currency OR NEW.tax <> OLD.tax
    OR NEW.tax_currency <> OLD.tax_currency OR NEW.total <> OLD.total OR NEW.total_currency <> OLD.total_currency
    OR NEW.body <> OLD.body OR NEW.at <> OLD.at OR NEW.who <> OLD.who
    OR NEW.reason <> OLD.reason AND NEW.reason NOT LIKE '%(erased)%'
    OR (NEW.to_name <> OLD.to_name OR NEW.to_lines <> OLD.to_lines)
    AND NOT EXISTS (SELECT 1 FROM vault WHERE turning = 1)
    AND NOT EXISTS (SELECT 1 FROM erasures e JOIN buyers b ON b.id = e.buyer OR b.same_as = e.buyer
        JOIN orders o ON o.buyer = b.id WHERE o.id = OLD.order_id)
BEGIN
    SELECT RAISE(ABORT, 'a receipt, an invoice or a credit note is never changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER bills_no_delete BEFORE DELETE ON bills
BEGIN
    SELECT RAISE(ABORT, 'a receipt, an invoice or a credit note is never deleted');
END;
-- +goose StatementEnd
