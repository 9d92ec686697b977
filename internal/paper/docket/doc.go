// Package docket draws the papers that go with a school's loads and equipment:
// the record of a signed inspection in its copies, the tag on a load, labels for
// equipment and the list of what falls due. Lengths are millimetres.
//
// A record on paper is complete without its code: the code holds the record's
// mark, by which the paper can be held against the log that the record is sealed
// in, and nothing else.
package docket
