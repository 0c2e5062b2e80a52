-- +goose Up
CREATE TABLE buyers (
    id    INTEGER PRIMARY KEY,
    name  TEXT NOT NULL,
    email TEXT NOT NULL,
    phone TEXT NOT NULL,
    note  TEXT NOT NULL
) STRICT;

CREATE TABLE orders (
    id               INTEGER PRIMARY KEY,
    mark             TEXT NOT NULL UNIQUE,
    outlet           INTEGER NOT NULL REFERENCES outlets (id),
    ref              TEXT NOT NULL,
    buyer            INTEGER NOT NULL REFERENCES buyers (id),
    placed           TEXT NOT NULL,
    promised         TEXT NOT NULL,
    arrive_by        TEXT NOT NULL,
    ship_name        TEXT NOT NULL,
    ship_line1       TEXT NOT NULL,
    ship_line2       TEXT NOT NULL,
    ship_city        TEXT NOT NULL,
    ship_region      TEXT NOT NULL,
    ship_postcode    TEXT NOT NULL,
    ship_country     TEXT NOT NULL,
    postage          INTEGER NOT NULL,
    postage_currency TEXT NOT NULL,
    tax              INTEGER NOT NULL,
    tax_currency     TEXT NOT NULL,
    tax_by_outlet    INTEGER NOT NULL CHECK (tax_by_outlet IN (0, 1)),
    fee              INTEGER NOT NULL,
    fee_currency     TEXT NOT NULL,
    note             TEXT NOT NULL,
    gift_message     TEXT NOT NULL,
    state            TEXT NOT NULL CHECK (state IN ('open', 'closed', 'cancelled', 'returned')),
    overridden       INTEGER NOT NULL CHECK (overridden IN (0, 1)),
    override_reason  TEXT NOT NULL,
    override_at      INTEGER NOT NULL,
    override_who     TEXT NOT NULL,
    closed_on        TEXT NOT NULL
) STRICT;
CREATE UNIQUE INDEX orders_ref ON orders (outlet, ref) WHERE ref <> '';
CREATE INDEX orders_open ON orders (promised, id) WHERE state = 'open';
CREATE INDEX orders_state ON orders (state, id);
CREATE INDEX orders_outlet ON orders (outlet, id);
CREATE INDEX orders_buyer ON orders (buyer, id);

CREATE TABLE hand_overs (
    id   INTEGER PRIMARY KEY,
    day  TEXT NOT NULL,
    note TEXT NOT NULL
) STRICT;

CREATE TABLE parcels (
    id                 INTEGER PRIMARY KEY,
    order_id           INTEGER NOT NULL REFERENCES orders (id),
    lines              TEXT NOT NULL,
    state              TEXT NOT NULL CHECK (state IN ('packed', 'labelled', 'handed-over')),
    plan               TEXT NOT NULL,
    warnings           TEXT NOT NULL,
    service            TEXT NOT NULL,
    estimated          INTEGER NOT NULL,
    estimated_currency TEXT NOT NULL,
    paid               INTEGER NOT NULL,
    paid_currency      TEXT NOT NULL,
    tracking           TEXT NOT NULL,
    packed_on          TEXT NOT NULL,
    labelled_on        TEXT NOT NULL,
    handed_over_on     TEXT NOT NULL,
    hand_over          INTEGER REFERENCES hand_overs (id)
) STRICT;
CREATE INDEX parcels_order ON parcels (order_id, id);
CREATE INDEX parcels_here ON parcels (id) WHERE state <> 'handed-over';
CREATE INDEX parcels_tracking ON parcels (tracking) WHERE tracking <> '';
CREATE INDEX parcels_hand_over ON parcels (hand_over);

CREATE TABLE lines (
    id             INTEGER PRIMARY KEY,
    order_id       INTEGER NOT NULL REFERENCES orders (id),
    edition        INTEGER NOT NULL REFERENCES editions (id),
    kind           TEXT NOT NULL,
    number         INTEGER NOT NULL,
    price          INTEGER NOT NULL,
    price_currency TEXT NOT NULL,
    dropped        INTEGER NOT NULL CHECK (dropped IN (0, 1)),
    signed         INTEGER NOT NULL CHECK (signed IN (0, 1)),
    sent           INTEGER NOT NULL CHECK (sent IN (0, 1)),
    signed_on      TEXT NOT NULL,
    parcel         INTEGER REFERENCES parcels (id)
) STRICT;
CREATE INDEX lines_order ON lines (order_id, id);
CREATE INDEX lines_edition ON lines (edition, kind, number);
CREATE INDEX lines_parcel ON lines (parcel);

CREATE TABLE payments (
    id       INTEGER PRIMARY KEY,
    order_id INTEGER NOT NULL REFERENCES orders (id),
    kind     TEXT NOT NULL CHECK (kind IN ('deposit', 'balance', 'refund')),
    amount   INTEGER NOT NULL,
    currency TEXT NOT NULL,
    day      TEXT NOT NULL,
    note     TEXT NOT NULL,
    reversed INTEGER NOT NULL CHECK (reversed IN (0, 1))
) STRICT;
CREATE INDEX payments_order ON payments (order_id, id);

-- +goose StatementBegin
CREATE TRIGGER payments_keep BEFORE UPDATE ON payments
WHEN NEW.id <> OLD.id OR NEW.order_id <> OLD.order_id OR NEW.kind <> OLD.kind OR NEW.amount <> OLD.amount
    OR NEW.currency <> OLD.currency OR NEW.day <> OLD.day OR NEW.note <> OLD.note OR NEW.reversed < OLD.reversed
BEGIN
    SELECT RAISE(ABORT, 'a payment may only be reversed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER payments_no_delete BEFORE DELETE ON payments
BEGIN
    SELECT RAISE(ABORT, 'a payment is never deleted');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER payments_no_replace BEFORE INSERT ON payments
WHEN EXISTS (SELECT 1 FROM payments WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'a payment is never replaced');
END;
-- +goose StatementEnd
