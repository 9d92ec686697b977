-- +goose Up
CREATE TABLE class (
	id TEXT PRIMARY KEY,
	name TEXT NOT NULL,
	from_day TEXT NOT NULL,
	until_day TEXT NOT NULL,
	made TEXT NOT NULL,
	made_by TEXT NOT NULL,
	ended TEXT NOT NULL DEFAULT ''
) STRICT;

CREATE TABLE class_member (
	class TEXT NOT NULL REFERENCES class (id),
	person TEXT NOT NULL REFERENCES person (id),
	grp TEXT NOT NULL,
	gone TEXT NOT NULL DEFAULT '',
	PRIMARY KEY (class, person)
) STRICT;

CREATE INDEX class_member_person ON class_member (person);

CREATE TABLE attendance (
	class TEXT NOT NULL REFERENCES class (id),
	person TEXT NOT NULL REFERENCES person (id),
	day TEXT NOT NULL,
	state TEXT NOT NULL,
	made_by TEXT NOT NULL,
	at TEXT NOT NULL,
	PRIMARY KEY (class, person, day)
) STRICT;

CREATE TABLE class_note (
	id TEXT PRIMARY KEY,
	class TEXT NOT NULL REFERENCES class (id),
	person TEXT NOT NULL REFERENCES person (id),
	made_by TEXT NOT NULL,
	at TEXT NOT NULL,
	text TEXT NOT NULL
) STRICT;

CREATE INDEX class_note_person ON class_note (person);

-- What was written about a person goes with the name; results stay.
-- +goose StatementBegin
CREATE TRIGGER person_name_gone AFTER DELETE ON person_name BEGIN
	DELETE FROM class_note WHERE person = OLD.person;
	DELETE FROM attendance WHERE person = OLD.person;
END;
-- +goose StatementEnd

CREATE TABLE lane (
	id TEXT PRIMARY KEY,
	class TEXT NOT NULL REFERENCES class (id),
	setup TEXT NOT NULL,
	made TEXT NOT NULL,
	made_by TEXT NOT NULL
) STRICT;

CREATE INDEX lane_class ON lane (class);

CREATE TABLE lane_version (
	id TEXT PRIMARY KEY,
	lane TEXT NOT NULL REFERENCES lane (id),
	number INTEGER NOT NULL,
	grp TEXT NOT NULL,
	canonical TEXT NOT NULL,
	notes TEXT NOT NULL,
	equal TEXT NOT NULL,
	secret TEXT NOT NULL,
	commitment TEXT NOT NULL,
	entry INTEGER NOT NULL,
	real_load INTEGER NOT NULL,
	load_name TEXT NOT NULL,
	load_key TEXT NOT NULL,
	rig TEXT NOT NULL,
	made TEXT NOT NULL,
	made_by TEXT NOT NULL,
	opened TEXT NOT NULL DEFAULT '',
	restored TEXT NOT NULL DEFAULT '',
	UNIQUE (lane, number)
) STRICT;

CREATE INDEX lane_version_rig ON lane_version (rig);
CREATE INDEX lane_version_load ON lane_version (load_key);
CREATE INDEX lane_version_barred ON lane_version (real_load, restored);

CREATE TABLE put_back (
	version TEXT NOT NULL REFERENCES lane_version (id),
	deficiency TEXT NOT NULL,
	person TEXT NOT NULL,
	at TEXT NOT NULL,
	PRIMARY KEY (version, deficiency, person)
) STRICT;

CREATE TABLE run (
	id TEXT PRIMARY KEY,
	class TEXT NOT NULL,
	lane TEXT NOT NULL REFERENCES lane (id),
	version TEXT NOT NULL REFERENCES lane_version (id),
	student TEXT NOT NULL REFERENCES person (id),
	grader TEXT NOT NULL,
	second INTEGER NOT NULL,
	started TEXT NOT NULL,
	received TEXT NOT NULL,
	ended INTEGER NOT NULL DEFAULT 0,
	odd TEXT NOT NULL DEFAULT ''
) STRICT;

CREATE INDEX run_lane ON run (lane);
CREATE INDEX run_student ON run (student);

CREATE TABLE run_event (
	seq INTEGER PRIMARY KEY,
	id TEXT NOT NULL UNIQUE,
	run TEXT NOT NULL REFERENCES run (id),
	device TEXT NOT NULL,
	n INTEGER NOT NULL,
	kind TEXT NOT NULL,
	person TEXT NOT NULL,
	at TEXT NOT NULL,
	received TEXT NOT NULL,
	body TEXT NOT NULL,
	UNIQUE (run, device, n)
) STRICT;

CREATE TABLE run_result (
	run TEXT NOT NULL REFERENCES run (id),
	n INTEGER NOT NULL,
	class TEXT NOT NULL,
	lane TEXT NOT NULL,
	version TEXT NOT NULL,
	student TEXT NOT NULL,
	grader TEXT NOT NULL,
	second INTEGER NOT NULL,
	outcome TEXT NOT NULL,
	reasons TEXT NOT NULL,
	found TEXT NOT NULL,
	missed TEXT NOT NULL,
	false_calls INTEGER NOT NULL,
	out_of_order INTEGER NOT NULL,
	unplaced INTEGER NOT NULL,
	took_ms INTEGER NOT NULL,
	at TEXT NOT NULL,
	why TEXT NOT NULL,
	PRIMARY KEY (run, n)
) STRICT;

CREATE INDEX run_result_class ON run_result (class);
CREATE INDEX run_result_student ON run_result (student);
CREATE INDEX run_result_version ON run_result (version);

CREATE TABLE class_entry (
	seq INTEGER PRIMARY KEY,
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
) STRICT;

CREATE INDEX class_entry_class ON class_entry (class);
CREATE INDEX class_entry_person ON class_entry (person);

CREATE TABLE rotation (
	seq INTEGER PRIMARY KEY,
	class TEXT NOT NULL REFERENCES class (id),
	plan TEXT NOT NULL,
	made_by TEXT NOT NULL,
	at TEXT NOT NULL
) STRICT;

CREATE INDEX rotation_class ON rotation (class);

-- +goose StatementBegin
CREATE TRIGGER run_event_kept BEFORE UPDATE ON run_event BEGIN
	SELECT RAISE(ABORT, 'events of a run are only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER run_event_stays BEFORE DELETE ON run_event BEGIN
	SELECT RAISE(ABORT, 'events of a run are only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER run_result_kept BEFORE UPDATE ON run_result BEGIN
	SELECT RAISE(ABORT, 'results are only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER run_result_stays BEFORE DELETE ON run_result BEGIN
	SELECT RAISE(ABORT, 'results are only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER class_entry_kept BEFORE UPDATE ON class_entry BEGIN
	SELECT RAISE(ABORT, 'what is recorded about a test is only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER class_entry_stays BEFORE DELETE ON class_entry BEGIN
	SELECT RAISE(ABORT, 'what is recorded about a test is only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER put_back_kept BEFORE UPDATE ON put_back BEGIN
	SELECT RAISE(ABORT, 'what was put back is only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER put_back_stays BEFORE DELETE ON put_back BEGIN
	SELECT RAISE(ABORT, 'what was put back is only ever added to');
END;
-- +goose StatementEnd

-- A key that was committed to is not changed.
-- +goose StatementBegin
CREATE TRIGGER lane_version_kept BEFORE UPDATE OF id, lane, number, canonical, secret, commitment, entry, real_load, load_name, load_key, rig ON lane_version BEGIN
	SELECT RAISE(ABORT, 'a key that was committed to is not changed');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER lane_version_stays BEFORE DELETE ON lane_version BEGIN
	SELECT RAISE(ABORT, 'a key that was committed to is not changed');
END;
-- +goose StatementEnd
