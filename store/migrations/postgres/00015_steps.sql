-- +goose Up
-- A number may go several steps in one write: its row then moves once, to its latest entry.
-- +goose StatementBegin
CREATE OR REPLACE FUNCTION impressions_keep() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.edition <> OLD.edition OR NEW.kind <> OLD.kind OR NEW.number <> OLD.number
        OR NEW.turn <= OLD.turn
        OR NEW.turn <> (SELECT max(turn) FROM register WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number)
        OR NOT EXISTS (SELECT 1 FROM register WHERE edition = NEW.edition AND kind = NEW.kind AND number = NEW.number
            AND turn = NEW.turn AND state = NEW.state AND line = coalesce(NEW.line, 0) AND signed = NEW.signed AND struck = NEW.struck) THEN
        RAISE EXCEPTION 'a number stands as its latest entry in the register says' USING ERRCODE = 'SL001';
    END IF;
    RETURN NEW;
END;
$$;
-- +goose StatementEnd
