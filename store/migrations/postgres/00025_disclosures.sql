-- +goose Up
-- What was said of an edition beside its declaration, fact by fact. Rows are only ever added: the latest of a fact holds.
CREATE TABLE sayings (
    id      BIGINT PRIMARY KEY,
    edition BIGINT NOT NULL REFERENCES editions (id),
    fact    TEXT COLLATE "C" NOT NULL CHECK (fact <> ''),
    said    TEXT COLLATE "C" NOT NULL CHECK (said IN ('', 'stated', 'none', 'unknown')),
    words   TEXT COLLATE "C" NOT NULL,
    day     TEXT COLLATE "C" NOT NULL,
    at      BIGINT NOT NULL,
    who     TEXT COLLATE "C" NOT NULL,
    CHECK ((said = 'stated') = (words <> ''))
);
CREATE INDEX sayings_edition ON sayings (edition);

-- That an edition was closed (nothing more of it is made or sold), or cancelled (plate or files can print no more): two facts, each once.
CREATE TABLE closings (
    id        BIGINT PRIMARY KEY,
    edition   BIGINT NOT NULL REFERENCES editions (id),
    fact      TEXT COLLATE "C" NOT NULL CHECK (fact IN ('closed', 'cancelled')),
    files     TEXT COLLATE "C" NOT NULL,
    note      TEXT COLLATE "C" NOT NULL,
    withdrawn BIGINT NOT NULL CHECK (withdrawn >= 0),
    day       TEXT COLLATE "C" NOT NULL,
    at        BIGINT NOT NULL,
    who       TEXT COLLATE "C" NOT NULL,
    UNIQUE (edition, fact)
);

INSERT INTO counters (name, value) VALUES ('sayings', 0), ('closings', 0);

CREATE TRIGGER sayings_no_update BEFORE UPDATE ON sayings FOR EACH ROW EXECUTE FUNCTION refuse('what was said of an edition is never changed');
CREATE TRIGGER sayings_no_delete BEFORE DELETE ON sayings FOR EACH ROW EXECUTE FUNCTION refuse('what was said of an edition is never deleted');
CREATE TRIGGER sayings_no_truncate BEFORE TRUNCATE ON sayings EXECUTE FUNCTION refuse('what was said of an edition is never deleted');
CREATE TRIGGER closings_no_update BEFORE UPDATE ON closings FOR EACH ROW EXECUTE FUNCTION refuse('the closing of an edition is never changed');
CREATE TRIGGER closings_no_delete BEFORE DELETE ON closings FOR EACH ROW EXECUTE FUNCTION refuse('the closing of an edition is never deleted');
CREATE TRIGGER closings_no_truncate BEFORE TRUNCATE ON closings EXECUTE FUNCTION refuse('the closing of an edition is never deleted');
