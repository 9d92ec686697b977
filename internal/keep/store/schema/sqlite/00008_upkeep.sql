-- +goose Up
-- The newest time at which anything was kept, by the server's clock: a clock
-- that shows an earlier one was set back.
CREATE TABLE clock_seen (
	one INTEGER PRIMARY KEY CHECK (one = 1),
	newest TEXT NOT NULL
) STRICT;

INSERT INTO clock_seen (one, newest)
SELECT 1, COALESCE(MAX(at), '') FROM (
	SELECT MAX(received) AS at FROM inspection_event
	UNION ALL SELECT MAX(at) FROM log_entry
	UNION ALL SELECT MAX(at) FROM rights_change
);

CREATE TABLE backup_made (
	n INTEGER PRIMARY KEY,
	at TEXT NOT NULL,
	bytes INTEGER NOT NULL,
	sha256 TEXT NOT NULL
) STRICT;
