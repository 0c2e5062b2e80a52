-- +goose Up
CREATE TABLE works (
    id    BIGINT PRIMARY KEY,
    title TEXT COLLATE "C" NOT NULL,
    year  BIGINT NOT NULL,
    note  TEXT COLLATE "C" NOT NULL
);

-- Lengths in nanometres, grammage in milligrams a square metre.
CREATE TABLE editions (
    id                  BIGINT PRIMARY KEY,
    work                BIGINT NOT NULL REFERENCES works (id),
    width               BIGINT NOT NULL,
    height              BIGINT NOT NULL,
    paper               TEXT COLLATE "C" NOT NULL,
    grammage            BIGINT NOT NULL,
    caliper             BIGINT NOT NULL,
    grade               TEXT COLLATE "C" NOT NULL,
    technique           TEXT COLLATE "C" NOT NULL,
    declared_limit      BIGINT NOT NULL CHECK (declared_limit >= 0),
    ap                  BIGINT NOT NULL CHECK (ap >= 0),
    pp                  BIGINT NOT NULL CHECK (pp >= 0),
    hc                  BIGINT NOT NULL CHECK (hc >= 0),
    bat                 BIGINT NOT NULL CHECK (bat >= 0),
    tightest_roll       BIGINT NOT NULL,
    price               BIGINT NOT NULL,
    price_currency      TEXT COLLATE "C" NOT NULL,
    price_steps         TEXT COLLATE "C" NOT NULL,
    print_cost          BIGINT NOT NULL,
    print_cost_currency TEXT COLLATE "C" NOT NULL,
    declared            TEXT COLLATE "C" NOT NULL,
    closed              BIGINT NOT NULL CHECK (closed IN (0, 1))
);
CREATE INDEX editions_work ON editions (work);

CREATE TRIGGER editions_keep_limit BEFORE UPDATE ON editions FOR EACH ROW
WHEN (NEW.id <> OLD.id OR NEW.work <> OLD.work OR NEW.declared_limit <> OLD.declared_limit
    OR NEW.ap <> OLD.ap OR NEW.pp <> OLD.pp OR NEW.hc <> OLD.hc OR NEW.bat <> OLD.bat OR NEW.closed < OLD.closed)
EXECUTE FUNCTION refuse('the limit and the proofs of an edition are declared once');
CREATE TRIGGER editions_keep BEFORE DELETE ON editions FOR EACH ROW EXECUTE FUNCTION refuse('an edition is never deleted');
CREATE TRIGGER editions_no_truncate BEFORE TRUNCATE ON editions EXECUTE FUNCTION refuse('an edition is never deleted');
