-- +goose Up
-- Certificates of prints: what was signed stands in the code, and what goes with it in the facts. A number has one that was not ended, at most.
CREATE TABLE certificates (
    id      INTEGER PRIMARY KEY,
    edition INTEGER NOT NULL REFERENCES editions (id),
    kind    TEXT NOT NULL CHECK (kind IN ('N', 'AP', 'PP', 'HC', 'BAT')),
    number  INTEGER NOT NULL CHECK (number > 0),
    code    TEXT NOT NULL CHECK (code <> ''),
    facts   TEXT NOT NULL,
    key     TEXT NOT NULL CHECK (key <> ''),
    place   TEXT NOT NULL,
    before  INTEGER NOT NULL CHECK (before >= 0),
    day     TEXT NOT NULL,
    at      INTEGER NOT NULL,
    who     TEXT NOT NULL,
    FOREIGN KEY (edition, kind, number) REFERENCES impressions (edition, kind, number)
) STRICT;
CREATE INDEX certificates_number ON certificates (edition, kind, number);

-- That a certificate was revoked, or that another one took its place.
CREATE TABLE certificate_ends (
    id          INTEGER PRIMARY KEY,
    certificate INTEGER NOT NULL UNIQUE REFERENCES certificates (id),
    followed_by INTEGER NOT NULL CHECK (followed_by = 0 OR followed_by > certificate),
    reason      TEXT NOT NULL CHECK (reason <> ''),
    day         TEXT NOT NULL,
    at          INTEGER NOT NULL,
    who         TEXT NOT NULL
) STRICT;

-- What owners told of a print that left the house. Who it was stands in a row of its own, which can be forgotten: here is a commitment to it.
CREATE TABLE transfers (
    id          INTEGER PRIMARY KEY,
    edition     INTEGER NOT NULL REFERENCES editions (id),
    kind        TEXT NOT NULL CHECK (kind IN ('N', 'AP', 'PP', 'HC', 'BAT')),
    number      INTEGER NOT NULL CHECK (number > 0),
    certificate INTEGER NOT NULL REFERENCES certificates (id),
    told        TEXT NOT NULL CHECK (told IN ('transfer', 'resale', 'theft', 'loss', 'found')),
    kept        TEXT NOT NULL CHECK (kept <> ''),
    day         TEXT NOT NULL,
    at          INTEGER NOT NULL,
    who         TEXT NOT NULL
) STRICT;
CREATE INDEX transfers_number ON transfers (edition, kind, number);
CREATE TABLE transfer_names (
    transfer INTEGER PRIMARY KEY REFERENCES transfers (id),
    words    TEXT NOT NULL
) STRICT;

INSERT INTO counters (name, value) VALUES ('certificates', 0), ('certificate_ends', 0), ('transfers', 0);

-- +goose StatementBegin
CREATE TRIGGER certificates_no_update BEFORE UPDATE ON certificates
BEGIN
    SELECT RAISE(ABORT, 'a certificate is never changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER certificates_no_delete BEFORE DELETE ON certificates
BEGIN
    SELECT RAISE(ABORT, 'a certificate is never deleted');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER certificates_no_replace BEFORE INSERT ON certificates
WHEN EXISTS (SELECT 1 FROM certificates WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'a certificate is never replaced by another row');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER certificate_ends_no_update BEFORE UPDATE ON certificate_ends
BEGIN
    SELECT RAISE(ABORT, 'the end of a certificate is never changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER certificate_ends_no_delete BEFORE DELETE ON certificate_ends
BEGIN
    SELECT RAISE(ABORT, 'the end of a certificate is never deleted');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER certificate_ends_no_replace BEFORE INSERT ON certificate_ends
WHEN EXISTS (SELECT 1 FROM certificate_ends WHERE id = NEW.id OR certificate = NEW.certificate)
BEGIN
    SELECT RAISE(ABORT, 'the end of a certificate is never replaced');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER transfers_no_update BEFORE UPDATE ON transfers
BEGIN
    SELECT RAISE(ABORT, 'what owners told is never changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER transfers_no_delete BEFORE DELETE ON transfers
BEGIN
    SELECT RAISE(ABORT, 'what owners told is never deleted');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER transfers_no_replace BEFORE INSERT ON transfers
WHEN EXISTS (SELECT 1 FROM transfers WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'what owners told is never replaced');
END;
-- +goose StatementEnd
