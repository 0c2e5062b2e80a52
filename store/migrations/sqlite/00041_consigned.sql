-- +goose Up
-- Whose sheet went to a gallery or came back (0 = no such print), and whose cost a layer gave or got: a print that comes back gives back what it
-- took along, and not what went last. Of moves that stand, prints that went in one transaction went in their order; what came back, or was noted
-- wrongly, is the number that the register says at that instant.
ALTER TABLE moves ADD COLUMN consignment INTEGER NOT NULL DEFAULT 0;
ALTER TABLE layer_uses ADD COLUMN consignment INTEGER NOT NULL DEFAULT 0;
DROP TRIGGER moves_no_update;
DROP TRIGGER layer_uses_no_update;
UPDATE moves SET consignment = coalesce((
    SELECT c.id FROM (SELECT id, edition, at, row_number() OVER (PARTITION BY edition, at ORDER BY id) AS place FROM consignments) c
    JOIN (SELECT id, item, at, row_number() OVER (PARTITION BY item, at ORDER BY id) AS place FROM moves WHERE kind = 'sheets' AND cause = 'at-gallery') m
        ON m.item = c.edition AND m.at = c.at AND m.place = c.place
    WHERE m.id = moves.id), 0)
WHERE kind = 'sheets' AND cause = 'at-gallery';
UPDATE moves SET consignment = coalesce((
    SELECT max(c.id) FROM register r
    JOIN consignments c ON c.edition = r.edition AND c.kind = r.kind AND c.number = r.number AND c.turn < r.turn
    WHERE r.edition = moves.item AND r.at = moves.at), 0)
WHERE kind = 'sheets' AND cause IN ('at-gallery', 'from-gallery') AND consignment = 0;
UPDATE layer_uses SET consignment = (SELECT m.consignment FROM moves m WHERE m.id = layer_uses.move) WHERE cause IN ('at-gallery', 'from-gallery');
CREATE INDEX layer_uses_consignment ON layer_uses (consignment) WHERE consignment <> 0;
-- +goose StatementBegin
CREATE TRIGGER moves_no_update BEFORE UPDATE ON moves
WHEN NOT (NEW.id = OLD.id AND NEW.kind = OLD.kind AND NEW.item = OLD.item AND NEW.delta = OLD.delta AND NEW.day = OLD.day AND NEW.at = OLD.at
    AND NEW.who = OLD.who AND NEW.cause = OLD.cause AND NEW.line = OLD.line AND NEW.parcel = OLD.parcel AND NEW.run = OLD.run AND NEW.cost = OLD.cost
    AND NEW.cost_currency = OLD.cost_currency AND NEW.consignment = OLD.consignment
    AND NEW.reason = '(erased)' AND EXISTS (SELECT 1 FROM blanked WHERE part = 'moves' AND row_id = OLD.id))
BEGIN
    SELECT RAISE(ABORT, 'a stock move is never changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER layer_uses_no_update BEFORE UPDATE ON layer_uses
BEGIN
    SELECT RAISE(ABORT, 'what a layer gave is never changed');
END;
-- +goose StatementEnd
