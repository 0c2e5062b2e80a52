-- +goose Up
-- Why a stock changed: its cause, the order line, parcel or run that it belongs to (0 = none), and of what came in the cost in all.
ALTER TABLE moves ADD COLUMN cause TEXT NOT NULL DEFAULT '';
ALTER TABLE moves ADD COLUMN line INTEGER NOT NULL DEFAULT 0;
ALTER TABLE moves ADD COLUMN parcel INTEGER NOT NULL DEFAULT 0;
ALTER TABLE moves ADD COLUMN run INTEGER NOT NULL DEFAULT 0;
ALTER TABLE moves ADD COLUMN cost INTEGER NOT NULL DEFAULT 0;
ALTER TABLE moves ADD COLUMN cost_currency TEXT NOT NULL DEFAULT '';

-- The lines of journal entries. They are added before their entry, which is refused when they do not balance; afterwards none is added.
CREATE TABLE entry_lines (
    entry    INTEGER NOT NULL REFERENCES entries (id) DEFERRABLE INITIALLY DEFERRED,
    place    INTEGER NOT NULL,
    account  TEXT NOT NULL CHECK (account <> ''),
    amount   INTEGER NOT NULL CHECK (amount <> 0),
    currency TEXT NOT NULL CHECK (currency <> ''),
    order_id INTEGER NOT NULL,
    line     INTEGER NOT NULL,
    edition  INTEGER NOT NULL,
    outlet   INTEGER NOT NULL,
    run      INTEGER NOT NULL,
    PRIMARY KEY (entry, place)
) STRICT, WITHOUT ROWID;
CREATE INDEX entry_lines_order ON entry_lines (order_id) WHERE order_id <> 0;

CREATE TABLE entries (
    id         INTEGER PRIMARY KEY,
    day        TEXT NOT NULL CHECK (day <> ''),
    true_day   TEXT NOT NULL,
    subject    TEXT NOT NULL CHECK (subject <> ''),
    subject_id INTEGER NOT NULL,
    part       TEXT NOT NULL,
    text       TEXT NOT NULL,
    at         INTEGER NOT NULL,
    who        TEXT NOT NULL
) STRICT;
CREATE INDEX entries_subject ON entries (subject, subject_id);
CREATE INDEX entries_day ON entries (day);

-- The sums of the lines, by month and what they refer to: the program keeps them along.
CREATE TABLE entry_sums (
    month    TEXT NOT NULL,
    account  TEXT NOT NULL,
    currency TEXT NOT NULL,
    outlet   INTEGER NOT NULL,
    edition  INTEGER NOT NULL,
    amount   INTEGER NOT NULL,
    PRIMARY KEY (month, account, currency, outlet, edition)
) STRICT, WITHOUT ROWID;

-- Periods that were closed, each up to a day.
CREATE TABLE closed_periods (
    id      INTEGER PRIMARY KEY,
    until   TEXT NOT NULL CHECK (until <> ''),
    at      INTEGER NOT NULL,
    who     TEXT NOT NULL
) STRICT;

-- What she calls accounts.
CREATE TABLE account_names (
    account TEXT NOT NULL PRIMARY KEY,
    name    TEXT NOT NULL CHECK (name <> '')
) STRICT, WITHOUT ROWID;

-- Lots of a stock with their cost, first in, first out, and what moves took of them; less than nothing was given back.
CREATE TABLE layers (
    id             INTEGER PRIMARY KEY,
    kind           TEXT NOT NULL CHECK (kind IN ('sheets', 'packaging')),
    item           INTEGER NOT NULL,
    run            INTEGER NOT NULL,
    move           INTEGER NOT NULL UNIQUE REFERENCES moves (id),
    pieces         INTEGER NOT NULL CHECK (pieces > 0),
    cost           INTEGER NOT NULL,
    cost_currency  TEXT NOT NULL,
    remaining      INTEGER NOT NULL CHECK (remaining BETWEEN 0 AND pieces),
    remaining_cost INTEGER NOT NULL
) STRICT;
CREATE INDEX layers_of ON layers (kind, item, id);

CREATE TABLE layer_uses (
    move     INTEGER NOT NULL REFERENCES moves (id),
    place    INTEGER NOT NULL,
    layer    INTEGER NOT NULL REFERENCES layers (id),
    pieces   INTEGER NOT NULL CHECK (pieces <> 0),
    cost     INTEGER NOT NULL,
    currency TEXT NOT NULL,
    cause    TEXT NOT NULL,
    line     INTEGER NOT NULL,
    parcel   INTEGER NOT NULL,
    PRIMARY KEY (move, place)
) STRICT, WITHOUT ROWID;
CREATE INDEX layer_uses_layer ON layer_uses (layer);
CREATE INDEX layer_uses_line ON layer_uses (line) WHERE line <> 0;
CREATE INDEX layer_uses_parcel ON layer_uses (parcel) WHERE parcel <> 0;

INSERT INTO counters (name, value) VALUES ('entries', 0), ('closed_periods', 0), ('layers', 0);

-- +goose StatementBegin
CREATE TRIGGER entries_no_update BEFORE UPDATE ON entries
BEGIN
    SELECT RAISE(ABORT, 'a journal entry is never changed');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER entries_no_delete BEFORE DELETE ON entries
BEGIN
    SELECT RAISE(ABORT, 'a journal entry is never deleted');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER entries_no_replace BEFORE INSERT ON entries
WHEN EXISTS (SELECT 1 FROM entries WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'a journal entry is never replaced');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER entry_lines_no_update BEFORE UPDATE ON entry_lines
BEGIN
    SELECT RAISE(ABORT, 'a line of the journal is never changed');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER entry_lines_no_delete BEFORE DELETE ON entry_lines
BEGIN
    SELECT RAISE(ABORT, 'a line of the journal is never deleted');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER entry_lines_no_replace BEFORE INSERT ON entry_lines
WHEN EXISTS (SELECT 1 FROM entry_lines WHERE entry = NEW.entry AND place = NEW.place)
BEGIN
    SELECT RAISE(ABORT, 'a line of the journal is never replaced');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER closed_periods_no_update BEFORE UPDATE ON closed_periods
BEGIN
    SELECT RAISE(ABORT, 'the closing of a period is never changed');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER closed_periods_no_delete BEFORE DELETE ON closed_periods
BEGIN
    SELECT RAISE(ABORT, 'the closing of a period is never deleted');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER closed_periods_no_replace BEFORE INSERT ON closed_periods
WHEN EXISTS (SELECT 1 FROM closed_periods WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'the closing of a period is never replaced');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER layer_uses_no_update BEFORE UPDATE ON layer_uses
BEGIN
    SELECT RAISE(ABORT, 'what a layer gave is never changed');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER layer_uses_no_delete BEFORE DELETE ON layer_uses
BEGIN
    SELECT RAISE(ABORT, 'what a layer gave is never deleted');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER layer_uses_no_replace BEFORE INSERT ON layer_uses
WHEN EXISTS (SELECT 1 FROM layer_uses WHERE move = NEW.move AND place = NEW.place)
BEGIN
    SELECT RAISE(ABORT, 'what a layer gave is never replaced');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER entries_balance BEFORE INSERT ON entries
WHEN (SELECT count(*) FROM entry_lines WHERE entry = NEW.id) < 2
    OR EXISTS (SELECT 1 FROM entry_lines WHERE entry = NEW.id GROUP BY currency HAVING sum(amount) <> 0)
BEGIN
    SELECT RAISE(ABORT, 'a journal entry must balance');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER entries_open BEFORE INSERT ON entries
WHEN EXISTS (SELECT 1 FROM closed_periods WHERE until >= NEW.day)
BEGIN
    SELECT RAISE(ABORT, 'no entry goes into a closed period');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER entry_lines_late BEFORE INSERT ON entry_lines
WHEN EXISTS (SELECT 1 FROM entries WHERE id = NEW.entry)
BEGIN
    SELECT RAISE(ABORT, 'no line is added to an entry that stands');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER closed_periods_grow BEFORE INSERT ON closed_periods
WHEN EXISTS (SELECT 1 FROM closed_periods WHERE until >= NEW.until)
BEGIN
    SELECT RAISE(ABORT, 'a closed period is closed');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER layers_keep BEFORE UPDATE ON layers
WHEN NEW.id <> OLD.id OR NEW.kind <> OLD.kind OR NEW.item <> OLD.item OR NEW.run <> OLD.run OR NEW.move <> OLD.move
    OR NEW.pieces <> OLD.pieces OR NEW.cost <> OLD.cost OR NEW.cost_currency <> OLD.cost_currency
BEGIN
    SELECT RAISE(ABORT, 'of a layer only what is left of it changes');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER layers_no_delete BEFORE DELETE ON layers
BEGIN
    SELECT RAISE(ABORT, 'a layer is never deleted');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER layers_no_replace BEFORE INSERT ON layers
WHEN EXISTS (SELECT 1 FROM layers WHERE id = NEW.id OR move = NEW.move)
BEGIN
    SELECT RAISE(ABORT, 'a layer is never replaced');
END;
-- +goose StatementEnd

-- A move keeps what was added to it, too.
DROP TRIGGER moves_no_update;
-- +goose StatementBegin
CREATE TRIGGER moves_no_update BEFORE UPDATE ON moves
WHEN NOT (NEW.id = OLD.id AND NEW.kind = OLD.kind AND NEW.item = OLD.item AND NEW.delta = OLD.delta AND NEW.day = OLD.day AND NEW.at = OLD.at
    AND NEW.who = OLD.who AND NEW.cause = OLD.cause AND NEW.line = OLD.line AND NEW.parcel = OLD.parcel AND NEW.run = OLD.run AND NEW.cost = OLD.cost
    AND NEW.cost_currency = OLD.cost_currency AND NEW.reason = '(erased)' AND EXISTS (SELECT 1 FROM blanked WHERE part = 'moves' AND row_id = OLD.id))
BEGIN
    SELECT RAISE(ABORT, 'a stock move is never changed');
END;
-- +goose StatementEnd
