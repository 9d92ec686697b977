-- +goose Up
CREATE TABLE inspection (
	id TEXT PRIMARY KEY,
	person TEXT NOT NULL REFERENCES person (id),
	rigger TEXT NOT NULL REFERENCES person (id),
	load_name TEXT NOT NULL,
	rig TEXT NOT NULL,
	rig_version TEXT NOT NULL,
	aircraft TEXT NOT NULL,
	training bigint NOT NULL,
	sets TEXT NOT NULL,
	phase TEXT NOT NULL,
	started TEXT NOT NULL,
	received TEXT NOT NULL,
	last_seq bigint NOT NULL,
	entry bigint NOT NULL DEFAULT -1,
	signed TEXT NOT NULL DEFAULT '',
	lapsed TEXT NOT NULL DEFAULT '',
	lapsed_at TEXT NOT NULL DEFAULT ''
);

CREATE INDEX inspection_received ON inspection (received);
CREATE INDEX inspection_rig ON inspection (rig);

CREATE TABLE inspection_event (
	seq bigint PRIMARY KEY,
	id TEXT NOT NULL UNIQUE,
	inspection TEXT NOT NULL REFERENCES inspection (id),
	device TEXT NOT NULL,
	n bigint NOT NULL,
	kind TEXT NOT NULL,
	person TEXT NOT NULL REFERENCES person (id),
	at TEXT NOT NULL,
	received TEXT NOT NULL,
	body TEXT NOT NULL,
	UNIQUE (inspection, device, n)
);

CREATE TABLE photo (
	hash TEXT PRIMARY KEY,
	type TEXT NOT NULL,
	bytes bytea NOT NULL,
	person TEXT NOT NULL,
	at TEXT NOT NULL
);

-- +goose StatementBegin
CREATE FUNCTION inspection_event_kept() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'events of an inspection are only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER inspection_event_kept BEFORE UPDATE ON inspection_event FOR EACH ROW EXECUTE FUNCTION inspection_event_kept();

-- +goose StatementBegin
CREATE FUNCTION inspection_event_stays() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'events of an inspection are only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER inspection_event_stays BEFORE DELETE ON inspection_event FOR EACH ROW EXECUTE FUNCTION inspection_event_stays();
