-- +goose Up
-- Which drills count for statistics is looked up without reading their pictures.
CREATE INDEX drill_counted ON drill (shared, run, made, id, person, ended);
