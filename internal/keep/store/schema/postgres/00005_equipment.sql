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
);

CREATE TABLE item_event (
	seq bigint PRIMARY KEY,
	id TEXT NOT NULL UNIQUE,
	item TEXT NOT NULL REFERENCES item (id),
	kind TEXT NOT NULL,
	on_day TEXT NOT NULL,
	person TEXT NOT NULL,
	received TEXT NOT NULL,
	detail TEXT NOT NULL
);

CREATE INDEX item_event_item ON item_event (item);

CREATE TABLE item_use (
	item TEXT NOT NULL REFERENCES item (id),
	inspection TEXT NOT NULL REFERENCES inspection (id),
	from_day TEXT NOT NULL,
	until_day TEXT NOT NULL DEFAULT '',
	PRIMARY KEY (item, inspection)
);

CREATE INDEX item_use_inspection ON item_use (inspection);

-- What was undone on the load after its lift.
CREATE TABLE derig (
	inspection TEXT PRIMARY KEY REFERENCES inspection (id),
	on_day TEXT NOT NULL,
	person TEXT NOT NULL,
	received TEXT NOT NULL,
	undone TEXT NOT NULL
);

-- +goose StatementBegin
CREATE FUNCTION item_event_kept() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'what happened to equipment is only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER item_event_kept BEFORE UPDATE ON item_event FOR EACH ROW EXECUTE FUNCTION item_event_kept();

-- +goose StatementBegin
CREATE FUNCTION item_event_stays() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'what happened to equipment is only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER item_event_stays BEFORE DELETE ON item_event FOR EACH ROW EXECUTE FUNCTION item_event_stays();
