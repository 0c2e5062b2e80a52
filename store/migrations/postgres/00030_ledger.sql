-- +goose Up
-- Why a stock changed: its cause, the order line, parcel or run that it belongs to (0 = none), and of what came in the cost in all.
ALTER TABLE moves ADD COLUMN cause TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE moves ADD COLUMN line BIGINT NOT NULL DEFAULT 0;
ALTER TABLE moves ADD COLUMN parcel BIGINT NOT NULL DEFAULT 0;
ALTER TABLE moves ADD COLUMN run BIGINT NOT NULL DEFAULT 0;
ALTER TABLE moves ADD COLUMN cost BIGINT NOT NULL DEFAULT 0;
ALTER TABLE moves ADD COLUMN cost_currency TEXT COLLATE "C" NOT NULL DEFAULT '';

CREATE TABLE entries (
    id         BIGINT PRIMARY KEY,
    day        TEXT COLLATE "C" NOT NULL CHECK (day <> ''),
    true_day   TEXT COLLATE "C" NOT NULL,
    subject    TEXT COLLATE "C" NOT NULL CHECK (subject <> ''),
    subject_id BIGINT NOT NULL,
    part       TEXT COLLATE "C" NOT NULL,
    text       TEXT COLLATE "C" NOT NULL,
    at         BIGINT NOT NULL,
    who        TEXT COLLATE "C" NOT NULL
);
CREATE INDEX entries_subject ON entries (subject, subject_id);
CREATE INDEX entries_day ON entries (day);

-- The lines of journal entries. They are added before their entry, which is refused when they do not balance; afterwards none is added.
CREATE TABLE entry_lines (
    entry    BIGINT NOT NULL REFERENCES entries (id) DEFERRABLE INITIALLY DEFERRED,
    place    BIGINT NOT NULL,
    account  TEXT COLLATE "C" NOT NULL CHECK (account <> ''),
    amount   BIGINT NOT NULL CHECK (amount <> 0),
    currency TEXT COLLATE "C" NOT NULL CHECK (currency <> ''),
    order_id BIGINT NOT NULL,
    line     BIGINT NOT NULL,
    edition  BIGINT NOT NULL,
    outlet   BIGINT NOT NULL,
    run      BIGINT NOT NULL,
    PRIMARY KEY (entry, place)
);
CREATE INDEX entry_lines_order ON entry_lines (order_id) WHERE order_id <> 0;

-- The sums of the lines, by month and what they refer to: the program keeps them along.
CREATE TABLE entry_sums (
    month    TEXT COLLATE "C" NOT NULL,
    account  TEXT COLLATE "C" NOT NULL,
    currency TEXT COLLATE "C" NOT NULL,
    outlet   BIGINT NOT NULL,
    edition  BIGINT NOT NULL,
    amount   BIGINT NOT NULL,
    PRIMARY KEY (month, account, currency, outlet, edition)
);

-- Periods that were closed, each up to a day.
CREATE TABLE closed_periods (
    id      BIGINT PRIMARY KEY,
    until   TEXT COLLATE "C" NOT NULL CHECK (until <> ''),
    at      BIGINT NOT NULL,
    who     TEXT COLLATE "C" NOT NULL
);

-- What she calls accounts.
CREATE TABLE account_names (
    account TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    name    TEXT COLLATE "C" NOT NULL CHECK (name <> '')
);

-- Lots of a stock with their cost, first in, first out, and what moves took of them; less than nothing was given back.
CREATE TABLE layers (
    id             BIGINT PRIMARY KEY,
    kind           TEXT COLLATE "C" NOT NULL CHECK (kind IN ('sheets', 'packaging')),
    item           BIGINT NOT NULL,
    run            BIGINT NOT NULL,
    move           BIGINT NOT NULL UNIQUE REFERENCES moves (id),
    pieces         BIGINT NOT NULL CHECK (pieces > 0),
    cost           BIGINT NOT NULL,
    cost_currency  TEXT COLLATE "C" NOT NULL,
    remaining      BIGINT NOT NULL CHECK (remaining BETWEEN 0 AND pieces),
    remaining_cost BIGINT NOT NULL
);
CREATE INDEX layers_of ON layers (kind, item, id);

CREATE TABLE layer_uses (
    move     BIGINT NOT NULL REFERENCES moves (id),
    place    BIGINT NOT NULL,
    layer    BIGINT NOT NULL REFERENCES layers (id),
    pieces   BIGINT NOT NULL CHECK (pieces <> 0),
    cost     BIGINT NOT NULL,
    currency TEXT COLLATE "C" NOT NULL,
    cause    TEXT COLLATE "C" NOT NULL,
    line     BIGINT NOT NULL,
    parcel   BIGINT NOT NULL,
    PRIMARY KEY (move, place)
);
CREATE INDEX layer_uses_layer ON layer_uses (layer);
CREATE INDEX layer_uses_line ON layer_uses (line) WHERE line <> 0;
CREATE INDEX layer_uses_parcel ON layer_uses (parcel) WHERE parcel <> 0;

INSERT INTO counters (name, value) VALUES ('entries', 0), ('closed_periods', 0), ('layers', 0);

CREATE TRIGGER entries_no_update BEFORE UPDATE ON entries FOR EACH ROW EXECUTE FUNCTION refuse('a journal entry is never changed');
CREATE TRIGGER entries_no_delete BEFORE DELETE ON entries FOR EACH ROW EXECUTE FUNCTION refuse('a journal entry is never deleted');
CREATE TRIGGER entries_no_truncate BEFORE TRUNCATE ON entries EXECUTE FUNCTION refuse('a journal entry is never deleted');
CREATE TRIGGER entry_lines_no_update BEFORE UPDATE ON entry_lines FOR EACH ROW EXECUTE FUNCTION refuse('a line of the journal is never changed');
CREATE TRIGGER entry_lines_no_delete BEFORE DELETE ON entry_lines FOR EACH ROW EXECUTE FUNCTION refuse('a line of the journal is never deleted');
CREATE TRIGGER entry_lines_no_truncate BEFORE TRUNCATE ON entry_lines EXECUTE FUNCTION refuse('a line of the journal is never deleted');
CREATE TRIGGER closed_periods_no_update BEFORE UPDATE ON closed_periods FOR EACH ROW EXECUTE FUNCTION refuse('the closing of a period is never changed');
CREATE TRIGGER closed_periods_no_delete BEFORE DELETE ON closed_periods FOR EACH ROW EXECUTE FUNCTION refuse('the closing of a period is never deleted');
CREATE TRIGGER closed_periods_no_truncate BEFORE TRUNCATE ON closed_periods EXECUTE FUNCTION refuse('the closing of a period is never deleted');
CREATE TRIGGER layer_uses_no_update BEFORE UPDATE ON layer_uses FOR EACH ROW EXECUTE FUNCTION refuse('what a layer gave is never changed');
CREATE TRIGGER layer_uses_no_delete BEFORE DELETE ON layer_uses FOR EACH ROW EXECUTE FUNCTION refuse('what a layer gave is never deleted');
CREATE TRIGGER layer_uses_no_truncate BEFORE TRUNCATE ON layer_uses EXECUTE FUNCTION refuse('what a layer gave is never deleted');
CREATE TRIGGER layers_no_delete BEFORE DELETE ON layers FOR EACH ROW EXECUTE FUNCTION refuse('a layer is never deleted');
CREATE TRIGGER layers_no_truncate BEFORE TRUNCATE ON layers EXECUTE FUNCTION refuse('a layer is never deleted');
-- +goose StatementBegin
CREATE FUNCTION entries_balance() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF (SELECT count(*) FROM entry_lines WHERE entry = NEW.id) < 2
    OR EXISTS (SELECT 1 FROM entry_lines WHERE entry = NEW.id GROUP BY currency HAVING sum(amount) <> 0) THEN
        RAISE EXCEPTION 'a journal entry must balance' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER entries_balance BEFORE INSERT ON entries FOR EACH ROW EXECUTE FUNCTION entries_balance();
-- +goose StatementBegin
CREATE FUNCTION entries_open() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (SELECT 1 FROM closed_periods WHERE until >= NEW.day) THEN
        RAISE EXCEPTION 'no entry goes into a closed period' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER entries_open BEFORE INSERT ON entries FOR EACH ROW EXECUTE FUNCTION entries_open();
-- +goose StatementBegin
CREATE FUNCTION entry_lines_late() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (SELECT 1 FROM entries WHERE id = NEW.entry) THEN
        RAISE EXCEPTION 'no line is added to an entry that stands' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER entry_lines_late BEFORE INSERT ON entry_lines FOR EACH ROW EXECUTE FUNCTION entry_lines_late();
-- +goose StatementBegin
CREATE FUNCTION closed_periods_grow() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF EXISTS (SELECT 1 FROM closed_periods WHERE until >= NEW.until) THEN
        RAISE EXCEPTION 'a closed period is closed' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER closed_periods_grow BEFORE INSERT ON closed_periods FOR EACH ROW EXECUTE FUNCTION closed_periods_grow();
-- +goose StatementBegin
CREATE FUNCTION layers_keep() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.id <> OLD.id OR NEW.kind <> OLD.kind OR NEW.item <> OLD.item OR NEW.run <> OLD.run OR NEW.move <> OLD.move
        OR NEW.pieces <> OLD.pieces OR NEW.cost <> OLD.cost OR NEW.cost_currency <> OLD.cost_currency THEN
        RAISE EXCEPTION 'of a layer only what is left of it changes' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER layers_keep BEFORE UPDATE ON layers FOR EACH ROW EXECUTE FUNCTION layers_keep();

-- A move keeps what was added to it, too.
-- +goose StatementBegin
CREATE OR REPLACE FUNCTION moves_keep() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NOT (NEW.id = OLD.id AND NEW.kind = OLD.kind AND NEW.item = OLD.item AND NEW.delta = OLD.delta AND NEW.day = OLD.day AND NEW.at = OLD.at
    AND NEW.who = OLD.who AND NEW.cause = OLD.cause AND NEW.line = OLD.line AND NEW.parcel = OLD.parcel AND NEW.run = OLD.run AND NEW.cost = OLD.cost
    AND NEW.cost_currency = OLD.cost_currency AND NEW.reason = '(erased)' AND EXISTS (SELECT 1 FROM blanked WHERE part = 'moves' AND row_id = OLD.id)) THEN
        RAISE EXCEPTION 'a stock move is never changed' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
