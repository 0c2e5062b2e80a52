-- +goose Up
-- The register as a log: a leaf for every entry and every declaration, hashed into a tree. A lost key ends a log; the next one carries its root.
CREATE TABLE logs (
    id     INTEGER PRIMARY KEY,
    origin TEXT NOT NULL UNIQUE,
    first  INTEGER NOT NULL UNIQUE CHECK (first >= 1),
    at     INTEGER NOT NULL
) STRICT;

CREATE TABLE leaves (
    id     INTEGER PRIMARY KEY CHECK (id >= 1),
    kind   TEXT NOT NULL,
    of_id  INTEGER NOT NULL,
    body   TEXT NOT NULL,
    salts  TEXT NOT NULL,
    hashes TEXT NOT NULL,
    root   TEXT NOT NULL
) STRICT;
CREATE INDEX leaves_of ON leaves (of_id, kind);

-- What was signed of the log.
CREATE TABLE checkpoints (
    id     INTEGER PRIMARY KEY,
    log    INTEGER NOT NULL REFERENCES logs (id),
    size   INTEGER NOT NULL CHECK (size >= 0),
    at     INTEGER NOT NULL,
    body   TEXT NOT NULL
) STRICT;

-- How many editions were declared before there was a log: they are taken up when the studio is opened.
INSERT INTO counters (name, value) SELECT 'logs', 0 UNION ALL SELECT 'checkpoints', 0 UNION ALL SELECT 'to_take_up', count(*) FROM editions;

-- +goose StatementBegin
CREATE TRIGGER leaves_in_turn BEFORE INSERT ON leaves
WHEN NEW.id <> (SELECT coalesce(max(id), 0) + 1 FROM leaves)
BEGIN
    SELECT RAISE(ABORT, 'the log only grows, leaf by leaf');
END;
-- +goose StatementEnd
-- The salt of a note goes with the note, once an erasure said so.
-- +goose StatementBegin
CREATE TRIGGER leaves_no_update BEFORE UPDATE ON leaves
WHEN NOT (NEW.id = OLD.id AND NEW.kind = OLD.kind AND NEW.of_id = OLD.of_id AND NEW.body = OLD.body AND NEW.hashes = OLD.hashes AND NEW.root = OLD.root
    AND OLD.kind = 'entry' AND NEW.salts = substr(OLD.salts, 1, 32) AND EXISTS (SELECT 1 FROM blanked WHERE part = 'register' AND row_id = OLD.of_id))
BEGIN
    SELECT RAISE(ABORT, 'a leaf of the log is never changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER leaves_no_delete BEFORE DELETE ON leaves
BEGIN
    SELECT RAISE(ABORT, 'a leaf of the log is never deleted');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER logs_no_replace BEFORE INSERT ON logs
WHEN EXISTS (SELECT 1 FROM logs WHERE id = NEW.id OR origin = NEW.origin OR first = NEW.first)
BEGIN
    SELECT RAISE(ABORT, 'a log is never replaced');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER logs_no_update BEFORE UPDATE ON logs
BEGIN
    SELECT RAISE(ABORT, 'a log is never changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER logs_no_delete BEFORE DELETE ON logs
BEGIN
    SELECT RAISE(ABORT, 'a log is never deleted');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER checkpoints_no_replace BEFORE INSERT ON checkpoints
WHEN EXISTS (SELECT 1 FROM checkpoints WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'a checkpoint is never replaced');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER checkpoints_no_update BEFORE UPDATE ON checkpoints
BEGIN
    SELECT RAISE(ABORT, 'a checkpoint is never changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER checkpoints_no_delete BEFORE DELETE ON checkpoints
BEGIN
    SELECT RAISE(ABORT, 'a checkpoint is never deleted');
END;
-- +goose StatementEnd
