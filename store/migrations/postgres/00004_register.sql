-- +goose Up
-- How every number stands: what follows from its entries in the register. Made with its edition.
CREATE TABLE impressions (
    edition   BIGINT NOT NULL REFERENCES editions (id),
    kind      TEXT COLLATE "C" NOT NULL CHECK (kind IN ('N', 'AP', 'PP', 'HC', 'BAT')),
    number    BIGINT NOT NULL CHECK (number >= 1),
    state     TEXT COLLATE "C" NOT NULL DEFAULT 'free' CHECK (state IN ('free', 'promised', 'signed', 'sent', 'returned', 'spoilt', 'kept', 'withdrawn')),
    line      BIGINT REFERENCES lines (id),
    signed    BIGINT NOT NULL DEFAULT 0 CHECK (signed IN (0, 1)),
    struck    BIGINT NOT NULL DEFAULT 0 CHECK (struck IN (0, 1)),
    turn      BIGINT NOT NULL DEFAULT 0,
    available BIGINT NOT NULL DEFAULT 1,
    day       TEXT COLLATE "C" NOT NULL DEFAULT '',
    signed_on TEXT COLLATE "C" NOT NULL DEFAULT '',
    sent_mark TEXT COLLATE "C" NOT NULL DEFAULT '',
    PRIMARY KEY (edition, kind, number),
    CHECK (available = CASE WHEN line IS NULL AND state IN ('free', 'signed') THEN 1 ELSE 0 END)
);
CREATE INDEX impressions_available ON impressions (edition, kind, number) WHERE available = 1;
CREATE UNIQUE INDEX impressions_line ON impressions (line) WHERE line IS NOT NULL;

CREATE TABLE register (
    seq        BIGINT PRIMARY KEY CHECK (seq >= 1),
    edition    BIGINT NOT NULL,
    kind       TEXT COLLATE "C" NOT NULL,
    number     BIGINT NOT NULL,
    turn       BIGINT NOT NULL CHECK (turn >= 1),
    step       TEXT COLLATE "C" NOT NULL,
    state      TEXT COLLATE "C" NOT NULL,
    line       BIGINT NOT NULL,
    signed     BIGINT NOT NULL,
    struck     BIGINT NOT NULL,
    order_mark TEXT COLLATE "C" NOT NULL,
    day        TEXT COLLATE "C" NOT NULL,
    at         BIGINT NOT NULL,
    who        TEXT COLLATE "C" NOT NULL,
    note       TEXT COLLATE "C" NOT NULL,
    undoes     BIGINT NOT NULL,
    UNIQUE (edition, kind, number, turn),
    FOREIGN KEY (edition, kind, number) REFERENCES impressions (edition, kind, number)
);

-- How many impressions of an edition are in each state, and how many numbered ones a line holds.
CREATE TABLE tallies (
    edition   BIGINT NOT NULL PRIMARY KEY REFERENCES editions (id),
    free      BIGINT NOT NULL CHECK (free >= 0),
    promised  BIGINT NOT NULL CHECK (promised >= 0),
    signed    BIGINT NOT NULL CHECK (signed >= 0),
    sent      BIGINT NOT NULL CHECK (sent >= 0),
    returned  BIGINT NOT NULL CHECK (returned >= 0),
    spoilt    BIGINT NOT NULL CHECK (spoilt >= 0),
    kept      BIGINT NOT NULL CHECK (kept >= 0),
    withdrawn BIGINT NOT NULL CHECK (withdrawn >= 0),
    held      BIGINT NOT NULL CHECK (held >= 0)
);

-- +goose StatementBegin
CREATE FUNCTION impressions_within_limit() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.number > coalesce((SELECT CASE NEW.kind WHEN 'N' THEN declared_limit WHEN 'AP' THEN ap WHEN 'PP' THEN pp
            WHEN 'HC' THEN hc WHEN 'BAT' THEN bat END FROM editions WHERE id = NEW.edition), 0) THEN
        RAISE EXCEPTION 'the number is beyond the limit of its edition' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER impressions_within_limit BEFORE INSERT ON impressions FOR EACH ROW EXECUTE FUNCTION impressions_within_limit();
-- +goose StatementBegin
CREATE FUNCTION impressions_keep() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.edition <> OLD.edition OR NEW.kind <> OLD.kind OR NEW.number <> OLD.number
        OR NEW.turn <> OLD.turn + 1
        OR NOT EXISTS (SELECT 1 FROM register WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number
            AND turn = NEW.turn AND state = NEW.state AND line = coalesce(NEW.line, 0) AND signed = NEW.signed AND struck = NEW.struck) THEN
        RAISE EXCEPTION 'a number stands as its latest entry in the register says' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER impressions_keep BEFORE UPDATE ON impressions FOR EACH ROW EXECUTE FUNCTION impressions_keep();
CREATE TRIGGER impressions_no_delete BEFORE DELETE ON impressions FOR EACH ROW EXECUTE FUNCTION refuse('a number of an edition is never deleted');
CREATE TRIGGER impressions_no_truncate BEFORE TRUNCATE ON impressions EXECUTE FUNCTION refuse('a number of an edition is never deleted');

-- +goose StatementBegin
CREATE FUNCTION register_in_turn() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.seq <> (SELECT coalesce(max(seq), 0) + 1 FROM register)
        OR NEW.turn <> (SELECT coalesce(max(turn), 0) + 1 FROM register
            WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number) THEN
        RAISE EXCEPTION 'the register only grows, entry by entry and turn by turn' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER register_in_turn BEFORE INSERT ON register FOR EACH ROW EXECUTE FUNCTION register_in_turn();
CREATE TRIGGER register_no_update BEFORE UPDATE ON register FOR EACH ROW EXECUTE FUNCTION refuse('an entry of the register is never changed');
CREATE TRIGGER register_no_delete BEFORE DELETE ON register FOR EACH ROW EXECUTE FUNCTION refuse('an entry of the register is never deleted');
CREATE TRIGGER register_no_truncate BEFORE TRUNCATE ON register EXECUTE FUNCTION refuse('an entry of the register is never deleted');
