-- +goose Up
-- The folded words of every order and buyer; rowid is the id. They hold nothing that is not elsewhere.
-- With an index of its own a beginning of a word is found without reading all words that begin so.
CREATE VIRTUAL TABLE order_words USING fts5 (words, content='', contentless_delete=1, detail='none', prefix='1 2 3 4 5 6 7 8 9 10', tokenize='ascii');
CREATE VIRTUAL TABLE buyer_words USING fts5 (words, content='', contentless_delete=1, detail='none', prefix='1 2 3 4 5 6 7 8 9 10', tokenize='ascii');
