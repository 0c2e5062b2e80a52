-- +goose Up
-- Receipts, invoices and credit notes. Each kind is one series of numbers without gaps, and none is ever changed: a credit note corrects.
CREATE TABLE bills (
    id             BIGINT PRIMARY KEY,
    kind           TEXT COLLATE "C" NOT NULL CHECK (kind IN ('receipt', 'invoice', 'credit')),
    number         BIGINT NOT NULL CHECK (number > 0),
    day            TEXT COLLATE "C" NOT NULL,
    order_id       BIGINT NOT NULL REFERENCES orders (id),
    corrects       BIGINT REFERENCES bills (id),
    net            BIGINT NOT NULL CHECK (net >= 0),
    net_currency   TEXT COLLATE "C" NOT NULL,
    tax            BIGINT NOT NULL CHECK (tax >= 0),
    tax_currency   TEXT COLLATE "C" NOT NULL,
    total          BIGINT NOT NULL CHECK (total > 0),
    total_currency TEXT COLLATE "C" NOT NULL,
    to_name        TEXT COLLATE "C" NOT NULL,
    to_lines       TEXT COLLATE "C" NOT NULL,
    reason         TEXT COLLATE "C" NOT NULL,
    body           TEXT COLLATE "C" NOT NULL,
    at             BIGINT NOT NULL,
    who            TEXT COLLATE "C" NOT NULL,
    UNIQUE (kind, number),
    CHECK (net + tax = total),
    CHECK (net_currency = total_currency AND tax_currency = total_currency),
    CHECK ((kind = 'credit') = (corrects IS NOT NULL))
);
CREATE INDEX bills_order ON bills (order_id, id);
CREATE INDEX bills_corrects ON bills (corrects, id) WHERE corrects IS NOT NULL;

INSERT INTO counters (name, value) VALUES ('bills', 0);

-- +goose StatementBegin
CREATE FUNCTION bills_no_gap() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.number <> COALESCE((SELECT MAX(number) + 1 FROM bills WHERE kind = NEW.kind), NEW.number) THEN
        RAISE EXCEPTION 'a series of receipts, invoices or credit notes has no gap' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER bills_no_gap BEFORE INSERT ON bills FOR EACH ROW EXECUTE FUNCTION bills_no_gap();
-- Whom a paper is for is blanked when its buyer is erased; the reason of a credit note, where it names somebody who is.
-- +goose StatementBegin
CREATE FUNCTION bills_keep() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.id <> OLD.id OR NEW.kind <> OLD.kind OR NEW.number <> OLD.number OR NEW.day <> OLD.day OR NEW.order_id <> OLD.order_id
        OR NEW.corrects IS DISTINCT FROM OLD.corrects OR NEW.net <> OLD.net OR NEW.net_currency <> OLD.net_currency OR NEW.tax <> OLD.tax
        OR NEW.tax_currency <> OLD.tax_currency OR NEW.total <> OLD.total OR NEW.total_currency <> OLD.total_currency
        OR NEW.body <> OLD.body OR NEW.at <> OLD.at OR NEW.who <> OLD.who
        OR NEW.reason <> OLD.reason AND NEW.reason NOT LIKE '%(erased)%'
        OR (NEW.to_name <> OLD.to_name OR NEW.to_lines <> OLD.to_lines)
        AND NOT EXISTS (SELECT 1 FROM vault WHERE turning = 1)
        AND NOT EXISTS (SELECT 1 FROM erasures e JOIN buyers b ON b.id = e.buyer OR b.same_as = e.buyer
            JOIN orders o ON o.buyer = b.id WHERE o.id = OLD.order_id) THEN
        RAISE EXCEPTION 'a receipt, an invoice or a credit note is never changed' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER bills_keep BEFORE UPDATE ON bills FOR EACH ROW EXECUTE FUNCTION bills_keep();
CREATE TRIGGER bills_no_delete BEFORE DELETE ON bills FOR EACH ROW EXECUTE FUNCTION refuse('a receipt, an invoice or a credit note is never deleted');
CREATE TRIGGER bills_no_truncate BEFORE TRUNCATE ON bills EXECUTE FUNCTION refuse('a receipt, an invoice or a credit note is never deleted');
