// Package study draws what studies of a rig found: the count map, the spread
// of its inputs.
package study
