-- +goose Up
CREATE TABLE drill (
	id TEXT PRIMARY KEY,
	person TEXT NOT NULL REFERENCES person (id),
	rig TEXT NOT NULL,
	rig_version TEXT NOT NULL,
	sequence TEXT NOT NULL,
	shared INTEGER NOT NULL,
	limit_ms INTEGER NOT NULL,
	pictures TEXT NOT NULL,
	made TEXT NOT NULL,
	ended TEXT NOT NULL DEFAULT ''
) STRICT;

CREATE INDEX drill_person ON drill (person);

CREATE TABLE drill_answer (
	drill TEXT NOT NULL REFERENCES drill (id),
	n INTEGER NOT NULL,
	wrong INTEGER NOT NULL,
	choice TEXT NOT NULL,
	after_ms INTEGER NOT NULL,
	at TEXT NOT NULL,
	late INTEGER NOT NULL,
	PRIMARY KEY (drill, n)
) STRICT;

-- Where what a student practises stands; it goes with the name.
CREATE TABLE practice_box (
	person TEXT NOT NULL REFERENCES person (id),
	what TEXT NOT NULL,
	number INTEGER NOT NULL,
	due TEXT NOT NULL,
	PRIMARY KEY (person, what)
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER practice_box_gone AFTER DELETE ON person_name BEGIN
	DELETE FROM practice_box WHERE person = OLD.person;
END;
-- +goose StatementEnd

-- What a drill shows is not changed while it is done.
-- +goose StatementBegin
CREATE TRIGGER drill_kept BEFORE UPDATE OF id, person, rig, rig_version, sequence, shared, limit_ms, pictures, made ON drill BEGIN
	SELECT RAISE(ABORT, 'what a drill shows is not changed');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER drill_answer_kept BEFORE UPDATE ON drill_answer BEGIN
	SELECT RAISE(ABORT, 'answers of a drill are only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER drill_answer_stays BEFORE DELETE ON drill_answer BEGIN
	SELECT RAISE(ABORT, 'answers of a drill are only ever added to');
END;
-- +goose StatementEnd
