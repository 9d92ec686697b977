// Package document reads a strict subset of YAML by a declared shape, keeps
// the line of every value, and writes the JSON Schema of the same shape.
//
// A format declares what it takes, in Go that reads like its specification:
//
//	leg := document.Object(
//		document.Required("id", document.ID(), "name of the leg"),
//		document.Optional("length", document.Quantity(quantity.Length).Positive(), "unstretched length"),
//	)
//	value, problems := document.Read(data, leg)
//
// [Read] collects all problems, not only the first. A value that could not be
// read is kept and says so ([Value.Valid]), so that a caller can go on and find
// what else is wrong; all methods of [Value] may be called on nil, which stands
// for a value that was not written.
//
// # The subset
//
// One document in UTF-8 (a byte order mark and CRLF are accepted) of mappings,
// lists and scalars. Refused are anchors, aliases, merge keys, tags,
// directives, further documents, duplicate keys, empty values and null, tabs
// and other control characters. A scalar is text until the shape says what it
// is, so nothing is read as octal, as a date or as a yes by accident.
//
// # Paths
//
// A path names a value from the top of the file: legs[2].rope.length. Entries
// of a list are counted from 0. The path of the whole file is "".
package document
