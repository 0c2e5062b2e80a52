-- +goose Up
-- The fee table of an outlet in the place of one share and one fixed part, which become its first row; and of each payment what was kept
-- back of it on its way. What was paid before had nothing noted.
ALTER TABLE outlets ADD COLUMN fees TEXT NOT NULL DEFAULT '[]';
UPDATE outlets SET fees = '[{"what":"sale","name":"fee","share":' || (fee_permille * 10)
    || CASE WHEN fee_fixed = 0 THEN '' ELSE ',"fixed":{"minor":' || fee_fixed || ',"currency":"' || fee_fixed_currency || '"}' END
    || ',"of":"postage"}]'
WHERE fee_permille <> 0 OR fee_fixed <> 0;
ALTER TABLE outlets DROP COLUMN fee_permille;
ALTER TABLE outlets DROP COLUMN fee_fixed;
ALTER TABLE outlets DROP COLUMN fee_fixed_currency;

ALTER TABLE payments ADD COLUMN fee INTEGER NOT NULL DEFAULT 0;
ALTER TABLE payments ADD COLUMN fee_currency TEXT NOT NULL DEFAULT '';
DROP TRIGGER payments_keep;
-- +goose StatementBegin
CREATE TRIGGER payments_keep BEFORE UPDATE ON payments
WHEN NEW.id <> OLD.id OR NEW.order_id <> OLD.order_id OR NEW.kind <> OLD.kind OR NEW.amount <> OLD.amount
    OR NEW.currency <> OLD.currency OR NEW.day <> OLD.day OR NEW.reversed < OLD.reversed
    OR NEW.fee <> OLD.fee OR NEW.fee_currency <> OLD.fee_currency
    OR NEW.note <> OLD.note AND NOT (OLD.note <> '' AND (
        NEW.note = '(erased)' AND EXISTS (SELECT 1 FROM blanked WHERE part = 'payments' AND row_id = OLD.id)
        OR NEW.note <> '' AND EXISTS (SELECT 1 FROM vault WHERE turning = 1)))
BEGIN
    SELECT RAISE(ABORT, 'a payment may only be reversed');
END;
-- +goose StatementEnd
