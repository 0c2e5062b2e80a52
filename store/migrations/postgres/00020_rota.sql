-- +goose Up
-- Scheduled work: who does it now, and how each job stands. Copies and what they go by; whether the studio was left for another machine.
-- None of these goes into a copy: they belong to one database, and to the machine it is on. The studio's own mark does.
CREATE TABLE rota_lease (
    id     BIGINT PRIMARY KEY CHECK (id = 1),
    holder TEXT COLLATE "C" NOT NULL,
    fence  BIGINT NOT NULL CHECK (fence > 0),
    beat   BIGINT NOT NULL CHECK (beat >= 0),
    lasts  BIGINT NOT NULL CHECK (lasts > 0)
);

CREATE TABLE rota_jobs (
    name     TEXT COLLATE "C" PRIMARY KEY,
    rule     TEXT COLLATE "C" NOT NULL,
    due      BIGINT NOT NULL,
    asked    BIGINT NOT NULL,
    began    BIGINT NOT NULL,
    ended    BIGINT NOT NULL,
    good     BIGINT NOT NULL,
    failures BIGINT NOT NULL CHECK (failures >= 0),
    said     TEXT COLLATE "C" NOT NULL
);

CREATE TABLE identity (
    id   BIGINT PRIMARY KEY CHECK (id = 1),
    mark TEXT COLLATE "C" NOT NULL CHECK (length(mark) = 16)
);

CREATE TABLE copying (
    id   BIGINT PRIMARY KEY CHECK (id = 1),
    body TEXT COLLATE "C" NOT NULL
);

CREATE TABLE left_for (
    id   BIGINT PRIMARY KEY CHECK (id = 1),
    at   BIGINT NOT NULL,
    who  TEXT COLLATE "C" NOT NULL,
    file TEXT COLLATE "C" NOT NULL
);
