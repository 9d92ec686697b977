-- +goose Up
CREATE TABLE person (
	id TEXT PRIMARY KEY,
	roles TEXT NOT NULL,
	made TEXT NOT NULL,
	gone TEXT NOT NULL DEFAULT ''
) STRICT;

-- Names stand apart, so that they can be taken away while results stay.
CREATE TABLE person_name (
	person TEXT PRIMARY KEY REFERENCES person (id),
	name TEXT NOT NULL,
	contact TEXT NOT NULL DEFAULT '',
	login TEXT UNIQUE
) STRICT;

CREATE TABLE passphrase (
	person TEXT PRIMARY KEY REFERENCES person (id),
	encoded TEXT NOT NULL,
	at TEXT NOT NULL
) STRICT;

CREATE TABLE qualification (
	id TEXT PRIMARY KEY,
	person TEXT NOT NULL REFERENCES person (id),
	kind TEXT NOT NULL,
	scope TEXT NOT NULL,
	authority TEXT NOT NULL,
	from_day TEXT NOT NULL,
	expires_day TEXT NOT NULL,
	recency INTEGER NOT NULL,
	last_day TEXT NOT NULL,
	ended_day TEXT NOT NULL
) STRICT;

CREATE INDEX qualification_person ON qualification (person);

CREATE TABLE invitation (
	hash TEXT PRIMARY KEY,
	person TEXT NOT NULL REFERENCES person (id),
	made_by TEXT NOT NULL,
	made TEXT NOT NULL,
	expires TEXT NOT NULL,
	used TEXT NOT NULL DEFAULT ''
) STRICT;

CREATE INDEX invitation_person ON invitation (person);

CREATE TABLE session (
	hash TEXT PRIMARY KEY,
	person TEXT NOT NULL REFERENCES person (id),
	made TEXT NOT NULL,
	seen TEXT NOT NULL,
	expires TEXT NOT NULL,
	device TEXT NOT NULL,
	address TEXT NOT NULL
) STRICT;

CREATE INDEX session_person ON session (person);

CREATE TABLE guess (
	subject TEXT PRIMARY KEY,
	wrong INTEGER NOT NULL,
	at TEXT NOT NULL
) STRICT;

CREATE TABLE rights_change (
	n INTEGER PRIMARY KEY,
	at TEXT NOT NULL,
	made_by TEXT NOT NULL,
	about TEXT NOT NULL,
	what TEXT NOT NULL,
	detail TEXT NOT NULL
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER rights_change_kept BEFORE UPDATE ON rights_change BEGIN
	SELECT RAISE(ABORT, 'the audit of rights is only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER rights_change_stays BEFORE DELETE ON rights_change BEGIN
	SELECT RAISE(ABORT, 'the audit of rights is only ever added to');
END;
-- +goose StatementEnd
