-- +goose Up
-- Numbers may be at a gallery, and sold by it: the table of numbers is made anew, for its check. What refers to it is looked at when the
-- transaction ends.
PRAGMA defer_foreign_keys = 1;
CREATE TABLE impressions_kept AS SELECT * FROM impressions;
DROP TABLE impressions;
CREATE TABLE impressions (
    edition   INTEGER NOT NULL REFERENCES editions (id),
    kind      TEXT NOT NULL CHECK (kind IN ('N', 'AP', 'PP', 'HC', 'BAT')),
    number    INTEGER NOT NULL CHECK (number >= 1),
    state     TEXT NOT NULL DEFAULT 'free' CHECK (state IN ('free', 'promised', 'signed', 'sent', 'consigned', 'sold-there', 'returned', 'spoilt', 'kept', 'withdrawn')),
    line      INTEGER REFERENCES lines (id),
    signed    INTEGER NOT NULL DEFAULT 0 CHECK (signed IN (0, 1)),
    struck    INTEGER NOT NULL DEFAULT 0 CHECK (struck IN (0, 1)),
    turn      INTEGER NOT NULL DEFAULT 0,
    available INTEGER NOT NULL DEFAULT 1,
    day       TEXT NOT NULL DEFAULT '',
    signed_on TEXT NOT NULL DEFAULT '',
    sent_mark TEXT NOT NULL DEFAULT '',
    PRIMARY KEY (edition, kind, number),
    CHECK (available = CASE WHEN line IS NULL AND state IN ('free', 'signed') THEN 1 ELSE 0 END)
) STRICT, WITHOUT ROWID;
INSERT INTO impressions (edition, kind, number, state, line, signed, struck, turn, available, day, signed_on, sent_mark)
    SELECT edition, kind, number, state, line, signed, struck, turn, available, day, signed_on, sent_mark FROM impressions_kept;
DROP TABLE impressions_kept;
CREATE INDEX impressions_available ON impressions (edition, kind, number) WHERE available = 1;
CREATE UNIQUE INDEX impressions_line ON impressions (line) WHERE line IS NOT NULL;
-- +goose StatementBegin
CREATE TRIGGER impressions_within_limit BEFORE INSERT ON impressions
WHEN NEW.number > coalesce((SELECT CASE NEW.kind WHEN 'N' THEN declared_limit WHEN 'AP' THEN ap WHEN 'PP' THEN pp
        WHEN 'HC' THEN hc WHEN 'BAT' THEN bat END FROM editions WHERE id = NEW.edition), 0)
    OR EXISTS (SELECT 1 FROM impressions WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number)
BEGIN
    SELECT RAISE(ABORT, 'the number is beyond the limit of its edition, or there already');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER impressions_keep BEFORE UPDATE ON impressions
WHEN NEW.edition <> OLD.edition OR NEW.kind <> OLD.kind OR NEW.number <> OLD.number
    OR NEW.turn <= OLD.turn
    OR NEW.turn <> (SELECT max(turn) FROM register WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number)
    OR NOT EXISTS (SELECT 1 FROM register WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number
        AND turn = NEW.turn AND state = NEW.state AND line = coalesce(NEW.line, 0) AND signed = NEW.signed AND struck = NEW.struck)
BEGIN
    SELECT RAISE(ABORT, 'a number stands as its latest entry in the register says');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER impressions_no_delete BEFORE DELETE ON impressions
BEGIN
    SELECT RAISE(ABORT, 'a number of an edition is never deleted');
END;
-- +goose StatementEnd

ALTER TABLE tallies ADD COLUMN consigned INTEGER NOT NULL DEFAULT 0 CHECK (consigned >= 0);
ALTER TABLE tallies ADD COLUMN sold INTEGER NOT NULL DEFAULT 0 CHECK (sold >= 0);

-- Galleries, and what they have of hers: prints on consignment, and money.
CREATE TABLE galleries (
    id        INTEGER PRIMARY KEY,
    name      TEXT NOT NULL UNIQUE,
    address   TEXT NOT NULL,
    email     TEXT NOT NULL,
    outlet    INTEGER NOT NULL REFERENCES outlets (id),
    share     INTEGER NOT NULL CHECK (share BETWEEN 0 AND 1000),
    wholesale INTEGER NOT NULL CHECK (wholesale BETWEEN 0 AND 1000),
    bears     TEXT NOT NULL CHECK (bears IN ('gallery', 'artist')),
    pay_days  INTEGER NOT NULL CHECK (pay_days >= 0),
    note      TEXT NOT NULL,
    closed    INTEGER NOT NULL CHECK (closed IN (0, 1))
) STRICT;

-- One print at a gallery, from when it went there. share and bears are those that were agreed then.
CREATE TABLE consignments (
    id              INTEGER PRIMARY KEY,
    gallery         INTEGER NOT NULL REFERENCES galleries (id),
    edition         INTEGER NOT NULL,
    kind            TEXT NOT NULL,
    number          INTEGER NOT NULL,
    turn            INTEGER NOT NULL CHECK (turn >= 1),
    price           INTEGER NOT NULL CHECK (price >= 0),
    price_currency  TEXT NOT NULL,
    share           INTEGER NOT NULL CHECK (share BETWEEN 0 AND 1000),
    bears           TEXT NOT NULL CHECK (bears IN ('gallery', 'artist')),
    went            TEXT NOT NULL,
    due             TEXT NOT NULL,
    state           TEXT NOT NULL CHECK (state IN ('out', 'sold', 'back', 'lost', 'void')),
    ended           TEXT NOT NULL,
    sold            INTEGER NOT NULL CHECK (sold >= 0),
    sold_currency   TEXT NOT NULL,
    kept            INTEGER NOT NULL CHECK (kept >= 0),
    kept_currency   TEXT NOT NULL,
    why             TEXT NOT NULL,
    at              INTEGER NOT NULL,
    who             TEXT NOT NULL,
    FOREIGN KEY (edition, kind, number) REFERENCES impressions (edition, kind, number)
) STRICT;
CREATE INDEX consignments_gallery ON consignments (gallery, state, went);
-- A number is at one gallery at a time.
CREATE UNIQUE INDEX consignments_out ON consignments (edition, kind, number) WHERE state = 'out';

-- What a gallery paid, what it may take off for costs that it bore, and what it cost the artist to send prints there; amounts are more than nothing.
CREATE TABLE gallery_moneys (
    id              INTEGER PRIMARY KEY,
    gallery         INTEGER NOT NULL REFERENCES galleries (id),
    kind            TEXT NOT NULL CHECK (kind IN ('paid', 'costs', 'freight')),
    amount          INTEGER NOT NULL CHECK (amount > 0),
    amount_currency TEXT NOT NULL,
    day             TEXT NOT NULL,
    note            TEXT NOT NULL,
    reversed        INTEGER NOT NULL CHECK (reversed IN (0, 1)),
    at              INTEGER NOT NULL,
    who             TEXT NOT NULL
) STRICT;
CREATE INDEX gallery_moneys_gallery ON gallery_moneys (gallery, day, id);

INSERT INTO counters (name, value) VALUES ('galleries', 0), ('consignments', 0), ('gallery_moneys', 0);

-- +goose StatementBegin
CREATE TRIGGER consignments_keep BEFORE UPDATE ON consignments
WHEN NEW.id <> OLD.id OR NEW.gallery <> OLD.gallery OR NEW.edition <> OLD.edition OR NEW.kind <> OLD.kind OR NEW.number <> OLD.number OR NEW.turn <> OLD.turn
    OR NEW.price <> OLD.price OR NEW.price_currency <> OLD.price_currency OR NEW.share <> OLD.share OR NEW.bears <> OLD.bears OR NEW.went <> OLD.went OR NEW.who <> OLD.who
BEGIN
    SELECT RAISE(ABORT, 'what was agreed of a print at a gallery is never changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER gallery_moneys_keep BEFORE UPDATE ON gallery_moneys
WHEN NEW.id <> OLD.id OR NEW.gallery <> OLD.gallery OR NEW.kind <> OLD.kind OR NEW.amount <> OLD.amount OR NEW.amount_currency <> OLD.amount_currency
    OR NEW.day <> OLD.day OR NEW.reversed < OLD.reversed
BEGIN
    SELECT RAISE(ABORT, 'money of a gallery may only be reversed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER consignments_no_delete BEFORE DELETE ON consignments
BEGIN
    SELECT RAISE(ABORT, 'a print that was at a gallery is never forgotten');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER gallery_moneys_no_delete BEFORE DELETE ON gallery_moneys
BEGIN
    SELECT RAISE(ABORT, 'money of a gallery is never forgotten');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER consignments_no_replace BEFORE INSERT ON consignments
WHEN EXISTS (SELECT 1 FROM consignments WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'a print that was at a gallery is never replaced');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER gallery_moneys_no_replace BEFORE INSERT ON gallery_moneys
WHEN EXISTS (SELECT 1 FROM gallery_moneys WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'money of a gallery is never replaced');
END;
-- +goose StatementEnd
