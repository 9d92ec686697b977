-- +goose Up
CREATE TABLE inspection (
	id TEXT PRIMARY KEY,
	person TEXT NOT NULL REFERENCES person (id),
	rigger TEXT NOT NULL REFERENCES person (id),
	load_name TEXT NOT NULL,
	rig TEXT NOT NULL,
	rig_version TEXT NOT NULL,
	aircraft TEXT NOT NULL,
	training INTEGER NOT NULL,
	sets TEXT NOT NULL,
	phase TEXT NOT NULL,
	started TEXT NOT NULL,
	received TEXT NOT NULL,
	last_seq INTEGER NOT NULL,
	entry INTEGER NOT NULL DEFAULT -1,
	signed TEXT NOT NULL DEFAULT '',
	lapsed TEXT NOT NULL DEFAULT '',
	lapsed_at TEXT NOT NULL DEFAULT ''
) STRICT;

CREATE INDEX inspection_received ON inspection (received);
CREATE INDEX inspection_rig ON inspection (rig);

CREATE TABLE inspection_event (
	seq INTEGER PRIMARY KEY,
	id TEXT NOT NULL UNIQUE,
	inspection TEXT NOT NULL REFERENCES inspection (id),
	device TEXT NOT NULL,
	n INTEGER NOT NULL,
	kind TEXT NOT NULL,
	person TEXT NOT NULL REFERENCES person (id),
	at TEXT NOT NULL,
	received TEXT NOT NULL,
	body TEXT NOT NULL,
	UNIQUE (inspection, device, n)
) STRICT;

CREATE TABLE photo (
	hash TEXT PRIMARY KEY,
	type TEXT NOT NULL,
	bytes BLOB NOT NULL,
	person TEXT NOT NULL,
	at TEXT NOT NULL
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER inspection_event_kept BEFORE UPDATE ON inspection_event BEGIN
	SELECT RAISE(ABORT, 'events of an inspection are only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER inspection_event_stays BEFORE DELETE ON inspection_event BEGIN
	SELECT RAISE(ABORT, 'events of an inspection are only ever added to');
END;
-- +goose StatementEnd
