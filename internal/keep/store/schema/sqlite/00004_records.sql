-- +goose Up
CREATE TABLE log_key (
	one INTEGER PRIMARY KEY CHECK (one = 1),
	origin TEXT NOT NULL,
	private TEXT NOT NULL,
	public TEXT NOT NULL,
	made TEXT NOT NULL
) STRICT;

CREATE TABLE log_entry (
	n INTEGER PRIMARY KEY,
	line BLOB NOT NULL,
	leaf BLOB NOT NULL,
	kind TEXT NOT NULL,
	at TEXT NOT NULL,
	about INTEGER NOT NULL DEFAULT -1,
	subject TEXT NOT NULL DEFAULT ''
) STRICT;

CREATE INDEX log_entry_about ON log_entry (about);
CREATE INDEX log_entry_subject ON log_entry (subject);

-- The tree's hashes in their storage order.
CREATE TABLE log_hash (
	i INTEGER PRIMARY KEY,
	hash BLOB NOT NULL
) STRICT;

CREATE TABLE log_head (
	size INTEGER PRIMARY KEY,
	signed BLOB NOT NULL
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER log_entry_kept BEFORE UPDATE ON log_entry BEGIN
	SELECT RAISE(ABORT, 'the log of records is only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER log_entry_stays BEFORE DELETE ON log_entry BEGIN
	SELECT RAISE(ABORT, 'the log of records is only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER log_hash_kept BEFORE UPDATE ON log_hash BEGIN
	SELECT RAISE(ABORT, 'the log of records is only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER log_hash_stays BEFORE DELETE ON log_hash BEGIN
	SELECT RAISE(ABORT, 'the log of records is only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER log_head_kept BEFORE UPDATE ON log_head BEGIN
	SELECT RAISE(ABORT, 'the log of records is only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER log_head_stays BEFORE DELETE ON log_head BEGIN
	SELECT RAISE(ABORT, 'the log of records is only ever added to');
END;
-- +goose StatementEnd
