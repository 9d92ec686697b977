-- +goose Up
CREATE TABLE class (
	id TEXT PRIMARY KEY,
	name TEXT NOT NULL,
	from_day TEXT NOT NULL,
	until_day TEXT NOT NULL,
	made TEXT NOT NULL,
	made_by TEXT NOT NULL,
	ended TEXT NOT NULL DEFAULT ''
);

CREATE TABLE class_member (
	class TEXT NOT NULL REFERENCES class (id),
	person TEXT NOT NULL REFERENCES person (id),
	grp TEXT NOT NULL,
	gone TEXT NOT NULL DEFAULT '',
	PRIMARY KEY (class, person)
);

CREATE INDEX class_member_person ON class_member (person);

CREATE TABLE attendance (
	class TEXT NOT NULL REFERENCES class (id),
	person TEXT NOT NULL REFERENCES person (id),
	day TEXT NOT NULL,
	state TEXT NOT NULL,
	made_by TEXT NOT NULL,
	at TEXT NOT NULL,
	PRIMARY KEY (class, person, day)
);

CREATE TABLE class_note (
	id TEXT PRIMARY KEY,
	class TEXT NOT NULL REFERENCES class (id),
	person TEXT NOT NULL REFERENCES person (id),
	made_by TEXT NOT NULL,
	at TEXT NOT NULL,
	text TEXT NOT NULL
);

CREATE INDEX class_note_person ON class_note (person);

-- What was written about a person goes with the name; results stay.
-- +goose StatementBegin
CREATE FUNCTION person_name_gone() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN
	DELETE FROM class_note WHERE person = OLD.person;
	DELETE FROM attendance WHERE person = OLD.person;
	RETURN NULL;
END $$;
-- +goose StatementEnd

CREATE TRIGGER person_name_gone AFTER DELETE ON person_name FOR EACH ROW EXECUTE FUNCTION person_name_gone();

CREATE TABLE lane (
	id TEXT PRIMARY KEY,
	class TEXT NOT NULL REFERENCES class (id),
	setup TEXT NOT NULL,
	made TEXT NOT NULL,
	made_by TEXT NOT NULL
);

CREATE INDEX lane_class ON lane (class);

CREATE TABLE lane_version (
	id TEXT PRIMARY KEY,
	lane TEXT NOT NULL REFERENCES lane (id),
	number bigint NOT NULL,
	grp TEXT NOT NULL,
	canonical TEXT NOT NULL,
	notes TEXT NOT NULL,
	equal TEXT NOT NULL,
	secret TEXT NOT NULL,
	commitment TEXT NOT NULL,
	entry bigint NOT NULL,
	real_load bigint NOT NULL,
	load_name TEXT NOT NULL,
	load_key TEXT NOT NULL,
	rig TEXT NOT NULL,
	made TEXT NOT NULL,
	made_by TEXT NOT NULL,
	opened TEXT NOT NULL DEFAULT '',
	restored TEXT NOT NULL DEFAULT '',
	UNIQUE (lane, number)
);

CREATE INDEX lane_version_rig ON lane_version (rig);
CREATE INDEX lane_version_load ON lane_version (load_key);
CREATE INDEX lane_version_barred ON lane_version (real_load, restored);

CREATE TABLE put_back (
	version TEXT NOT NULL REFERENCES lane_version (id),
	deficiency TEXT NOT NULL,
	person TEXT NOT NULL,
	at TEXT NOT NULL,
	PRIMARY KEY (version, deficiency, person)
);

CREATE TABLE run (
	id TEXT PRIMARY KEY,
	class TEXT NOT NULL,
	lane TEXT NOT NULL REFERENCES lane (id),
	version TEXT NOT NULL REFERENCES lane_version (id),
	student TEXT NOT NULL REFERENCES person (id),
	grader TEXT NOT NULL,
	second bigint NOT NULL,
	started TEXT NOT NULL,
	received TEXT NOT NULL,
	ended bigint NOT NULL DEFAULT 0,
	odd TEXT NOT NULL DEFAULT ''
);

CREATE INDEX run_lane ON run (lane);
CREATE INDEX run_student ON run (student);

CREATE TABLE run_event (
	seq bigint PRIMARY KEY,
	id TEXT NOT NULL UNIQUE,
	run TEXT NOT NULL REFERENCES run (id),
	device TEXT NOT NULL,
	n bigint NOT NULL,
	kind TEXT NOT NULL,
	person TEXT NOT NULL,
	at TEXT NOT NULL,
	received TEXT NOT NULL,
	body TEXT NOT NULL,
	UNIQUE (run, device, n)
);

CREATE TABLE run_result (
	run TEXT NOT NULL REFERENCES run (id),
	n bigint NOT NULL,
	class TEXT NOT NULL,
	lane TEXT NOT NULL,
	version TEXT NOT NULL,
	student TEXT NOT NULL,
	grader TEXT NOT NULL,
	second bigint NOT NULL,
	outcome TEXT NOT NULL,
	reasons TEXT NOT NULL,
	found TEXT NOT NULL,
	missed TEXT NOT NULL,
	false_calls bigint NOT NULL,
	out_of_order bigint NOT NULL,
	unplaced bigint NOT NULL,
	took_ms bigint NOT NULL,
	at TEXT NOT NULL,
	why TEXT NOT NULL,
	PRIMARY KEY (run, n)
);

CREATE INDEX run_result_class ON run_result (class);
CREATE INDEX run_result_student ON run_result (student);
CREATE INDEX run_result_version ON run_result (version);

CREATE TABLE class_entry (
	seq bigint PRIMARY KEY,
	id TEXT NOT NULL UNIQUE,
	class TEXT NOT NULL REFERENCES class (id),
	person TEXT NOT NULL,
	lane TEXT NOT NULL,
	version TEXT NOT NULL,
	run TEXT NOT NULL,
	deficiency TEXT NOT NULL,
	kind TEXT NOT NULL,
	text TEXT NOT NULL,
	made_by TEXT NOT NULL,
	at TEXT NOT NULL
);

CREATE INDEX class_entry_class ON class_entry (class);
CREATE INDEX class_entry_person ON class_entry (person);

CREATE TABLE rotation (
	seq bigint PRIMARY KEY,
	class TEXT NOT NULL REFERENCES class (id),
	plan TEXT NOT NULL,
	made_by TEXT NOT NULL,
	at TEXT NOT NULL
);

CREATE INDEX rotation_class ON rotation (class);

-- +goose StatementBegin
CREATE FUNCTION run_event_kept() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'events of a run are only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER run_event_kept BEFORE UPDATE ON run_event FOR EACH ROW EXECUTE FUNCTION run_event_kept();

-- +goose StatementBegin
CREATE FUNCTION run_event_stays() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'events of a run are only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER run_event_stays BEFORE DELETE ON run_event FOR EACH ROW EXECUTE FUNCTION run_event_stays();

-- +goose StatementBegin
CREATE FUNCTION run_result_kept() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'results are only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER run_result_kept BEFORE UPDATE ON run_result FOR EACH ROW EXECUTE FUNCTION run_result_kept();

-- +goose StatementBegin
CREATE FUNCTION run_result_stays() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'results are only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER run_result_stays BEFORE DELETE ON run_result FOR EACH ROW EXECUTE FUNCTION run_result_stays();

-- +goose StatementBegin
CREATE FUNCTION class_entry_kept() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'what is recorded about a test is only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER class_entry_kept BEFORE UPDATE ON class_entry FOR EACH ROW EXECUTE FUNCTION class_entry_kept();

-- +goose StatementBegin
CREATE FUNCTION class_entry_stays() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'what is recorded about a test is only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER class_entry_stays BEFORE DELETE ON class_entry FOR EACH ROW EXECUTE FUNCTION class_entry_stays();

-- +goose StatementBegin
CREATE FUNCTION put_back_kept() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'what was put back is only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER put_back_kept BEFORE UPDATE ON put_back FOR EACH ROW EXECUTE FUNCTION put_back_kept();

-- +goose StatementBegin
CREATE FUNCTION put_back_stays() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'what was put back is only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER put_back_stays BEFORE DELETE ON put_back FOR EACH ROW EXECUTE FUNCTION put_back_stays();

-- +goose StatementBegin
CREATE FUNCTION lane_version_kept() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'a key that was committed to is not changed';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER lane_version_kept BEFORE UPDATE OF id, lane, number, canonical, secret, commitment, entry, real_load, load_name, load_key, rig ON lane_version FOR EACH ROW EXECUTE FUNCTION lane_version_kept();

-- +goose StatementBegin
CREATE FUNCTION lane_version_stays() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'a key that was committed to is not changed';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER lane_version_stays BEFORE DELETE ON lane_version FOR EACH ROW EXECUTE FUNCTION lane_version_stays();
