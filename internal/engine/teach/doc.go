// Package teach turns a rig into lanes for a class: deficiencies chosen to be
// planted, a clock and a rule, the grading of what a student calls, who goes
// where and when on a test day, and which deficiencies to practise next.
//
// It draws no random number and reads no clock of its own: seeds and times are
// handed in, so that any lane can be made again from its seed.
package teach
