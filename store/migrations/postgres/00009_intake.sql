-- +goose Up
-- Files that wait to be brought in, with what she said of them so far. Their bytes stand in parts, in base64 (RFC 4648).
CREATE TABLE arrivals (
    id      BIGINT PRIMARY KEY,
    name    TEXT COLLATE "C" NOT NULL,
    hash    TEXT COLLATE "C" NOT NULL,
    size    BIGINT NOT NULL,
    source  TEXT COLLATE "C" NOT NULL CHECK (source IN ('desk', 'folder')),
    mapping TEXT COLLATE "C" NOT NULL,
    answers TEXT COLLATE "C" NOT NULL,
    note    TEXT COLLATE "C" NOT NULL,
    at      BIGINT NOT NULL,
    until   BIGINT NOT NULL,
    who     TEXT COLLATE "C" NOT NULL
);

CREATE TABLE arrival_parts (
    arrival BIGINT NOT NULL REFERENCES arrivals (id),
    part    BIGINT NOT NULL,
    body    TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (arrival, part)
);

CREATE TABLE mappings (
    name TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    body TEXT COLLATE "C" NOT NULL
);

-- Files that were brought in; back_at 0 = it still stands.
CREATE TABLE intakes (
    id       BIGINT PRIMARY KEY,
    name     TEXT COLLATE "C" NOT NULL,
    hash     TEXT COLLATE "C" NOT NULL,
    mapping  TEXT COLLATE "C" NOT NULL,
    made     TEXT COLLATE "C" NOT NULL,
    day      TEXT COLLATE "C" NOT NULL,
    at       BIGINT NOT NULL,
    who      TEXT COLLATE "C" NOT NULL,
    back_day TEXT COLLATE "C" NOT NULL,
    back_at  BIGINT NOT NULL,
    back_who TEXT COLLATE "C" NOT NULL,
    back_why TEXT COLLATE "C" NOT NULL
);
CREATE INDEX intakes_hash ON intakes (hash);

-- The rows that orders were made of, word for word. A row stands for one order, until its file is taken back.
CREATE TABLE origins (
    order_id BIGINT NOT NULL REFERENCES orders (id),
    place    BIGINT NOT NULL,
    intake   BIGINT NOT NULL REFERENCES intakes (id),
    sheet    TEXT COLLATE "C" NOT NULL,
    sheet_row BIGINT NOT NULL,
    fill     TEXT COLLATE "C" NOT NULL,
    cells    TEXT COLLATE "C" NOT NULL,
    hash     TEXT COLLATE "C" NOT NULL,
    gone     BIGINT NOT NULL CHECK (gone IN (0, 1)),
    PRIMARY KEY (order_id, place)
);
CREATE UNIQUE INDEX origins_hash ON origins (hash) WHERE gone = 0;
CREATE INDEX origins_intake ON origins (intake, order_id);

INSERT INTO counters (name, value) VALUES ('arrivals', 0), ('intakes', 0);

CREATE TRIGGER intakes_keep BEFORE UPDATE ON intakes FOR EACH ROW
WHEN (NEW.id <> OLD.id OR NEW.name <> OLD.name OR NEW.hash <> OLD.hash OR NEW.mapping <> OLD.mapping OR NEW.made <> OLD.made
    OR NEW.day <> OLD.day OR NEW.at <> OLD.at OR NEW.who <> OLD.who OR OLD.back_at <> 0)
EXECUTE FUNCTION refuse('what was brought in may only be taken back, once');
CREATE TRIGGER intakes_no_delete BEFORE DELETE ON intakes FOR EACH ROW EXECUTE FUNCTION refuse('what was brought in is never forgotten');
CREATE TRIGGER intakes_no_truncate BEFORE TRUNCATE ON intakes EXECUTE FUNCTION refuse('what was brought in is never forgotten');
CREATE TRIGGER origins_keep BEFORE UPDATE ON origins FOR EACH ROW
WHEN (NEW.order_id <> OLD.order_id OR NEW.place <> OLD.place OR NEW.intake <> OLD.intake OR NEW.sheet <> OLD.sheet OR NEW.sheet_row <> OLD.sheet_row
    OR NEW.fill <> OLD.fill OR NEW.cells <> OLD.cells OR NEW.hash <> OLD.hash OR NEW.gone < OLD.gone)
EXECUTE FUNCTION refuse('the row that an order was made of is kept as it was');
CREATE TRIGGER origins_no_delete BEFORE DELETE ON origins FOR EACH ROW EXECUTE FUNCTION refuse('the row that an order was made of is kept');
CREATE TRIGGER origins_no_truncate BEFORE TRUNCATE ON origins EXECUTE FUNCTION refuse('the row that an order was made of is kept');
