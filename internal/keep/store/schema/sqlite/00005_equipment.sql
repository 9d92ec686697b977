-- +goose Up
CREATE TABLE item (
	id TEXT PRIMARY KEY,
	kind TEXT NOT NULL,
	serial TEXT NOT NULL,
	folded TEXT NOT NULL,
	detail TEXT NOT NULL,
	made TEXT NOT NULL,
	made_by TEXT NOT NULL,
	UNIQUE (kind, folded)
) STRICT;

CREATE TABLE item_event (
	seq INTEGER PRIMARY KEY,
	id TEXT NOT NULL UNIQUE,
	item TEXT NOT NULL REFERENCES item (id),
	kind TEXT NOT NULL,
	on_day TEXT NOT NULL,
	person TEXT NOT NULL,
	received TEXT NOT NULL,
	detail TEXT NOT NULL
) STRICT;

CREATE INDEX item_event_item ON item_event (item);

CREATE TABLE item_use (
	item TEXT NOT NULL REFERENCES item (id),
	inspection TEXT NOT NULL REFERENCES inspection (id),
	from_day TEXT NOT NULL,
	until_day TEXT NOT NULL DEFAULT '',
	PRIMARY KEY (item, inspection)
) STRICT;

CREATE INDEX item_use_inspection ON item_use (inspection);

-- What was undone on the load after its lift.
CREATE TABLE derig (
	inspection TEXT PRIMARY KEY REFERENCES inspection (id),
	on_day TEXT NOT NULL,
	person TEXT NOT NULL,
	received TEXT NOT NULL,
	undone TEXT NOT NULL
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER item_event_kept BEFORE UPDATE ON item_event BEGIN
	SELECT RAISE(ABORT, 'what happened to equipment is only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER item_event_stays BEFORE DELETE ON item_event BEGIN
	SELECT RAISE(ABORT, 'what happened to equipment is only ever added to');
END;
-- +goose StatementEnd
