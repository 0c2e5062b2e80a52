-- +goose Up
-- How every number stands: what follows from its entries in the register. Made with its edition.
CREATE TABLE impressions (
    edition   INTEGER NOT NULL REFERENCES editions (id),
    kind      TEXT NOT NULL CHECK (kind IN ('N', 'AP', 'PP', 'HC', 'BAT')),
    number    INTEGER NOT NULL CHECK (number >= 1),
    state     TEXT NOT NULL DEFAULT 'free' CHECK (state IN ('free', 'promised', 'signed', 'sent', 'returned', 'spoilt', 'kept', 'withdrawn')),
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
CREATE INDEX impressions_available ON impressions (edition, kind, number) WHERE available = 1;
CREATE UNIQUE INDEX impressions_line ON impressions (line) WHERE line IS NOT NULL;

CREATE TABLE register (
    seq        INTEGER PRIMARY KEY CHECK (seq >= 1),
    edition    INTEGER NOT NULL,
    kind       TEXT NOT NULL,
    number     INTEGER NOT NULL,
    turn       INTEGER NOT NULL CHECK (turn >= 1),
    step       TEXT NOT NULL,
    state      TEXT NOT NULL,
    line       INTEGER NOT NULL,
    signed     INTEGER NOT NULL,
    struck     INTEGER NOT NULL,
    order_mark TEXT NOT NULL,
    day        TEXT NOT NULL,
    at         INTEGER NOT NULL,
    who        TEXT NOT NULL,
    note       TEXT NOT NULL,
    undoes     INTEGER NOT NULL,
    UNIQUE (edition, kind, number, turn),
    FOREIGN KEY (edition, kind, number) REFERENCES impressions (edition, kind, number)
) STRICT;

-- How many impressions of an edition are in each state, and how many numbered ones a line holds.
CREATE TABLE tallies (
    edition   INTEGER NOT NULL PRIMARY KEY REFERENCES editions (id),
    free      INTEGER NOT NULL CHECK (free >= 0),
    promised  INTEGER NOT NULL CHECK (promised >= 0),
    signed    INTEGER NOT NULL CHECK (signed >= 0),
    sent      INTEGER NOT NULL CHECK (sent >= 0),
    returned  INTEGER NOT NULL CHECK (returned >= 0),
    spoilt    INTEGER NOT NULL CHECK (spoilt >= 0),
    kept      INTEGER NOT NULL CHECK (kept >= 0),
    withdrawn INTEGER NOT NULL CHECK (withdrawn >= 0),
    held      INTEGER NOT NULL CHECK (held >= 0)
) STRICT;

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
    OR NEW.turn <> OLD.turn + 1
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

-- Both inserts that replace and inserts out of turn are refused here.
-- +goose StatementBegin
CREATE TRIGGER register_in_turn BEFORE INSERT ON register
WHEN NEW.seq <> (SELECT coalesce(max(seq), 0) + 1 FROM register)
    OR NEW.turn <> (SELECT coalesce(max(turn), 0) + 1 FROM register
        WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number)
BEGIN
    SELECT RAISE(ABORT, 'the register only grows, entry by entry and turn by turn');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER register_no_update BEFORE UPDATE ON register
BEGIN
    SELECT RAISE(ABORT, 'an entry of the register is never changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER register_no_delete BEFORE DELETE ON register
BEGIN
    SELECT RAISE(ABORT, 'an entry of the register is never deleted');
END;
-- +goose StatementEnd
