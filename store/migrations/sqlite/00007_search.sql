-- +goose Up
-- The folded words of every order and buyer; rowid is the id. They hold nothing that is not elsewhere.
CREATE VIRTUAL TABLE order_words USING fts5 (words, content='', contentless_delete=1, detail='none', prefix='1 2 3', tokenize='ascii');
CREATE VIRTUAL TABLE buyer_words USING fts5 (words, content='', contentless_delete=1, detail='none', prefix='1 2 3', tokenize='ascii');
