// Package record keeps sealed records: a log to which entries are only ever
// added, in which every entry names the hash of the one before it, and whose
// whole content is fixed by one signed tree head.
//
// # Entry
//
// An entry is one line of canonical JSON (RFC 8785) with these keys and no
// others:
//
//	{"at":"2026-05-31T10:20:30Z","body":{…},"kind":"inspection","n":12,"previous":"<base64>"}
//
// n counts from 0. previous is the RFC 6962 leaf hash of entry n−1, in base64;
// for entry 0 it is empty. at is UTC in whole seconds, as the writer's clock
// stood; it proves nothing by itself. A correction is a new entry whose body
// says what it corrects; nothing is ever changed.
//
// # Tree head
//
// The entries are the leaves of an RFC 6962 Merkle tree: leaf hash
// SHA-256(0x00 ‖ entry), node hash SHA-256(0x01 ‖ left ‖ right). A tree head is a
// checkpoint of C2SP tlog-checkpoint, signed as a note:
//
//	<origin>
//	<number of entries>
//	<root hash, base64>
//
//	— <key name> <signature>
//
// # Copy
//
// A copy of a log is the entries, one a line in order, then an empty line, then
// the tree head. What is hashed is the line's bytes as they are, never JSON
// written anew.
//
// The package does its work over bytes and hashes that are handed in: it opens
// no file and knows no clock.
package record
