-- +goose Up
CREATE TABLE buyers (
    id    BIGINT PRIMARY KEY,
    name  TEXT COLLATE "C" NOT NULL,
    email TEXT COLLATE "C" NOT NULL,
    phone TEXT COLLATE "C" NOT NULL,
    note  TEXT COLLATE "C" NOT NULL
);

CREATE TABLE orders (
    id               BIGINT PRIMARY KEY,
    mark             TEXT COLLATE "C" NOT NULL UNIQUE,
    outlet           BIGINT NOT NULL REFERENCES outlets (id),
    ref              TEXT COLLATE "C" NOT NULL,
    buyer            BIGINT NOT NULL REFERENCES buyers (id),
    placed           TEXT COLLATE "C" NOT NULL,
    promised         TEXT COLLATE "C" NOT NULL,
    arrive_by        TEXT COLLATE "C" NOT NULL,
    ship_name        TEXT COLLATE "C" NOT NULL,
    ship_line1       TEXT COLLATE "C" NOT NULL,
    ship_line2       TEXT COLLATE "C" NOT NULL,
    ship_city        TEXT COLLATE "C" NOT NULL,
    ship_region      TEXT COLLATE "C" NOT NULL,
    ship_postcode    TEXT COLLATE "C" NOT NULL,
    ship_country     TEXT COLLATE "C" NOT NULL,
    postage          BIGINT NOT NULL,
    postage_currency TEXT COLLATE "C" NOT NULL,
    tax              BIGINT NOT NULL,
    tax_currency     TEXT COLLATE "C" NOT NULL,
    tax_by_outlet    BIGINT NOT NULL CHECK (tax_by_outlet IN (0, 1)),
    fee              BIGINT NOT NULL,
    fee_currency     TEXT COLLATE "C" NOT NULL,
    note             TEXT COLLATE "C" NOT NULL,
    gift_message     TEXT COLLATE "C" NOT NULL,
    state            TEXT COLLATE "C" NOT NULL CHECK (state IN ('open', 'closed', 'cancelled', 'returned')),
    overridden       BIGINT NOT NULL CHECK (overridden IN (0, 1)),
    override_reason  TEXT COLLATE "C" NOT NULL,
    override_at      BIGINT NOT NULL,
    override_who     TEXT COLLATE "C" NOT NULL,
    closed_on        TEXT COLLATE "C" NOT NULL
);
CREATE UNIQUE INDEX orders_ref ON orders (outlet, ref) WHERE ref <> '';
CREATE INDEX orders_open ON orders (promised, id) WHERE state = 'open';
CREATE INDEX orders_state ON orders (state, id);
CREATE INDEX orders_outlet ON orders (outlet, id);
CREATE INDEX orders_buyer ON orders (buyer, id);

CREATE TABLE hand_overs (
    id   BIGINT PRIMARY KEY,
    day  TEXT COLLATE "C" NOT NULL,
    note TEXT COLLATE "C" NOT NULL
);

CREATE TABLE parcels (
    id                 BIGINT PRIMARY KEY,
    order_id           BIGINT NOT NULL REFERENCES orders (id),
    lines              TEXT COLLATE "C" NOT NULL,
    state              TEXT COLLATE "C" NOT NULL CHECK (state IN ('packed', 'labelled', 'handed-over')),
    plan               TEXT COLLATE "C" NOT NULL,
    warnings           TEXT COLLATE "C" NOT NULL,
    service            TEXT COLLATE "C" NOT NULL,
    estimated          BIGINT NOT NULL,
    estimated_currency TEXT COLLATE "C" NOT NULL,
    paid               BIGINT NOT NULL,
    paid_currency      TEXT COLLATE "C" NOT NULL,
    tracking           TEXT COLLATE "C" NOT NULL,
    packed_on          TEXT COLLATE "C" NOT NULL,
    labelled_on        TEXT COLLATE "C" NOT NULL,
    handed_over_on     TEXT COLLATE "C" NOT NULL,
    hand_over          BIGINT REFERENCES hand_overs (id)
);
CREATE INDEX parcels_order ON parcels (order_id, id);
CREATE INDEX parcels_here ON parcels (id) WHERE state <> 'handed-over';
CREATE INDEX parcels_tracking ON parcels (tracking) WHERE tracking <> '';
CREATE INDEX parcels_hand_over ON parcels (hand_over);

CREATE TABLE lines (
    id             BIGINT PRIMARY KEY,
    order_id       BIGINT NOT NULL REFERENCES orders (id),
    edition        BIGINT NOT NULL REFERENCES editions (id),
    kind           TEXT COLLATE "C" NOT NULL,
    number         BIGINT NOT NULL,
    price          BIGINT NOT NULL,
    price_currency TEXT COLLATE "C" NOT NULL,
    dropped        BIGINT NOT NULL CHECK (dropped IN (0, 1)),
    signed         BIGINT NOT NULL CHECK (signed IN (0, 1)),
    sent           BIGINT NOT NULL CHECK (sent IN (0, 1)),
    signed_on      TEXT COLLATE "C" NOT NULL,
    parcel         BIGINT REFERENCES parcels (id)
);
CREATE INDEX lines_order ON lines (order_id, id);
CREATE INDEX lines_edition ON lines (edition, kind, number);
CREATE INDEX lines_parcel ON lines (parcel);

CREATE TABLE payments (
    id       BIGINT PRIMARY KEY,
    order_id BIGINT NOT NULL REFERENCES orders (id),
    kind     TEXT COLLATE "C" NOT NULL CHECK (kind IN ('deposit', 'balance', 'refund')),
    amount   BIGINT NOT NULL,
    currency TEXT COLLATE "C" NOT NULL,
    day      TEXT COLLATE "C" NOT NULL,
    note     TEXT COLLATE "C" NOT NULL,
    reversed BIGINT NOT NULL CHECK (reversed IN (0, 1))
);
CREATE INDEX payments_order ON payments (order_id, id);

CREATE TRIGGER payments_keep BEFORE UPDATE ON payments FOR EACH ROW
WHEN (NEW.id <> OLD.id OR NEW.order_id <> OLD.order_id OR NEW.kind <> OLD.kind OR NEW.amount <> OLD.amount
    OR NEW.currency <> OLD.currency OR NEW.day <> OLD.day OR NEW.note <> OLD.note OR NEW.reversed < OLD.reversed)
EXECUTE FUNCTION refuse('a payment may only be reversed');
CREATE TRIGGER payments_no_delete BEFORE DELETE ON payments FOR EACH ROW EXECUTE FUNCTION refuse('a payment is never deleted');
CREATE TRIGGER payments_no_truncate BEFORE TRUNCATE ON payments EXECUTE FUNCTION refuse('a payment is never deleted');
