-- +goose Up
-- Certificates of prints: what was signed stands in the code, and what goes with it in the facts. A number has one that was not ended, at most.
CREATE TABLE certificates (
    id      BIGINT PRIMARY KEY,
    edition BIGINT NOT NULL REFERENCES editions (id),
    kind    TEXT COLLATE "C" NOT NULL CHECK (kind IN ('N', 'AP', 'PP', 'HC', 'BAT')),
    number  BIGINT NOT NULL CHECK (number > 0),
    code    TEXT COLLATE "C" NOT NULL CHECK (code <> ''),
    facts   TEXT COLLATE "C" NOT NULL,
    key     TEXT COLLATE "C" NOT NULL CHECK (key <> ''),
    place   TEXT COLLATE "C" NOT NULL,
    before  BIGINT NOT NULL CHECK (before >= 0),
    day     TEXT COLLATE "C" NOT NULL,
    at      BIGINT NOT NULL,
    who     TEXT COLLATE "C" NOT NULL,
    FOREIGN KEY (edition, kind, number) REFERENCES impressions (edition, kind, number)
);
CREATE INDEX certificates_number ON certificates (edition, kind, number);

-- That a certificate was revoked, or that another one took its place.
CREATE TABLE certificate_ends (
    id          BIGINT PRIMARY KEY,
    certificate BIGINT NOT NULL UNIQUE REFERENCES certificates (id),
    followed_by BIGINT NOT NULL CHECK (followed_by = 0 OR followed_by > certificate),
    reason      TEXT COLLATE "C" NOT NULL CHECK (reason <> ''),
    day         TEXT COLLATE "C" NOT NULL,
    at          BIGINT NOT NULL,
    who         TEXT COLLATE "C" NOT NULL
);

-- What owners told of a print that left the house. Who it was stands in a row of its own, which can be forgotten: here is a commitment to it.
CREATE TABLE transfers (
    id          BIGINT PRIMARY KEY,
    edition     BIGINT NOT NULL REFERENCES editions (id),
    kind        TEXT COLLATE "C" NOT NULL CHECK (kind IN ('N', 'AP', 'PP', 'HC', 'BAT')),
    number      BIGINT NOT NULL CHECK (number > 0),
    certificate BIGINT NOT NULL REFERENCES certificates (id),
    told        TEXT COLLATE "C" NOT NULL CHECK (told IN ('transfer', 'resale', 'theft', 'loss', 'found')),
    kept        TEXT COLLATE "C" NOT NULL CHECK (kept <> ''),
    day         TEXT COLLATE "C" NOT NULL,
    at          BIGINT NOT NULL,
    who         TEXT COLLATE "C" NOT NULL
);
CREATE INDEX transfers_number ON transfers (edition, kind, number);
CREATE TABLE transfer_names (
    transfer BIGINT PRIMARY KEY REFERENCES transfers (id),
    words    TEXT COLLATE "C" NOT NULL
);

INSERT INTO counters (name, value) VALUES ('certificates', 0), ('certificate_ends', 0), ('transfers', 0);

CREATE TRIGGER certificates_no_update BEFORE UPDATE ON certificates FOR EACH ROW EXECUTE FUNCTION refuse('a certificate is never changed');
CREATE TRIGGER certificates_no_delete BEFORE DELETE ON certificates FOR EACH ROW EXECUTE FUNCTION refuse('a certificate is never deleted');
CREATE TRIGGER certificates_no_truncate BEFORE TRUNCATE ON certificates EXECUTE FUNCTION refuse('a certificate is never deleted');
CREATE TRIGGER certificate_ends_no_update BEFORE UPDATE ON certificate_ends FOR EACH ROW EXECUTE FUNCTION refuse('the end of a certificate is never changed');
CREATE TRIGGER certificate_ends_no_delete BEFORE DELETE ON certificate_ends FOR EACH ROW EXECUTE FUNCTION refuse('the end of a certificate is never deleted');
CREATE TRIGGER certificate_ends_no_truncate BEFORE TRUNCATE ON certificate_ends EXECUTE FUNCTION refuse('the end of a certificate is never deleted');
CREATE TRIGGER transfers_no_update BEFORE UPDATE ON transfers FOR EACH ROW EXECUTE FUNCTION refuse('what owners told is never changed');
CREATE TRIGGER transfers_no_delete BEFORE DELETE ON transfers FOR EACH ROW EXECUTE FUNCTION refuse('what owners told is never deleted');
CREATE TRIGGER transfers_no_truncate BEFORE TRUNCATE ON transfers EXECUTE FUNCTION refuse('what owners told is never deleted');
