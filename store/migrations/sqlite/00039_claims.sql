-- +goose Up
-- Claims on operators for parcels that were damaged, lost, or opened with a part missing; a parcel has one, but for those that were noted wrongly.
CREATE TABLE claims (
    id               INTEGER PRIMARY KEY,
    parcel           INTEGER NOT NULL REFERENCES parcels (id),
    order_id         INTEGER NOT NULL REFERENCES orders (id),
    kind             TEXT NOT NULL CHECK (kind IN ('damaged', 'lost', 'missing')),
    lines            TEXT NOT NULL,
    losses           TEXT NOT NULL,
    told             TEXT NOT NULL,
    state            TEXT NOT NULL CHECK (state IN ('told', 'filed', 'granted', 'refused', 'paid', 'closed', 'void')),
    filed            TEXT NOT NULL,
    reference        TEXT NOT NULL,
    claimed          INTEGER NOT NULL CHECK (claimed >= 0),
    claimed_currency TEXT NOT NULL,
    above            TEXT NOT NULL,
    answered         TEXT NOT NULL,
    granted          INTEGER NOT NULL CHECK (granted >= 0 AND granted <= claimed),
    granted_currency TEXT NOT NULL,
    answer           TEXT NOT NULL,
    paid_on          TEXT NOT NULL,
    paid             INTEGER NOT NULL CHECK (paid >= 0 AND paid <= granted),
    paid_currency    TEXT NOT NULL,
    ended            TEXT NOT NULL,
    made             TEXT NOT NULL CHECK (made IN ('', 'replaced', 'paid-back', 'kept', 'arrived')),
    made_on          TEXT NOT NULL,
    instead          TEXT NOT NULL,
    note             TEXT NOT NULL,
    turn             INTEGER NOT NULL CHECK (turn >= 0),
    at               INTEGER NOT NULL,
    who              TEXT NOT NULL
) STRICT;

-- Photos of damage, as JPEG in base64 apart from what is known of them.
CREATE TABLE claim_photos (
    id     INTEGER PRIMARY KEY,
    claim  INTEGER NOT NULL REFERENCES claims (id),
    alt    TEXT NOT NULL,
    digest TEXT NOT NULL,
    width  INTEGER NOT NULL CHECK (width > 0),
    height INTEGER NOT NULL CHECK (height > 0),
    at     INTEGER NOT NULL,
    who    TEXT NOT NULL
) STRICT;
CREATE TABLE claim_photo_bodies (
    id    INTEGER PRIMARY KEY REFERENCES claim_photos (id),
    body  TEXT NOT NULL
) STRICT;
CREATE UNIQUE INDEX claims_parcel ON claims (parcel) WHERE state <> 'void';
CREATE INDEX claims_order ON claims (order_id);
CREATE INDEX claim_photos_claim ON claim_photos (claim, id);

INSERT INTO counters (name, value) VALUES ('claims', 0), ('claim_photos', 0);

-- +goose StatementBegin
CREATE TRIGGER claims_keep BEFORE UPDATE ON claims
WHEN NEW.id <> OLD.id OR NEW.parcel <> OLD.parcel OR NEW.order_id <> OLD.order_id OR NEW.kind <> OLD.kind OR NEW.lines <> OLD.lines OR NEW.told <> OLD.told
    OR NEW.at <> OLD.at OR NEW.who <> OLD.who OR OLD.state = 'void'
BEGIN
    SELECT RAISE(ABORT, 'what was told of a claim is never changed, and one that is void stays so');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER claims_no_delete BEFORE DELETE ON claims
BEGIN
    SELECT RAISE(ABORT, 'a claim is never forgotten');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER claims_no_replace BEFORE INSERT ON claims
WHEN EXISTS (SELECT 1 FROM claims WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'a claim is never replaced');
END;
-- +goose StatementEnd
