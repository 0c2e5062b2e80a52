-- +goose Up
-- A line of the bank may be an operator's payment of a claim, or cash of a day at a table, too.
-- Cash of a day at a table that was carried to the bank; it may only be reversed.
CREATE TABLE fair_carries (
    id              INTEGER PRIMARY KEY,
    fair_day        INTEGER NOT NULL REFERENCES fair_days (id),
    amount          INTEGER NOT NULL CHECK (amount > 0),
    amount_currency TEXT NOT NULL,
    day             TEXT NOT NULL,
    note            TEXT NOT NULL,
    reversed        INTEGER NOT NULL CHECK (reversed IN (0, 1)),
    at              INTEGER NOT NULL,
    who             TEXT NOT NULL
) STRICT;
CREATE INDEX fair_carries_day ON fair_carries (fair_day, id);
INSERT INTO counters (name, value) VALUES ('fair_carries', 0);
-- +goose StatementBegin
CREATE TRIGGER fair_carries_keep BEFORE UPDATE ON fair_carries
WHEN NEW.id <> OLD.id OR NEW.fair_day <> OLD.fair_day OR NEW.amount <> OLD.amount OR NEW.amount_currency <> OLD.amount_currency
    OR NEW.day <> OLD.day OR NEW.reversed < OLD.reversed
BEGIN
    SELECT RAISE(ABORT, 'cash that was carried may only be reversed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER fair_carries_no_delete BEFORE DELETE ON fair_carries
BEGIN
    SELECT RAISE(ABORT, 'cash that was carried is never forgotten');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER fair_carries_no_replace BEFORE INSERT ON fair_carries
WHEN EXISTS (SELECT 1 FROM fair_carries WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'cash that was carried is never replaced');
END;
-- +goose StatementEnd

-- The table is made anew, for its check.
CREATE TABLE bank_lines_kept AS SELECT * FROM bank_lines;
DROP TABLE bank_lines;
CREATE TABLE bank_lines (
    id              INTEGER PRIMARY KEY,
    account         INTEGER NOT NULL REFERENCES bank_accounts (id),
    file            INTEGER NOT NULL REFERENCES bank_files (id),
    known_by        TEXT NOT NULL,
    ref             TEXT NOT NULL,
    day             TEXT NOT NULL,
    amount          INTEGER NOT NULL,
    amount_currency TEXT NOT NULL,
    name            TEXT NOT NULL,
    note            TEXT NOT NULL,
    state           TEXT NOT NULL CHECK (state IN ('open', 'matched', 'aside')),
    payment         INTEGER UNIQUE REFERENCES payments (id),
    why             TEXT NOT NULL,
    said_at         INTEGER NOT NULL,
    who             TEXT NOT NULL,
    payout          INTEGER UNIQUE REFERENCES payouts (id),
    gallery_money   INTEGER UNIQUE REFERENCES gallery_moneys (id),
    claim           INTEGER UNIQUE REFERENCES claims (id),
    fair_carry      INTEGER UNIQUE REFERENCES fair_carries (id),
    UNIQUE (account, known_by),
    CHECK ((CASE WHEN payment IS NULL THEN 0 ELSE 1 END) + (CASE WHEN payout IS NULL THEN 0 ELSE 1 END)
        + (CASE WHEN gallery_money IS NULL THEN 0 ELSE 1 END) + (CASE WHEN claim IS NULL THEN 0 ELSE 1 END)
        + (CASE WHEN fair_carry IS NULL THEN 0 ELSE 1 END) = CASE state WHEN 'matched' THEN 1 ELSE 0 END)
) STRICT;
INSERT INTO bank_lines (id, account, file, known_by, ref, day, amount, amount_currency, name, note, state, payment, why, said_at, who, payout, gallery_money)
    SELECT id, account, file, known_by, ref, day, amount, amount_currency, name, note, state, payment, why, said_at, who, payout, gallery_money FROM bank_lines_kept;
DROP TABLE bank_lines_kept;
CREATE INDEX bank_lines_day ON bank_lines (account, day, id);
CREATE INDEX bank_lines_file ON bank_lines (file);
-- +goose StatementBegin
CREATE TRIGGER bank_lines_keep BEFORE UPDATE ON bank_lines
WHEN NEW.id <> OLD.id OR NEW.account <> OLD.account OR NEW.file <> OLD.file OR NEW.known_by <> OLD.known_by OR NEW.ref <> OLD.ref
    OR NEW.day <> OLD.day OR NEW.amount <> OLD.amount OR NEW.amount_currency <> OLD.amount_currency
BEGIN
    SELECT RAISE(ABORT, 'what the bank says of a line is never changed');
END;
-- +goose StatementEnd
