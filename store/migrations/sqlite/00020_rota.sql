-- +goose Up
-- Scheduled work: who does it now, and how each job stands. Copies and what they go by; whether the studio was left for another machine.
-- None of these goes into a copy: they belong to one database, and to the machine it is on. The studio's own mark does.
CREATE TABLE rota_lease (
    id     INTEGER PRIMARY KEY CHECK (id = 1),
    holder TEXT NOT NULL,
    fence  INTEGER NOT NULL CHECK (fence > 0),
    beat   INTEGER NOT NULL CHECK (beat >= 0),
    lasts  INTEGER NOT NULL CHECK (lasts > 0)
) STRICT;

CREATE TABLE rota_jobs (
    name     TEXT PRIMARY KEY,
    rule     TEXT NOT NULL,
    due      INTEGER NOT NULL,
    asked    INTEGER NOT NULL,
    began    INTEGER NOT NULL,
    ended    INTEGER NOT NULL,
    good     INTEGER NOT NULL,
    failures INTEGER NOT NULL CHECK (failures >= 0),
    said     TEXT NOT NULL
) STRICT;

CREATE TABLE identity (
    id   INTEGER PRIMARY KEY CHECK (id = 1),
    mark TEXT NOT NULL CHECK (length(mark) = 16)
) STRICT;

CREATE TABLE copying (
    id   INTEGER PRIMARY KEY CHECK (id = 1),
    body TEXT NOT NULL
) STRICT;

CREATE TABLE left_for (
    id   INTEGER PRIMARY KEY CHECK (id = 1),
    at   INTEGER NOT NULL,
    who  TEXT NOT NULL,
    file TEXT NOT NULL
) STRICT;
