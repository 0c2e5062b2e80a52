-- +goose Up
-- A buyer who was taken as the same person as another points at that one; she keeps her row, by which she is known again.
-- apart = 1: she is never compared with anybody.
ALTER TABLE buyers ADD COLUMN same_as BIGINT REFERENCES buyers (id) DEFERRABLE INITIALLY DEFERRED;
ALTER TABLE buyers ADD COLUMN apart BIGINT NOT NULL DEFAULT 0 CHECK (apart IN (0, 1));
CREATE INDEX buyers_same_as ON buyers (same_as) WHERE same_as IS NOT NULL;

-- Who the buyer is in the words of the order itself.
ALTER TABLE orders ADD COLUMN said_name TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE orders ADD COLUMN said_email TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE orders ADD COLUMN said_phone TEXT COLLATE "C" NOT NULL DEFAULT '';
UPDATE orders SET said_name = b.name, said_email = b.email, said_phone = b.phone FROM buyers b WHERE b.id = orders.buyer;

-- Pairs of buyers of whom she said that they are not the same person.
CREATE TABLE told_apart (
    a BIGINT NOT NULL REFERENCES buyers (id),
    b BIGINT NOT NULL REFERENCES buyers (id),
    PRIMARY KEY (a, b),
    CHECK (a < b)
);
CREATE INDEX told_apart_b ON told_apart (b, a);

-- Name and e-mail address of every buyer as buyers are compared. It holds nothing that is not elsewhere.
CREATE TABLE person_words (
    id    BIGINT NOT NULL PRIMARY KEY,
    name  TEXT COLLATE "C" NOT NULL,
    email TEXT COLLATE "C" NOT NULL
);
CREATE INDEX person_words_name ON person_words (name, id);
CREATE INDEX person_words_email ON person_words (email, id) WHERE email <> '';

-- What becomes of an order of the feed whose buyer may be in the book.
ALTER TABLE feeds ADD COLUMN buyers TEXT COLLATE "C" NOT NULL DEFAULT 'take' CHECK (buyers IN ('take', 'propose', 'new'));
