-- +goose Up
-- The picture of a work, one at most, with its width and height in pixels at each size. Its bytes stand in rows of their own, in
-- base64 (RFC 4648), so that a list of pictures reads none of them.
CREATE TABLE pictures (
    work          INTEGER PRIMARY KEY REFERENCES works (id),
    alt           TEXT NOT NULL,
    digest        TEXT NOT NULL,
    small_width   INTEGER NOT NULL CHECK (small_width > 0),
    small_height  INTEGER NOT NULL CHECK (small_height > 0),
    middle_width  INTEGER NOT NULL CHECK (middle_width > 0),
    middle_height INTEGER NOT NULL CHECK (middle_height > 0),
    large_width   INTEGER NOT NULL CHECK (large_width > 0),
    large_height  INTEGER NOT NULL CHECK (large_height > 0),
    at            INTEGER NOT NULL,
    who           TEXT NOT NULL
) STRICT;

CREATE TABLE picture_bodies (
    work INTEGER NOT NULL REFERENCES pictures (work),
    size TEXT NOT NULL CHECK (size IN ('small', 'middle', 'large')),
    body TEXT NOT NULL,
    PRIMARY KEY (work, size)
) STRICT;
