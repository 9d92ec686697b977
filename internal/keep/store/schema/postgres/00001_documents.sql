-- +goose Up
CREATE TABLE content (
	hash TEXT PRIMARY KEY,
	bytes bytea NOT NULL
);

CREATE TABLE document (
	kind TEXT NOT NULL,
	name TEXT NOT NULL,
	version TEXT NOT NULL REFERENCES content (hash),
	PRIMARY KEY (kind, name)
);

CREATE TABLE document_version (
	kind TEXT NOT NULL,
	name TEXT NOT NULL,
	version TEXT NOT NULL REFERENCES content (hash),
	at TEXT NOT NULL,
	printed TEXT NOT NULL DEFAULT '',
	person TEXT NOT NULL DEFAULT '',
	PRIMARY KEY (kind, name, version),
	FOREIGN KEY (kind, name) REFERENCES document (kind, name) DEFERRABLE INITIALLY DEFERRED
);
