// Package results draws what the results of tests and drills say: the map of
// items and students on one scale, the learning curve, the report of a class and
// the sheet of one student. Lengths are millimetres.
//
// A student's sheet says what was found and missed, and nothing about what the
// student may do: it is no certificate, and says so.
package results
