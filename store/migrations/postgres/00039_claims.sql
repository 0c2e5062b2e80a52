-- +goose Up
-- Claims on operators for parcels that were damaged, lost, or opened with a part missing; a parcel has one, but for those that were noted wrongly.
CREATE TABLE claims (
    id               BIGINT PRIMARY KEY,
    parcel           BIGINT NOT NULL REFERENCES parcels (id),
    order_id         BIGINT NOT NULL REFERENCES orders (id),
    kind             TEXT COLLATE "C" NOT NULL CHECK (kind IN ('damaged', 'lost', 'missing')),
    lines            TEXT COLLATE "C" NOT NULL,
    losses           TEXT COLLATE "C" NOT NULL,
    told             TEXT COLLATE "C" NOT NULL,
    state            TEXT COLLATE "C" NOT NULL CHECK (state IN ('told', 'filed', 'granted', 'refused', 'paid', 'closed', 'void')),
    filed            TEXT COLLATE "C" NOT NULL,
    reference        TEXT COLLATE "C" NOT NULL,
    claimed          BIGINT NOT NULL CHECK (claimed >= 0),
    claimed_currency TEXT COLLATE "C" NOT NULL,
    above            TEXT COLLATE "C" NOT NULL,
    answered         TEXT COLLATE "C" NOT NULL,
    granted          BIGINT NOT NULL CHECK (granted >= 0 AND granted <= claimed),
    granted_currency TEXT COLLATE "C" NOT NULL,
    answer           TEXT COLLATE "C" NOT NULL,
    paid_on          TEXT COLLATE "C" NOT NULL,
    paid             BIGINT NOT NULL CHECK (paid >= 0 AND paid <= granted),
    paid_currency    TEXT COLLATE "C" NOT NULL,
    ended            TEXT COLLATE "C" NOT NULL,
    made             TEXT COLLATE "C" NOT NULL CHECK (made IN ('', 'replaced', 'paid-back', 'kept', 'arrived')),
    made_on          TEXT COLLATE "C" NOT NULL,
    instead          TEXT COLLATE "C" NOT NULL,
    note             TEXT COLLATE "C" NOT NULL,
    turn             BIGINT NOT NULL CHECK (turn >= 0),
    at               BIGINT NOT NULL,
    who              TEXT COLLATE "C" NOT NULL
);

-- Photos of damage, as JPEG in base64 apart from what is known of them.
CREATE TABLE claim_photos (
    id     BIGINT PRIMARY KEY,
    claim  BIGINT NOT NULL REFERENCES claims (id),
    alt    TEXT COLLATE "C" NOT NULL,
    digest TEXT COLLATE "C" NOT NULL,
    width  BIGINT NOT NULL CHECK (width > 0),
    height BIGINT NOT NULL CHECK (height > 0),
    at     BIGINT NOT NULL,
    who    TEXT COLLATE "C" NOT NULL
);
CREATE TABLE claim_photo_bodies (
    id    BIGINT PRIMARY KEY REFERENCES claim_photos (id),
    body  TEXT COLLATE "C" NOT NULL
);
CREATE UNIQUE INDEX claims_parcel ON claims (parcel) WHERE state <> 'void';
CREATE INDEX claims_order ON claims (order_id);
CREATE INDEX claim_photos_claim ON claim_photos (claim, id);

INSERT INTO counters (name, value) VALUES ('claims', 0), ('claim_photos', 0);

CREATE TRIGGER claims_keep BEFORE UPDATE ON claims FOR EACH ROW
WHEN (NEW.id <> OLD.id OR NEW.parcel <> OLD.parcel OR NEW.order_id <> OLD.order_id OR NEW.kind <> OLD.kind OR NEW.lines <> OLD.lines OR NEW.told <> OLD.told
    OR NEW.at <> OLD.at OR NEW.who <> OLD.who OR OLD.state = 'void')
EXECUTE FUNCTION refuse('what was told of a claim is never changed, and one that is void stays so');
CREATE TRIGGER claims_no_delete BEFORE DELETE ON claims FOR EACH ROW EXECUTE FUNCTION refuse('a claim is never forgotten');
CREATE TRIGGER claims_no_truncate BEFORE TRUNCATE ON claims EXECUTE FUNCTION refuse('a claim is never forgotten');
