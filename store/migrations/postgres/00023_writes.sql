-- +goose Up
-- How many transactions wrote: by it each program on the database sees that another one wrote. The file of the other engine has it since its seal.
CREATE TABLE high_water (
	id BIGINT PRIMARY KEY CHECK (id = 1),
	writes BIGINT NOT NULL
);
INSERT INTO high_water (id, writes) VALUES (1, 0);
