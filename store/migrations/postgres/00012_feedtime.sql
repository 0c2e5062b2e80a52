-- +goose Up
-- The feeds' own time: how often a feed wrote (seq), and how long all of it took (age, in nanoseconds), of which no jump of the
-- clock counts for more than an hour and none backwards. What a feed was answered is forgotten by these two, never by a clock.
CREATE TABLE feed_time (
    id      BIGINT PRIMARY KEY CHECK (id = 1),
    seq     BIGINT NOT NULL,
    age     BIGINT NOT NULL,
    last_at BIGINT NOT NULL
);

ALTER TABLE feed_answers ADD COLUMN seq BIGINT NOT NULL DEFAULT 0;
ALTER TABLE feed_answers ADD COLUMN age BIGINT NOT NULL DEFAULT 0;
ALTER TABLE feed_messages ADD COLUMN seq BIGINT NOT NULL DEFAULT 0;
ALTER TABLE feed_messages ADD COLUMN age BIGINT NOT NULL DEFAULT 0;

DROP INDEX feed_answers_at;
DROP INDEX feed_messages_at;
CREATE INDEX feed_answers_seq ON feed_answers (seq);
CREATE INDEX feed_messages_seq ON feed_messages (seq);
