// Package store keeps all that a school owns in one database: people and their
// rights, rigs and other documents with every version, inspections, sealed
// records, equipment.
//
// # Two databases, one set of queries
//
// The database is one SQLite file, or a schema of a PostgreSQL server where
// several schools share a machine. The queries are the same text for both; only
// the tables are declared twice, in the folders of schema. Times are RFC 3339
// text in UTC to the millisecond, so that they sort as text; days are ISO 8601
// text; truth is 0 or 1.
//
// # What is promised
//
// A method that changes something returns without an error only after its
// transaction is on the disk: SQLite in WAL mode with synchronous=FULL on every
// connection, PostgreSQL with synchronous_commit=on. One transaction writes at
// a time, so that what it read is still so when it commits. What is only ever
// added to (audit of rights, events, the sealed log) is held so by triggers.
//
// One school is opened by one server: a lock file beside an SQLite file, or an
// advisory lock of PostgreSQL, is held as long as the process lives, and the
// system lets go of it however the process ends.
//
// Where the disk or the database fails the error is a [Trouble], which says what
// became of what was asked for. A clock that was set back is told from the newest
// time at which anything was kept; no order depends on the clock.
//
// # Schema
//
// [Open] brings the schema up to date, one transaction a step. A file that a
// newer program has written is refused.
package store
