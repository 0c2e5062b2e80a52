-- +goose Up
-- No table changes. Cash of a day at a table that was carried to the bank up to the day of its opening balance is in that balance, and what a bank made of
-- money in another currency is a gain or a loss: with this step the journal learns it of what is in the book by now.
SELECT 1;
