-- +goose Up
-- Numbers may be at a gallery, and sold by it.
ALTER TABLE impressions DROP CONSTRAINT impressions_state_check;
ALTER TABLE impressions ADD CONSTRAINT impressions_state_check
    CHECK (state IN ('free', 'promised', 'signed', 'sent', 'consigned', 'sold-there', 'returned', 'spoilt', 'kept', 'withdrawn'));
ALTER TABLE tallies ADD COLUMN consigned BIGINT NOT NULL DEFAULT 0 CHECK (consigned >= 0);
ALTER TABLE tallies ADD COLUMN sold BIGINT NOT NULL DEFAULT 0 CHECK (sold >= 0);

-- Galleries, and what they have of hers: prints on consignment, and money.
CREATE TABLE galleries (
    id        BIGINT PRIMARY KEY,
    name      TEXT COLLATE "C" NOT NULL UNIQUE,
    address   TEXT COLLATE "C" NOT NULL,
    email     TEXT COLLATE "C" NOT NULL,
    outlet    BIGINT NOT NULL REFERENCES outlets (id),
    share     BIGINT NOT NULL CHECK (share BETWEEN 0 AND 1000),
    wholesale BIGINT NOT NULL CHECK (wholesale BETWEEN 0 AND 1000),
    bears     TEXT COLLATE "C" NOT NULL CHECK (bears IN ('gallery', 'artist')),
    pay_days  BIGINT NOT NULL CHECK (pay_days >= 0),
    note      TEXT COLLATE "C" NOT NULL,
    closed    BIGINT NOT NULL CHECK (closed IN (0, 1))
);

-- One print at a gallery, from when it went there. share and bears are those that were agreed then.
CREATE TABLE consignments (
    id              BIGINT PRIMARY KEY,
    gallery         BIGINT NOT NULL REFERENCES galleries (id),
    edition         BIGINT NOT NULL,
    kind            TEXT COLLATE "C" NOT NULL,
    number          BIGINT NOT NULL,
    turn            BIGINT NOT NULL CHECK (turn >= 1),
    price           BIGINT NOT NULL CHECK (price >= 0),
    price_currency  TEXT COLLATE "C" NOT NULL,
    share           BIGINT NOT NULL CHECK (share BETWEEN 0 AND 1000),
    bears           TEXT COLLATE "C" NOT NULL CHECK (bears IN ('gallery', 'artist')),
    went            TEXT COLLATE "C" NOT NULL,
    due             TEXT COLLATE "C" NOT NULL,
    state           TEXT COLLATE "C" NOT NULL CHECK (state IN ('out', 'sold', 'back', 'lost', 'void')),
    ended           TEXT COLLATE "C" NOT NULL,
    sold            BIGINT NOT NULL CHECK (sold >= 0),
    sold_currency   TEXT COLLATE "C" NOT NULL,
    kept            BIGINT NOT NULL CHECK (kept >= 0),
    kept_currency   TEXT COLLATE "C" NOT NULL,
    why             TEXT COLLATE "C" NOT NULL,
    at              BIGINT NOT NULL,
    who             TEXT COLLATE "C" NOT NULL,
    FOREIGN KEY (edition, kind, number) REFERENCES impressions (edition, kind, number)
);
CREATE INDEX consignments_gallery ON consignments (gallery, state, went);
-- A number is at one gallery at a time.
CREATE UNIQUE INDEX consignments_out ON consignments (edition, kind, number) WHERE state = 'out';

-- What a gallery paid, what it may take off for costs that it bore, and what it cost the artist to send prints there; amounts are more than nothing.
CREATE TABLE gallery_moneys (
    id              BIGINT PRIMARY KEY,
    gallery         BIGINT NOT NULL REFERENCES galleries (id),
    kind            TEXT COLLATE "C" NOT NULL CHECK (kind IN ('paid', 'costs', 'freight')),
    amount          BIGINT NOT NULL CHECK (amount > 0),
    amount_currency TEXT COLLATE "C" NOT NULL,
    day             TEXT COLLATE "C" NOT NULL,
    note            TEXT COLLATE "C" NOT NULL,
    reversed        BIGINT NOT NULL CHECK (reversed IN (0, 1)),
    at              BIGINT NOT NULL,
    who             TEXT COLLATE "C" NOT NULL
);
CREATE INDEX gallery_moneys_gallery ON gallery_moneys (gallery, day, id);

INSERT INTO counters (name, value) VALUES ('galleries', 0), ('consignments', 0), ('gallery_moneys', 0);

CREATE TRIGGER consignments_keep BEFORE UPDATE ON consignments FOR EACH ROW
WHEN (NEW.id <> OLD.id OR NEW.gallery <> OLD.gallery OR NEW.edition <> OLD.edition OR NEW.kind <> OLD.kind OR NEW.number <> OLD.number OR NEW.turn <> OLD.turn
    OR NEW.price <> OLD.price OR NEW.price_currency <> OLD.price_currency OR NEW.share <> OLD.share OR NEW.bears <> OLD.bears OR NEW.went <> OLD.went OR NEW.who <> OLD.who)
EXECUTE FUNCTION refuse('what was agreed of a print at a gallery is never changed');
CREATE TRIGGER gallery_moneys_keep BEFORE UPDATE ON gallery_moneys FOR EACH ROW
WHEN (NEW.id <> OLD.id OR NEW.gallery <> OLD.gallery OR NEW.kind <> OLD.kind OR NEW.amount <> OLD.amount OR NEW.amount_currency <> OLD.amount_currency
    OR NEW.day <> OLD.day OR NEW.reversed < OLD.reversed)
EXECUTE FUNCTION refuse('money of a gallery may only be reversed');
CREATE TRIGGER consignments_no_delete BEFORE DELETE ON consignments FOR EACH ROW EXECUTE FUNCTION refuse('a print that was at a gallery is never forgotten');
CREATE TRIGGER consignments_no_truncate BEFORE TRUNCATE ON consignments EXECUTE FUNCTION refuse('a print that was at a gallery is never forgotten');
CREATE TRIGGER gallery_moneys_no_delete BEFORE DELETE ON gallery_moneys FOR EACH ROW EXECUTE FUNCTION refuse('money of a gallery is never forgotten');
CREATE TRIGGER gallery_moneys_no_truncate BEFORE TRUNCATE ON gallery_moneys EXECUTE FUNCTION refuse('money of a gallery is never forgotten');
