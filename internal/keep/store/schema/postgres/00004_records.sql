-- +goose Up
CREATE TABLE log_key (
	one bigint PRIMARY KEY CHECK (one = 1),
	origin TEXT NOT NULL,
	private TEXT NOT NULL,
	public TEXT NOT NULL,
	made TEXT NOT NULL
);

CREATE TABLE log_entry (
	n bigint PRIMARY KEY,
	line bytea NOT NULL,
	leaf bytea NOT NULL,
	kind TEXT NOT NULL,
	at TEXT NOT NULL,
	about bigint NOT NULL DEFAULT -1,
	subject TEXT NOT NULL DEFAULT ''
);

CREATE INDEX log_entry_about ON log_entry (about);
CREATE INDEX log_entry_subject ON log_entry (subject);

-- The tree's hashes in their storage order.
CREATE TABLE log_hash (
	i bigint PRIMARY KEY,
	hash bytea NOT NULL
);

CREATE TABLE log_head (
	size bigint PRIMARY KEY,
	signed bytea NOT NULL
);

-- +goose StatementBegin
CREATE FUNCTION log_entry_kept() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'the log of records is only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER log_entry_kept BEFORE UPDATE ON log_entry FOR EACH ROW EXECUTE FUNCTION log_entry_kept();

-- +goose StatementBegin
CREATE FUNCTION log_entry_stays() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'the log of records is only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER log_entry_stays BEFORE DELETE ON log_entry FOR EACH ROW EXECUTE FUNCTION log_entry_stays();

-- +goose StatementBegin
CREATE FUNCTION log_hash_kept() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'the log of records is only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER log_hash_kept BEFORE UPDATE ON log_hash FOR EACH ROW EXECUTE FUNCTION log_hash_kept();

-- +goose StatementBegin
CREATE FUNCTION log_hash_stays() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'the log of records is only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER log_hash_stays BEFORE DELETE ON log_hash FOR EACH ROW EXECUTE FUNCTION log_hash_stays();

-- +goose StatementBegin
CREATE FUNCTION log_head_kept() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'the log of records is only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER log_head_kept BEFORE UPDATE ON log_head FOR EACH ROW EXECUTE FUNCTION log_head_kept();

-- +goose StatementBegin
CREATE FUNCTION log_head_stays() RETURNS trigger AS $$ BEGIN
	RAISE EXCEPTION 'the log of records is only ever added to';
END; $$ LANGUAGE plpgsql;
-- +goose StatementEnd

CREATE TRIGGER log_head_stays BEFORE DELETE ON log_head FOR EACH ROW EXECUTE FUNCTION log_head_stays();
