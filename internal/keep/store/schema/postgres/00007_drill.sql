-- +goose Up
CREATE TABLE drill (
	id TEXT PRIMARY KEY,
	person TEXT NOT NULL REFERENCES person (id),
	rig TEXT NOT NULL,
	rig_version TEXT NOT NULL,
	sequence TEXT NOT NULL,
	shared BIGINT NOT NULL,
	limit_ms BIGINT NOT NULL,
	pictures TEXT NOT NULL,
	made TEXT NOT NULL,
	ended TEXT NOT NULL DEFAULT ''
);

CREATE INDEX drill_person ON drill (person);

CREATE TABLE drill_answer (
	drill TEXT NOT NULL REFERENCES drill (id),
	n BIGINT NOT NULL,
	wrong BIGINT NOT NULL,
	choice TEXT NOT NULL,
	after_ms BIGINT NOT NULL,
	at TEXT NOT NULL,
	late BIGINT NOT NULL,
	PRIMARY KEY (drill, n)
);

-- Where what a student practises stands; it goes with the name.
CREATE TABLE practice_box (
	person TEXT NOT NULL REFERENCES person (id),
	what TEXT NOT NULL,
	number BIGINT NOT NULL,
	due TEXT NOT NULL,
	PRIMARY KEY (person, what)
);

-- +goose StatementBegin
CREATE FUNCTION practice_box_gone() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN
	DELETE FROM practice_box WHERE person = OLD.person;
	RETURN NULL;
END $$;
-- +goose StatementEnd

CREATE TRIGGER practice_box_gone AFTER DELETE ON person_name FOR EACH ROW EXECUTE FUNCTION practice_box_gone();

-- What a drill shows is not changed while it is done.
-- +goose StatementBegin
CREATE FUNCTION drill_kept() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'what a drill shows is not changed';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER drill_kept BEFORE UPDATE OF id, person, rig, rig_version, sequence, shared, limit_ms, pictures, made ON drill FOR EACH ROW EXECUTE FUNCTION drill_kept();

-- +goose StatementBegin
CREATE FUNCTION drill_answer_kept() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'answers of a drill are only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER drill_answer_kept BEFORE UPDATE ON drill_answer FOR EACH ROW EXECUTE FUNCTION drill_answer_kept();

-- +goose StatementBegin
CREATE FUNCTION drill_answer_stays() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'answers of a drill are only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER drill_answer_stays BEFORE DELETE ON drill_answer FOR EACH ROW EXECUTE FUNCTION drill_answer_stays();
