-- +goose Up
-- The picture of a work, one at most, with its width and height in pixels at each size. Its bytes stand in rows of their own, in
-- base64 (RFC 4648), so that a list of pictures reads none of them.
CREATE TABLE pictures (
    work          BIGINT PRIMARY KEY REFERENCES works (id),
    alt           TEXT COLLATE "C" NOT NULL,
    digest        TEXT COLLATE "C" NOT NULL,
    small_width   BIGINT NOT NULL CHECK (small_width > 0),
    small_height  BIGINT NOT NULL CHECK (small_height > 0),
    middle_width  BIGINT NOT NULL CHECK (middle_width > 0),
    middle_height BIGINT NOT NULL CHECK (middle_height > 0),
    large_width   BIGINT NOT NULL CHECK (large_width > 0),
    large_height  BIGINT NOT NULL CHECK (large_height > 0),
    at            BIGINT NOT NULL,
    who           TEXT COLLATE "C" NOT NULL
);

CREATE TABLE picture_bodies (
    work BIGINT NOT NULL REFERENCES pictures (work),
    size TEXT COLLATE "C" NOT NULL CHECK (size IN ('small', 'middle', 'large')),
    body TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (work, size)
);
