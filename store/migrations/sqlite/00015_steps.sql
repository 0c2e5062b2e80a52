-- +goose Up
-- A number may go several steps in one write: its row then moves once, to its latest entry.
DROP TRIGGER impressions_keep;
-- +goose StatementBegin
CREATE TRIGGER impressions_keep BEFORE UPDATE ON impressions
WHEN NEW.edition <> OLD.edition OR NEW.kind <> OLD.kind OR NEW.number <> OLD.number
    OR NEW.turn <= OLD.turn
    OR NEW.turn <> (SELECT max(turn) FROM register WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number)
    OR NOT EXISTS (SELECT 1 FROM register WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number
        AND turn = NEW.turn AND state = NEW.state AND line = coalesce(NEW.line, 0) AND signed = NEW.signed AND struck = NEW.struck)
BEGIN
    SELECT RAISE(ABORT, 'a number stands as its latest entry in the register says');
END;
-- +goose StatementEnd
