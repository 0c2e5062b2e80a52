-- +goose Up
-- Of what is only ever added to the journal the program makes the digests as it writes it: no trigger notes such a row any more (they are made by the
-- program, of one list of tables). That no line is replaced is refused by the trigger that lets none be added to an entry that stands.
DROP TRIGGER entry_lines_no_replace;
