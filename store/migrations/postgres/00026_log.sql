-- +goose Up
-- The register as a log: a leaf for every entry and every declaration, hashed into a tree. A lost key ends a log; the next one carries its root.
CREATE TABLE logs (
    id     BIGINT PRIMARY KEY,
    origin TEXT COLLATE "C" NOT NULL UNIQUE,
    first  BIGINT NOT NULL UNIQUE CHECK (first >= 1),
    at     BIGINT NOT NULL
);

CREATE TABLE leaves (
    id     BIGINT PRIMARY KEY CHECK (id >= 1),
    kind   TEXT COLLATE "C" NOT NULL,
    of_id  BIGINT NOT NULL,
    body   TEXT COLLATE "C" NOT NULL,
    salts  TEXT COLLATE "C" NOT NULL,
    hashes TEXT COLLATE "C" NOT NULL,
    root   TEXT COLLATE "C" NOT NULL
);
CREATE INDEX leaves_of ON leaves (of_id, kind);

-- What was signed of the log.
CREATE TABLE checkpoints (
    id     BIGINT PRIMARY KEY,
    log    BIGINT NOT NULL REFERENCES logs (id),
    size   BIGINT NOT NULL CHECK (size >= 0),
    at     BIGINT NOT NULL,
    body   TEXT COLLATE "C" NOT NULL
);

-- How many editions were declared before there was a log: they are taken up when the studio is opened.
INSERT INTO counters (name, value) SELECT 'logs', 0 UNION ALL SELECT 'checkpoints', 0 UNION ALL SELECT 'to_take_up', count(*) FROM editions;

-- +goose StatementBegin
CREATE FUNCTION leaves_in_turn() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.id <> (SELECT coalesce(max(id), 0) + 1 FROM leaves) THEN
        RAISE EXCEPTION 'the log only grows, leaf by leaf' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER leaves_in_turn BEFORE INSERT ON leaves FOR EACH ROW EXECUTE FUNCTION leaves_in_turn();
-- The salt of a note goes with the note, once an erasure said so.
-- +goose StatementBegin
CREATE FUNCTION leaves_keep() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NOT (NEW.id = OLD.id AND NEW.kind = OLD.kind AND NEW.of_id = OLD.of_id AND NEW.body = OLD.body AND NEW.hashes = OLD.hashes AND NEW.root = OLD.root
        AND OLD.kind = 'entry' AND NEW.salts = substr(OLD.salts, 1, 32) AND EXISTS (SELECT 1 FROM blanked WHERE part = 'register' AND row_id = OLD.of_id)) THEN
        RAISE EXCEPTION 'a leaf of the log is never changed' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER leaves_no_update BEFORE UPDATE ON leaves FOR EACH ROW EXECUTE FUNCTION leaves_keep();
CREATE TRIGGER leaves_no_delete BEFORE DELETE ON leaves FOR EACH ROW EXECUTE FUNCTION refuse('a leaf of the log is never deleted');
CREATE TRIGGER leaves_no_truncate BEFORE TRUNCATE ON leaves EXECUTE FUNCTION refuse('a leaf of the log is never deleted');
CREATE TRIGGER logs_no_update BEFORE UPDATE ON logs FOR EACH ROW EXECUTE FUNCTION refuse('a log is never changed');
CREATE TRIGGER logs_no_delete BEFORE DELETE ON logs FOR EACH ROW EXECUTE FUNCTION refuse('a log is never deleted');
CREATE TRIGGER logs_no_truncate BEFORE TRUNCATE ON logs EXECUTE FUNCTION refuse('a log is never deleted');
CREATE TRIGGER checkpoints_no_update BEFORE UPDATE ON checkpoints FOR EACH ROW EXECUTE FUNCTION refuse('a checkpoint is never changed');
CREATE TRIGGER checkpoints_no_delete BEFORE DELETE ON checkpoints FOR EACH ROW EXECUTE FUNCTION refuse('a checkpoint is never deleted');
CREATE TRIGGER checkpoints_no_truncate BEFORE TRUNCATE ON checkpoints EXECUTE FUNCTION refuse('a checkpoint is never deleted');
