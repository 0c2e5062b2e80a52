-- +goose Up
-- The folded words of every order and buyer. They hold nothing that is not elsewhere.
CREATE TABLE order_words (
    id    BIGINT NOT NULL PRIMARY KEY,
    words TSVECTOR NOT NULL
);
CREATE INDEX order_words_words ON order_words USING gin (words);
CREATE TABLE buyer_words (
    id    BIGINT NOT NULL PRIMARY KEY,
    words TSVECTOR NOT NULL
);
CREATE INDEX buyer_words_words ON buyer_words USING gin (words);
