-- +goose Up
-- Files that wait to be brought in, with what she said of them so far. Their bytes stand in parts, in base64 (RFC 4648).
CREATE TABLE arrivals (
    id      INTEGER PRIMARY KEY,
    name    TEXT NOT NULL,
    hash    TEXT NOT NULL,
    size    INTEGER NOT NULL,
    source  TEXT NOT NULL CHECK (source IN ('desk', 'folder')),
    mapping TEXT NOT NULL,
    answers TEXT NOT NULL,
    note    TEXT NOT NULL,
    at      INTEGER NOT NULL,
    until   INTEGER NOT NULL,
    who     TEXT NOT NULL
) STRICT;

CREATE TABLE arrival_parts (
    arrival INTEGER NOT NULL REFERENCES arrivals (id),
    part    INTEGER NOT NULL,
    body    TEXT NOT NULL,
    PRIMARY KEY (arrival, part)
) STRICT, WITHOUT ROWID;

CREATE TABLE mappings (
    name TEXT NOT NULL PRIMARY KEY,
    body TEXT NOT NULL
) STRICT;

-- Files that were brought in; back_at 0 = it still stands.
CREATE TABLE intakes (
    id       INTEGER PRIMARY KEY,
    name     TEXT NOT NULL,
    hash     TEXT NOT NULL,
    mapping  TEXT NOT NULL,
    made     TEXT NOT NULL,
    day      TEXT NOT NULL,
    at       INTEGER NOT NULL,
    who      TEXT NOT NULL,
    back_day TEXT NOT NULL,
    back_at  INTEGER NOT NULL,
    back_who TEXT NOT NULL,
    back_why TEXT NOT NULL
) STRICT;
CREATE INDEX intakes_hash ON intakes (hash);

-- The rows that orders were made of, word for word. A row stands for one order, until its file is taken back.
CREATE TABLE origins (
    order_id INTEGER NOT NULL REFERENCES orders (id),
    place    INTEGER NOT NULL,
    intake   INTEGER NOT NULL REFERENCES intakes (id),
    sheet    TEXT NOT NULL,
    sheet_row INTEGER NOT NULL,
    fill     TEXT NOT NULL,
    cells    TEXT NOT NULL,
    hash     TEXT NOT NULL,
    gone     INTEGER NOT NULL CHECK (gone IN (0, 1)),
    PRIMARY KEY (order_id, place)
) STRICT, WITHOUT ROWID;
CREATE UNIQUE INDEX origins_hash ON origins (hash) WHERE gone = 0;
CREATE INDEX origins_intake ON origins (intake, order_id);

INSERT INTO counters (name, value) VALUES ('arrivals', 0), ('intakes', 0);

-- +goose StatementBegin
CREATE TRIGGER intakes_keep BEFORE UPDATE ON intakes
WHEN NEW.id <> OLD.id OR NEW.name <> OLD.name OR NEW.hash <> OLD.hash OR NEW.mapping <> OLD.mapping OR NEW.made <> OLD.made
    OR NEW.day <> OLD.day OR NEW.at <> OLD.at OR NEW.who <> OLD.who OR OLD.back_at <> 0
BEGIN
    SELECT RAISE(ABORT, 'what was brought in may only be taken back, once');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER intakes_no_delete BEFORE DELETE ON intakes
BEGIN
    SELECT RAISE(ABORT, 'what was brought in is never forgotten');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER intakes_no_replace BEFORE INSERT ON intakes
WHEN EXISTS (SELECT 1 FROM intakes WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'what was brought in is never replaced');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER origins_keep BEFORE UPDATE ON origins
WHEN NEW.order_id <> OLD.order_id OR NEW.place <> OLD.place OR NEW.intake <> OLD.intake OR NEW.sheet <> OLD.sheet OR NEW.sheet_row <> OLD.sheet_row
    OR NEW.fill <> OLD.fill OR NEW.cells <> OLD.cells OR NEW.hash <> OLD.hash OR NEW.gone < OLD.gone
BEGIN
    SELECT RAISE(ABORT, 'the row that an order was made of is kept as it was');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER origins_no_delete BEFORE DELETE ON origins
BEGIN
    SELECT RAISE(ABORT, 'the row that an order was made of is kept');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER origins_no_replace BEFORE INSERT ON origins
WHEN EXISTS (SELECT 1 FROM origins WHERE order_id = NEW.order_id AND place = NEW.place)
    OR EXISTS (SELECT 1 FROM origins WHERE hash = NEW.hash AND gone = 0 AND NEW.gone = 0)
BEGIN
    SELECT RAISE(ABORT, 'the row that an order was made of is never replaced');
END;
-- +goose StatementEnd
